"""The steps of a procedure as HTML."""

from __future__ import annotations

from collections.abc import Sequence

from authorkit.manual.blocks import Answer, StepBlock
from authorkit.output.html.addresses import fragment
from authorkit.output.html.caution import short_caution_html
from authorkit.output.html.inline import View, inline_html, link_html
from authorkit.output.html.markup import escape, tag
from authorkit.output.tokens import design_tokens


def steps_html(steps: Sequence[StepBlock], view: View) -> str:
    """Steps that follow each other as one ordered list. The printed number is text, for it may be '4a'."""
    return tag("ol", *(_step(step, view) for step in steps), class_="steps")


def _step(step: StepBlock, view: View) -> str:
    word = tag("span", escape(_word("step")), class_="unseen")
    return tag(
        "li",
        tag("p", word, " ", escape(step.number), class_="step-number"),
        tag("div", *_parts(step, view), class_="step-body"),
        id=view.claim(fragment(step.anchor)),
        class_="end" if step.verdict or step.end else None,
        value=step.number if step.number.isdecimal() else None,
    )


def _parts(step: StepBlock, view: View) -> list[str]:
    """What to beware of, to do, to measure, to ask, where to go; at an end the verdict and the repair."""
    parts = [short_caution_html(word, sentence) for word, sentence in step.cautions]
    for inlines, name in ((step.do, "do"), (step.measure, "measure"), (step.question, "question")):
        if inlines:
            parts.append(tag("p", inline_html(inlines, view), class_=name))
    if step.answers:
        parts.append(tag("ul", *(_answer(answer, view) for answer in step.answers), class_="answers"))
    for word, said, name in (("result", step.verdict, "verdict"), ("end", step.end, "verdict finish")):
        if said:
            framed = tag("span", inline_html(said, view), class_="what")
            parts.append(tag("p", tag("span", escape(_word(word)), class_="word"), " ", framed, class_=name))
    if step.repair:
        parts.append(tag("p", inline_html(step.repair, view), class_="repair"))
    return parts


def _answer(answer: Answer, view: View) -> str:
    """One line to press: the condition, and the step it leads to."""
    condition = tag("span", inline_html(answer.condition, view.without_links()), class_="condition")
    goal = tag("span", f"→ {escape(_word('step'))} {escape(answer.step)}", class_="goal")
    return tag("li", link_html(answer.target, f"{condition} {goal}", view, class_="answer"))


def _word(name: str) -> str:
    """A word that both writers add, as the tokens give it."""
    return str(design_tokens()["words"][name])
