"""A procedure of least expected minutes, proposed from the faults of a page and what can be measured there."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from authorkit.circuit.faults import Fault
from authorkit.circuit.states import state_name
from authorkit.circuit.study import step_questions, study_of
from authorkit.circuit.view import circuit_of
from authorkit.diagnosis.candidates import candidates
from authorkit.diagnosis.effort import Effort, Stand
from authorkit.diagnosis.proof import Proof, prove
from authorkit.diagnosis.repairs import repair_of
from authorkit.diagnosis.sequencing import Plan, sequence
from authorkit.diagnosis.splits import Split, split_of
from authorkit.diagnosis.task import Task, Tree, Trial, items_of, mask_of
from authorkit.diagnosis.wording import done_words
from authorkit.model.book import Book
from authorkit.model.chapter import Chapter
from authorkit.model.procedure import Branch, Step, Test
from authorkit.model.specification import State
from authorkit.model.wiring import applies

# Sets of faults that a draft looks at before it gives way to the roll-out.
CAP = 20_000


class NoDraftError(Exception):
    """Nothing can be drafted, and why."""


@dataclass(frozen=True)
class Draft:
    """A drafted procedure with its proof, the plan behind it, and the proof of the author's own procedure, if any."""

    steps: tuple[Step, ...]
    proof: Proof
    plan: Plan
    own: Proof | None


def draft(book: Book, chapter: Chapter, series: str) -> Draft:
    """Propose a procedure for a chapter on one series. Raises NoDraftError."""
    prelude = _prelude(chapter, series)
    wider = replace(chapter, steps=(*chapter.steps, *_probes(book, chapter, series, bool(prelude))))
    own = prove(book, chapter, study_of(book, wider, series))
    if not own.walks:
        raise NoDraftError("no fault of the circuit sets the code; correct 'sets-when' or the circuit first")
    planned = _Planning(own, wider, [walk.fault for walk in own.walks], bool(prelude))
    plan = sequence(planned.task(), CAP)
    present = _present(chapter, prelude[0].number if prelude else "root")
    steps = _numbered([present, *prelude, *planned.steps(plan.tree, prelude)], chapter)
    drafted = replace(chapter, steps=steps)
    proof = prove(book, drafted, own.study)
    return Draft(steps, proof, plan, own if own.steps else None)


def _probes(book: Book, chapter: Chapter, series: str, high_voltage: bool) -> list[Step]:
    found = candidates(chapter, circuit_of(book, chapter, series), series, high_voltage)
    return [replace(step, number=f"probe-{number}", series=(), branches=()) for number, step in enumerate(found)]


def _prelude(chapter: Chapter, series: str) -> list[Step]:
    """What the author does first where the page works on high voltage: every step up to the proof that it is dead."""
    steps = [step for step in chapter.steps if applies(step.series, series)]
    proofs = [number for number, step in enumerate(steps) if step.test is not None and step.test.kind == "absence"]
    is_opened = any(step.state is not None and step.state.disconnect == "open" for step in steps)
    if not proofs:
        if is_opened:
            raise NoDraftError("write the steps that make the vehicle dead first, with an 'absence' test")
        return []
    last = steps[proofs[0]]
    kept = [step for step in steps if step.called == last.called] if last.called else steps[1 : proofs[0] + 1]
    numbers = {step.number for step in kept}
    ends = {branch.goto for step in kept for branch in step.branches} - numbers
    kept += [step for step in steps if step.number in ends and step.is_end]
    numbers |= {step.number for step in kept}
    return [
        replace(
            step, branches=tuple(_inward(branch, numbers) for branch in step.branches), number=f"first {step.number}"
        )
        for step in kept
    ]


def _inward(branch: Branch, numbers: set[str]) -> Branch:
    """An answer of the first steps: to another one of them, or to the search."""
    return replace(branch, goto=f"first {branch.goto}" if branch.goto in numbers else "root")


@dataclass
class _Planning:
    """One search: the faults, the tests that divide them, and the states that they need."""

    proof: Proof
    chapter: Chapter
    faults: Sequence[Fault]
    high_voltage: bool

    def __post_init__(self) -> None:
        """Split the faults by every test once, and number the states."""
        self.effort: Effort = self.proof.procedure.effort
        probes = [step for step in self.chapter.steps if step.number.startswith("probe-")]
        self.tests: list[tuple[Step, Split]] = [
            (step, split) for step in probes if (split := self._split(step)) is not None
        ]
        self.states = list({state_name(step.state): step.state for step, _ in self.tests if step.state}.values())

    def _split(self, step: Step) -> Split | None:
        questions = step_questions(self.proof.wiring, step)
        if len(questions) != 1:
            return None
        study = self.proof.study
        return split_of({fault.id: study.reading(questions[0], fault.id) for fault in self.faults})

    def task(self) -> Task:
        """The search as numbers. Faults with one plain name need not be told apart."""
        stands = [Stand(None), *(self._standing(state) for state in self.states)]
        if self.high_voltage and self.states:
            stands[0] = Stand(replace(self.states[0], unplugged=(), settings=()))
        changes = tuple(tuple(self.effort.of(before, after.state, None)[0] for after in stands) for before in stands)
        weights = tuple(self.proof.weights[fault.id] for fault in self.faults)
        labels = tuple(_label(fault, self.proof.blame[fault.id]) for fault in self.faults)
        return Task(weights, labels, tuple(self._trials()), changes)

    def _standing(self, state: State) -> Stand:
        """A state that has been made: its plugs are off, so their cavities are at hand."""
        return Stand(state, frozenset(self.effort.off(state)))

    def _trials(self) -> Iterable[Trial]:
        """Each test once: of several that divide alike in one state the cheapest."""
        names = [state_name(state) for state in self.states]
        best: dict[tuple[object, ...], Trial] = {}
        for number, (step, split) in enumerate(self.tests):
            assert step.state is not None
            spent = self.effort.of(self._standing(step.state), step.state, step.test)[0]
            outcomes = tuple(split.outcomes.get(fault.id, 0) for fault in self.faults)
            barred = mask_of([item for item, fault in enumerate(self.faults) if fault.id in split.barred])
            setup = names.index(state_name(step.state)) + 1
            trial = Trial(str(number), spent, outcomes, setup, barred)
            known = best.get((setup, outcomes, barred))
            if known is None or trial.minutes < known.minutes:
                best[setup, outcomes, barred] = trial
        return best.values()

    def steps(self, tree: Tree, prelude: Sequence[Step]) -> list[Step]:
        """The tree as steps; their numbers are paths still, each verdict's the names that it accuses."""
        found: list[Step] = []
        verdicts: dict[str, Step] = {}
        before = prelude[-1].state if prelude else None
        key = "on" if not prelude else ""
        self._grow(tree, "root", Stand(before, frozenset()), (found, verdicts, key))
        return [*found, *verdicts.values()]

    def _grow(self, tree: Tree, number: str, stand: Stand, out: tuple[list[Step], dict[str, Step], str]) -> str:
        found, verdicts, key = out
        if tree.trial is None:
            step = self._verdict(tree)
            verdicts.setdefault(step.number, step)
            return verdicts[step.number].number
        probe, split = self.tests[int(tree.trial.name)]
        place = len(found)
        found.append(probe)
        branches: list[Branch] = []
        for outcome, (answer, window) in enumerate(split.answers):
            if outcome in tree.branches:
                goto = self._grow(
                    tree.branches[outcome],
                    f"{number}.{outcome}",
                    Stand(probe.state, frozenset()),
                    (found, verdicts, ""),
                )
                branches.append(Branch(answer, goto, self.chapter.place, window))
        last = branches.pop()
        branches.append(Branch("else", last.goto, self.chapter.place))
        assert probe.state is not None
        assert probe.test is not None
        do = done_words((stand.state, probe.state), probe.test, self.effort, key)
        found[place] = Step(
            number, do, self.chapter.place, probe.state, probe.test, _question(probe.test), tuple(branches)
        )
        return number

    def _verdict(self, tree: Tree) -> Step:
        faults = [self.faults[item] for item in items_of(tree.items)]
        names = _cover(faults, self.proof.blame)
        return Step(
            f"verdict {' '.join(names)}",
            do="",
            place=self.chapter.place,
            verdict=names,
            either=len(names) > 1,
            repair=repair_of(names, self.proof.wiring),
        )


def _present(chapter: Chapter, after: str) -> Step:
    """Is the code there at all?"""
    place = chapter.place
    branches = (Branch("yes", after, place), Branch("no", "absent", place))
    return Step(
        "present",
        "Switch the key on. Read the status of the code on the scan tool.",
        place,
        test=Test("scan", subject="status of the code"),
        question="Is the code present now?",
        branches=branches,
    )


def _label(fault: Fault, blamed: frozenset[str]) -> str:
    """What a repair of this fault is called: a fault of terminals goes by its plug."""
    if fault.target.startswith("contact:") or fault.kind in ("short", "swapped"):
        return next((name for name in sorted(blamed) if name.startswith("connector ")), fault.accused)
    return fault.accused


def _cover(faults: Sequence[Fault], blame: Mapping[str, frozenset[str]]) -> tuple[str, ...]:
    """As few names as it takes to accuse every fault, the one that accuses most first."""
    left, names = {fault.id: fault for fault in faults}, []
    labels = {fault.id: _label(fault, blame[fault.id]) for fault in faults}
    while left:
        options = list(dict.fromkeys(labels[identity] for identity in left))
        name = max(options, key=lambda each: sum(each in blame[identity] for identity in left))
        names.append(name)
        left = {identity: fault for identity, fault in left.items() if name not in blame[identity]}
    return tuple(names)


def _question(test: Test) -> str:
    meters = {"ohms": "ohmmeter", "insulation": "insulation tester", "amps": "current clamp"}
    return f"What does the {meters.get(test.kind, 'voltmeter')} read?"


def _numbered(steps: Sequence[Step], chapter: Chapter) -> tuple[Step, ...]:
    """Numbers instead of paths: tests first, then verdicts, each in the order in which they are reached."""
    kept = [*steps, Step("absent", "", chapter.place, end="The fault is not present now. Read the freeze frame.")]
    numbers: dict[str, str] = {}
    count, called = 0, ""
    for step in kept:
        inside = step.called.number if step.called else ""
        count += not (inside and inside == called)
        called = inside
        numbers[step.number] = f"{count}.{step.number.rpartition('.')[2]}" if inside else str(count)
    numbers.setdefault("root", next((numbers[step.number] for step in kept if step.verdict), ""))
    return tuple(_renumbered(step, numbers) for step in kept)


def _renumbered(step: Step, numbers: Mapping[str, str]) -> Step:
    number = numbers[step.number]
    called = replace(step.called, number=number.partition(".")[0]) if step.called else None
    branches = tuple(replace(branch, goto=numbers[branch.goto]) for branch in step.branches)
    return replace(step, number=number, called=called, branches=branches)
