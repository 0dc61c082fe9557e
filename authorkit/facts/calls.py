"""Steps that call a shared procedure, written out as the steps that they stand for."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from authorkit.facts.node import Node, places, told_of
from authorkit.facts.schema.procedure import STEP, Call
from authorkit.facts.schema.reader import Reader, one_of
from authorkit.facts.schema.shared_procedure import WrittenProcedure, filled, filled_text
from authorkit.model.caution import Caution
from authorkit.model.procedure import Branch, Called, SharedProcedure, Step
from authorkit.model.wiring import Series
from authorkit.problems import Place
from authorkit.problems.closest import closest, did_you_mean


@dataclass(frozen=True)
class WrittenOut:
    """The steps of a chapter without calls, and the places of what came from shared procedures, by key path."""

    steps: tuple[Step, ...]
    places: dict[str, Place]

    def cautions(self, cautions: Iterable[Caution]) -> tuple[Caution, ...]:
        """The cautions, those for a calling step guarding each step that it stands for."""
        return tuple(replace(each, steps=tuple(self._numbers(each.steps))) for each in cautions)

    def _numbers(self, numbers: Iterable[str]) -> Iterator[str]:
        for number in numbers:
            called = [step.number for step in self.steps if step.called and step.called.number == number]
            yield from called or [number]


def write_out(steps: Iterable[Step | Call], shared: Mapping[str, WrittenProcedure], reader: Reader) -> WrittenOut:
    """Every call replaced by the steps of its procedure; a call that cannot be followed by one step with its answers.

    Answers that lead to a calling step lead to the first step of its procedure.
    """
    written: list[Step] = []
    found: dict[str, Place] = {}
    first: dict[str, str] = {}
    for step in steps:
        if isinstance(step, Step):
            written.append(step)
            continue
        own = _Calling(step, shared, reader).steps(found)
        first[step.number] = own[0].number
        written += own
    led = (replace(step, branches=tuple(_led(branch, first) for branch in step.branches)) for step in written)
    return WrittenOut(tuple(led), found)


def _led(branch: Branch, first: Mapping[str, str]) -> Branch:
    return replace(branch, goto=first.get(branch.goto, branch.goto))


@dataclass(frozen=True)
class _Calling:
    """One call on the way to its steps."""

    call: Call
    shared: Mapping[str, WrittenProcedure]
    reader: Reader

    def steps(self, found: dict[str, Place]) -> list[Step]:
        """The steps it stands for; `found` receives their places."""
        stand_in = Step(self.call.number, "", self.call.node.key, branches=self.call.branches, series=self.call.series)
        written = self.shared.get(self.call.procedure)
        if written is None:
            self._report_unknown()
            return [stand_in]
        given = self._arguments(written.procedure)
        goes_on = self._answers(written.procedure)
        if given is None or not goes_on or not written.sound:
            return [stand_in]
        return [*self._filled(written, given, found)] or [stand_in]

    def _filled(self, written: WrittenProcedure, given: Mapping[str, Node], found: dict[str, Place]) -> Iterator[Step]:
        call, procedure = self.call, written.procedure
        called = Called(call.number, procedure.id, filled_text(procedure.title, given))
        single = len(written.steps) == 1
        numbers = {node.name: call.number if single else f"{call.number}.{node.name}" for node in written.steps}
        goto = {**{branch.answer: branch.goto for branch in call.branches}, **numbers}
        for node in written.steps:
            whole, number = filled(node, given), numbers[node.name]
            step = self._read(whole)
            if step is None:
                continue
            found.update(
                (f"procedure.{number}{path.removeprefix(node.path)}", at) for path, at in places(whole).items()
            )
            yield replace(
                step,
                number=number,
                place=call.node.key,
                branches=tuple(replace(branch, goto=goto.get(branch.goto, branch.goto)) for branch in step.branches),
                series=_both(call.series, step.series),
                called=called,
            )

    def _read(self, node: Node) -> Step | None:
        """A step; findings name the call as well, for they come from what it gives."""
        own = replace(self.reader, problems=[])
        step = own.read(STEP, node)
        self.reader.problems += [replace(problem, also=(*problem.also, self.call.node.key)) for problem in own.problems]
        return step if isinstance(step, Step) else None

    def _arguments(self, procedure: SharedProcedure) -> dict[str, Node] | None:
        """What is given by name; None if it is not what the procedure needs."""
        node = self._child("with")
        given = node.value if node is not None and isinstance(node.value, dict) else {}
        needs = procedure.needs
        texts = {name: child for name, child in given.items() if self._is_text(child)}
        for name, child in given.items():
            if name not in needs:
                self._report(child.key, f"'{procedure.id}' does not need '{name}'.", name, needs)
        for name in needs:
            if name not in given:
                self._report(self.call.node.key, f"'{procedure.id}' needs '{name}'.", f"no {name}", (f"{name}: ...",))
        return texts if set(texts) == set(needs) else None

    def _is_text(self, node: Node) -> bool:
        if isinstance(node.value, list | dict):
            self.reader.wrong_type(node, "a single text", "text")
        return isinstance(node.value, str) and not node.is_empty

    def _answers(self, procedure: SharedProcedure) -> bool:
        """Whether each answer of the procedure leads on, and no other."""
        said = [branch.answer for branch in self.call.branches]
        for branch in self.call.branches:
            if branch.answer not in procedure.answers:
                what = f"'{procedure.id}' never answers '{branch.answer}'."
                self._report(branch.place, what, branch.answer, procedure.answers)
        for answer in procedure.answers:
            if answer not in said:
                then = self._child("then")
                place = then.key if then is not None else self.call.node.key
                what = f"no step is given for the answer '{answer}' of '{procedure.id}'."
                self._report(place, what, ", ".join(said) or "no answers", (f"{answer}: STEP",))
        return set(said) == set(procedure.answers)

    def _report(self, place: Place, what: str, found: str, expected: tuple[str, ...]) -> None:
        missing = ": " in expected[0]
        near = None if missing else did_you_mean(closest(found, expected))
        self.reader.report(
            "call-mismatch",
            told_of(self.call.node, what),
            place,
            found=found,
            expected=one_of(expected),
            suggestion=near or (f"Add '{expected[0]}'." if missing else f"Delete '{found}'."),
            also=(self.shared[self.call.procedure].procedure.place,),
        )

    def _report_unknown(self) -> None:
        name, node = self.call.procedure, self._child("call")
        self.reader.report(
            "call-unknown",
            told_of(self.call.node, f"the vehicle notebook has no procedure '{name}'."),
            node.place if node is not None else self.call.node.key,
            found=name,
            expected=one_of(sorted(self.shared)) if self.shared else "a procedure under 'procedures' of the vehicle",
            suggestion=did_you_mean(closest(name, self.shared)) or f"Add '{name}' to 'procedures' of the vehicle.",
        )

    def _child(self, name: str) -> Node | None:
        return self.call.node.value.get(name) if isinstance(self.call.node.value, dict) else None


def _both(call: Series, step: Series) -> Series:
    """The series of a step of a called procedure: those of both, where both name some."""
    return tuple(name for name in step if name in call) if call and step else call or step
