"""Steps as an author writes them: the `procedure:` of a facts cell."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence

from authorkit.model.procedure import Step, Test
from authorkit.model.specification import State

# A text that YAML reads as one text within braces without quotes.
_BARE = re.compile(r"[A-Za-z0-9][A-Za-z0-9 ._/°Ω%+-]*\Z")
_WORDS = ("yes", "no", "on", "off", "true", "false", "null")


def procedure_text(steps: Sequence[Step], answers: Mapping[str, Sequence[str]]) -> str:
    """The lines of `procedure:`. Steps that a call stands for are written as that call.

    `answers` gives what each shared procedure may find out; the first of them leads on.
    """
    lines = ["procedure:"]
    called: set[str] = set()
    for step in steps:
        if step.called is None:
            lines += _lines(step)
        elif step.called.number not in called:
            called.add(step.called.number)
            onward = _onward(steps, step.called.number)
            answer = next(iter(answers.get(step.called.procedure, ())), "done")
            lines += [f"  {step.called.number}:", f"    call: {step.called.procedure}"]
            lines.append(f"    then: {{{answer}: {onward}}}")
    return "\n".join(lines) + "\n"


def _onward(steps: Sequence[Step], number: str) -> str:
    """Where the steps of a call lead to outside of themselves."""
    inside = [step for step in steps if step.called is not None and step.called.number == number]
    own = {step.number for step in inside}
    return next((branch.goto for step in inside for branch in step.branches if branch.goto not in own), "")


def _lines(step: Step) -> Iterator[str]:
    if step.verdict:
        names = _listed(step.verdict) if len(step.verdict) > 1 else _text(step.verdict[0])
        either = ", either: yes" if step.either else ""
        yield f"  {step.number}: {{verdict: {names}{either}, repair: {_text(step.repair)}}}"
        return
    if step.end:
        yield f"  {step.number}: {{end: {_text(step.end)}}}"
        return
    yield f"  {step.number}:"
    yield f"    do: {_quoted(step.do)}"
    if step.state is not None:
        yield f"    state: {state_text(step.state)}"
    if step.test is not None:
        yield f"    {step.test.kind}: {_test(step.test)}"
        if step.test.side:
            yield f"    side: {step.test.side}"
    yield f"    question: {_quoted(step.question)}"
    answers = ", ".join(f"{_text(branch.answer)}: {branch.goto}" for branch in step.branches)
    yield f"    then: {{{answers}}}"


def state_text(state: State) -> str:
    """A state as it is written in a step: its name, or a mapping."""
    if state.name:
        return _text(state.name)
    pairs = [("key", state.key)] if state.key else []
    pairs += [("disconnect", state.disconnect)] if state.disconnect else []
    found = [f"{key}: {value}" for key, value in pairs]
    for key, names in (("unplug", state.unplugged), ("pull", state.pulled)):
        if names:
            found.append(f"{key}: {names[0] if len(names) == 1 else _listed(names)}")
    if state.jumpers:
        found.append(f"jumper: [{', '.join(f'[{first}, {second}]' for first, second in state.jumpers)}]")
    found += [f"{name}: {_text(word)}" for name, word in state.settings]
    return f"{{{', '.join(found)}}}"


def _test(test: Test) -> str:
    if test.watch or test.subject:
        return _quoted(test.watch or test.subject)
    return str(test.points[0]) if len(test.points) == 1 else _listed([str(point) for point in test.points])


def _listed(texts: Iterable[str]) -> str:
    return f"[{', '.join(_text(text) for text in texts)}]"


def _text(text: str) -> str:
    """A text within braces or brackets."""
    if _BARE.match(text) and (text.casefold() not in _WORDS or text in ("yes", "no", "on", "off")):
        return text
    return "'" + text.replace("'", "''") + "'"


def _quoted(text: str) -> str:
    """A text on a line of its own: quoted only where YAML would misread it."""
    is_plain = ": " not in text and " #" not in text and text[:1] not in "{[&*!|>'\"%@`"
    return text if is_plain else "'" + text.replace("'", "''") + "'"
