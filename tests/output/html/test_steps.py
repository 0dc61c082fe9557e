from __future__ import annotations

from authorkit.manual.blocks import Answer, StepBlock, words
from tests.output.html.samples import rendered, view_of

STEP = StepBlock(
    "1",
    "step-1",
    words("Unplug B5."),
    (("WARNING", "The fan can start."),),
    words("Voltmeter: B5.1 to G1."),
    words("What does it read?"),
    (Answer(words("4.9 V to 5.1 V"), "2", "step-2"), Answer(words("Any other reading"), "9", "gone")),
)
END = StepBlock("2", "step-2", (), verdict=words("B5 Sensor"), repair=words("Replace it."))
NOTHING = StepBlock("3", "step-3", (), end=words("The fault is not present now."))


def test_a_step_tells_of_danger_first_then_what_to_do_measure_and_ask() -> None:
    body = rendered((STEP,)).one("li", id="step-1").one("div", class_="step-body")
    parts = [part for part in body.content if not isinstance(part, str)]
    assert [" ".join(part.classes).split()[0] for part in parts] == ["caution", "do", "measure", "question", "answers"]
    assert [part.text for part in parts[1:4]] == ["Unplug B5.", "Voltmeter: B5.1 to G1.", "What does it read?"]


def test_an_answer_is_one_link_to_the_step_it_leads_to() -> None:
    page = rendered((STEP, END), view_of("step-2", file="P0117.html"))
    link = page.one("a", class_="answer")
    assert link.attributes["href"] == "#step-2"
    assert link.text == "4.9 V to 5.1 V → step 2"


def test_an_answer_that_leads_nowhere_keeps_its_words() -> None:
    answers = rendered((STEP,)).one("ul", class_="answers")
    assert list(answers.all("li"))[1].text == "Any other reading → step 9"


def test_the_end_of_the_procedure_names_what_is_at_fault_and_the_repair() -> None:
    end = rendered((END,)).one("li", id="step-2")
    assert end.one("p", class_="verdict").text == "Result B5 Sensor"
    assert end.one("p", class_="repair").text == "Replace it."
    assert "end" in end.classes


def test_a_step_is_counted_by_its_own_number_and_is_called_a_step_aloud() -> None:
    items = list(
        rendered((STEP, END, StepBlock("7", "s7", words("x")), StepBlock("4a", "s4", words("x")))).one("ol").all("li")
    )
    steps = [item for item in items if "id" in item.attributes]
    assert [item.attributes.get("value") for item in steps] == ["1", "2", "7", None]
    assert [item.one("p", class_="step-number").text for item in steps] == ["step 1", "step 2", "step 7", "step 4a"]


def test_an_end_without_a_verdict_is_said_in_words() -> None:
    end = rendered((NOTHING,)).one("li", id="step-3")
    assert end.one("p", class_="finish").text == "End The fault is not present now."
    assert "end" in end.classes
