"""The wires as lines on the page: every section from where it starts to where it ends, splices, grounds and feeds."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass

from authorkit.drawing.columns import Run
from authorkit.drawing.frame import Edges, LabelWidths, lane_key, run_length
from authorkit.drawing.heights import Heights, Terminal
from authorkit.drawing.lanes import Lanes, Vertical
from authorkit.drawing.measures import DROP, LANE
from authorkit.drawing.route_marks import Cell, EndMark, Section, SpliceMark, splice_mark
from authorkit.drawing.shapes import XY
from authorkit.drawing.strands import Board, Span, Strand
from authorkit.model.point import Point


@dataclass(frozen=True)
class Routes:
    """All that lies between the parts."""

    sections: tuple[Section, ...]
    splices: tuple[SpliceMark, ...]
    marks: tuple[EndMark, ...]
    cells: tuple[Cell, ...]


def find_routes(board: Board, heights: Heights, lanes: Lanes, edges: Edges, *, labels: LabelWidths) -> Routes:
    """Draw every run of wire."""
    return _Router(board, heights, lanes, edges, labels=labels).routes()


class _Router:
    def __init__(self, board: Board, heights: Heights, lanes: Lanes, edges: Edges, *, labels: LabelWidths) -> None:
        self.board, self.heights, self.edges, self.labels = board, heights, edges, labels
        self.verticals: dict[tuple[int, str], tuple[Vertical, float]] = {}
        for placed in lanes.placed.values():
            for vertical, _ in placed:
                if vertical.name:
                    self.verticals[vertical.span, vertical.name] = (vertical, edges.lanes[lane_key(vertical)])
        self.by_run: dict[int, list[tuple[Span, Strand]]] = defaultdict(list)
        for span in board.spans:
            for strand in span.strands:
                self.by_run[strand.run].append((span, strand))
        self.ends = {(each.run, each.span): each for each in heights.terminals}
        self.plumb = {each: self._is_plumb(each) for each in heights.terminals}
        self.splices = {
            key: splice_mark(vertical, x, tuple(self._plumb_levels(*key)))
            for key, (vertical, x) in sorted(self.verticals.items())
        }
        self.groups = self._groups()
        self.marks: list[EndMark] = []
        self.cells: list[Cell] = []

    def routes(self) -> Routes:
        sections: list[Section] = []
        for number, run in enumerate(self.board.columns.runs):
            if number not in self.by_run:
                continue
            turning = any(strand.turn is not None for _, strand in self.by_run[number])
            points = self._turning(number, run) if turning else self._straight(number, run)
            sections += self._cut(number, run, points)
        self._group_marks()
        return Routes(
            tuple(sections),
            tuple(mark for _, mark in sorted(self.splices.items())),
            tuple(self.marks),
            tuple(self.cells),
        )

    # -------------------------------------------------------------------------------------------------- straight

    def _straight(self, number: int, run: Run) -> list[list[XY]]:
        """Lines from the left end to the right end, a new one behind each in-line connector."""
        lines: list[list[XY]] = [[]]
        stations = self._stations(run)
        for span, strand in self.by_run[number]:
            here, there = self._levels(span, strand)
            self._enter(lines, number, (span, strand), here)
            for cavity in [each for each in stations if span.begin < self._column(each) < span.end]:
                self._station(lines, cavity, here)
            if here != there:
                x = self.edges.lanes[span.first, "", number]
                lines[-1] += [(x, here), (x, there)]
            self._leave(lines, number, (span, strand), there)
            for cavity in [each for each in stations if self._column(each) == span.end and strand.right is not None]:
                self._station(lines, cavity, there)
        first = run.ends[0]
        if first.way == "t" and first.column >= 0 and lines[0] and lines[0][0][0] < self._faces(first.column)[0]:
            lines.pop(0)  # nothing lies left of a bare connector, though the columns on its left were passed
        return lines

    def _stations(self, run: Run) -> list[Point]:
        """The in-line cavities from left to right, bare ends included."""
        first, second = run.ends
        bare = [end.point if end.way == "t" and end.column >= 0 else None for end in (first, second)]
        stations = [bare[0], *run.chain.cavities, bare[1]]
        return [each for each in stations if each is not None]

    def _column(self, cavity: Point) -> int:
        return self.board.columns.cavities[cavity]

    def _levels(self, span: Span, strand: Strand) -> tuple[float, float]:
        """The heights at which a strand enters and leaves its span."""
        slots = self.heights.slots
        if strand.left is None and strand.right is None:
            y = self.heights.free[span.first, strand.run]
            return y, y
        left = slots[strand.left] if strand.left is not None else None
        right = slots[strand.right] if strand.right is not None else None
        here = left if left is not None else right
        there = right if right is not None else left
        assert here is not None
        assert there is not None
        return here, there

    def _enter(self, lines: list[list[XY]], run: int, where: tuple[Span, Strand], y: float) -> None:
        span, strand = where
        if strand.left_splice:
            splice = self.splices[span.first, strand.left_splice]
            lines[-1] += _from_splice(splice, y)
        elif strand.left is not None:
            if not lines[-1]:
                lines[-1].append((self.edges.starts[span.begin], y))
        else:
            terminal = self.ends.get((run, span.first))
            if terminal is not None and terminal.kind != "in-line":
                lines[-1] += self._terminal(terminal, run, y)[::-1]

    def _leave(self, lines: list[list[XY]], run: int, where: tuple[Span, Strand], y: float) -> None:
        span, strand = where
        if strand.right_splice:
            lines[-1] += _from_splice(self.splices[span.first, strand.right_splice], y)[::-1]
        elif strand.right is not None:
            lines[-1].append((self.edges.ends[span.end - 1], y))
        else:
            terminal = self.ends.get((run, span.first))
            if terminal is not None and terminal.kind != "in-line":
                if self.plumb[terminal]:
                    splice = self.splices[span.first, strand.left_splice]
                    near = max(splice.dots) if terminal.kind == "ground" else min(splice.dots)
                    lines[-1] = [(splice.x, near), (splice.x, y)]
                    self.marks.append(EndMark(terminal.kind, terminal.name, (splice.x,), y))
                else:
                    lines[-1] += self._terminal(terminal, run, y)

    def _is_plumb(self, terminal: Terminal) -> bool:
        """Whether a splice's wire to a ground or a feed can simply hang down or stand up."""
        run = self.board.columns.runs[terminal.run]
        if terminal.side != "splice" or run.chain.cavities or terminal.kind not in ("ground", "feed"):
            return False
        vertical, _ = self.verticals[terminal.span, run.ends[0].point.owner]
        y = self._row((terminal.run, terminal.span))
        others = [level for level in (*vertical.left, *vertical.right) if level != y]
        if not others:
            return False
        return y > max(others) if terminal.kind == "ground" else y < min(others)

    def _plumb_levels(self, span: int, name: str) -> Iterator[float]:
        for terminal, plumb in self.plumb.items():
            run = self.board.columns.runs[terminal.run]
            if plumb and terminal.span == span and run.ends[0].point.owner == name:
                yield self._row((terminal.run, terminal.span))

    def _terminal(self, terminal: Terminal, run: int, y: float) -> list[XY]:
        """From the last corner to the symbol of a wire that ends in its own lane."""
        group = self.groups[terminal.run, terminal.span]
        place = group.index((run, terminal.span))
        levels = [self._row(member) for member in group]
        down = terminal.kind == "ground"
        further = len(group) - 1 - place if down else place
        runs = self.board.columns.runs[run]
        section = 0 if runs.ends[0].way == "t" else len(runs.chain.wires) - 1
        length = max(run_length(self.board, self.ends[each], self.labels) for each in group) + LANE * further
        x = self._foot(terminal, section) + (length if terminal.side != "right" else -length)
        if terminal.kind == "sheet":
            return [(x, y)]
        y_end = max(levels) + DROP if down else min(levels) - DROP
        return [(x, y), (x, y_end)]

    def _foot(self, terminal: Terminal, section: int) -> float:
        """The x from which a wire runs to its ground or feed."""
        run = self.board.columns.runs[terminal.run]
        if run.chain.cavities:
            cavity = run.chain.cavities[0 if section == 0 and terminal.side == "right" else -1]
            left, right = self._faces(self._column(cavity))
            return left if terminal.side == "right" else right
        if terminal.side == "splice":
            return self.splices[terminal.span, run.ends[0].point.owner].x
        span = self.board.spans[terminal.span]
        return self.edges.starts[span.begin] if terminal.side == "left" else self.edges.ends[span.end - 1]

    def _row(self, member: tuple[int, int]) -> float:
        span = self.board.spans[member[1]]
        strand = next(strand for strand in span.strands if strand.run == member[0])
        return self._levels(span, strand)[0]

    def _groups(self) -> dict[tuple[int, int], list[tuple[int, int]]]:
        """Wires that end at one symbol: same ground, same side, rows that follow each other."""
        groups: dict[tuple[int, int], list[tuple[int, int]]] = {}
        by_key: dict[tuple[object, ...], list[Terminal]] = defaultdict(list)
        for terminal in self.heights.terminals:
            if terminal.kind in ("ground", "feed", "sheet"):
                key = (terminal.name, terminal.side, terminal.channel, terminal.span)
                by_key[key].append(terminal)
        for terminals in by_key.values():
            terminals.sort(key=lambda each: self._row((each.run, each.span)))
            current: list[tuple[int, int]] = []
            for terminal in terminals:
                member = (terminal.run, terminal.span)
                if not current or terminal.side == "splice" or not self._follows(current[-1], member):
                    current = []
                current.append(member)
                groups[member] = current
        return groups

    def _follows(self, first: tuple[int, int], second: tuple[int, int]) -> bool:
        low, high = self._row(first), self._row(second)
        span = self.board.spans[first[1]]
        return all(not any(low < level < high for level in self._levels(span, strand)) for strand in span.strands)

    def _group_marks(self) -> None:
        """One symbol for each group."""
        done: set[tuple[int, int]] = set()
        for terminal in self.heights.terminals:
            member = (terminal.run, terminal.span)
            group = self.groups.get(member)
            if group is None or member in done or self.plumb[terminal]:
                continue
            done.update(group)
            ends = [self._terminal(self.ends[each], each[0], self._row(each))[-1] for each in group]
            self.marks.append(EndMark(terminal.kind, terminal.name, tuple(sorted(x for x, _ in ends)), ends[0][1]))

    # ------------------------------------------------------------------------------------------------- in between

    def _faces(self, column: int) -> tuple[float, float]:
        """The outer faces of an in-line connector: it stands in the middle of its column."""
        middle = (self.edges.ends[column - 1] + self.edges.starts[column]) / 2
        return middle - self.edges.strips[column], middle + self.edges.strips[column]

    def _station(self, lines: list[list[XY]], cavity: Point, y: float) -> None:
        column = self._column(cavity)
        left, right = self._faces(column)
        self.cells.append(Cell(cavity, column, left, right, y))
        if lines[-1]:
            lines[-1].append((left, y))
            lines.append([])
        lines[-1].append((right, y))

    # --------------------------------------------------------------------------------------------------- turning

    def _turning(self, number: int, run: Run) -> list[list[XY]]:
        """Out from both ends to the lane where they meet."""
        span, strand = next((s, t) for s, t in self.by_run[number] if t.turn is not None)
        first = strand.left if strand.left is not None else strand.right
        assert first is not None
        assert strand.turn is not None
        lane = self.edges.lanes[span.first, "", number]
        stations = list(run.chain.cavities)
        half = -(-len(stations) // 2)
        halves = ((first, stations[:half]), (strand.turn, stations[half:][::-1]))
        out = [self._half(number, slot, own, strand.left is not None) for slot, own in halves]
        joint = [
            *out[0][-1],
            (lane, self.heights.slots[first]),
            (lane, self.heights.slots[strand.turn]),
            *out[1][-1][::-1],
        ]
        back = [line[::-1] for line in out[1][:-1][::-1]]
        return [*out[0][:-1], joint, *back]

    def _half(self, number: int, slot: int, stations: list[Point], rightwards: bool) -> list[list[XY]]:
        """From a pin (through the spans that it must pass) to its side of the turn."""
        way: list[tuple[Span, Strand]] = []
        here = slot
        while carried := next(
            ((s, t) for s, t in self.by_run[number] if t.turn is None and (t.right if rightwards else t.left) == here),
            None,
        ):
            way.insert(0, carried)
            previous = carried[1].left if rightwards else carried[1].right
            assert previous is not None
            here = previous
        span = way[0][0] if way else next(s for s, t in self.by_run[number] if t.turn is not None)
        x = self.edges.starts[span.begin] if rightwards else self.edges.ends[span.end - 1]
        lines: list[list[XY]] = [[(x, self.heights.slots[here])]]
        for passed, strand in way:
            ends = (strand.left, strand.right) if rightwards else (strand.right, strand.left)
            levels = [self.heights.slots[each] for each in ends if each is not None]
            if levels[0] != levels[1]:
                lane = self.edges.lanes[passed.first, "", number]
                lines[-1] += [(lane, levels[0]), (lane, levels[1])]
        for cavity in stations:
            self._station_turned(lines, cavity, self.heights.slots[slot], rightwards)
        return lines

    def _station_turned(self, lines: list[list[XY]], cavity: Point, y: float, rightwards: bool) -> None:
        column = self._column(cavity)
        left, right = self._faces(column)
        self.cells.append(Cell(cavity, column, left, right, y))
        near, far = (left, right) if rightwards else (right, left)
        lines[-1].append((near, y))
        lines.append([(far, y)])

    # --------------------------------------------------------------------------------------------------- sections

    def _cut(self, number: int, run: Run, lines: list[list[XY]]) -> Iterator[Section]:
        lines = [_tidy(points) for points in lines]
        lines = [points for points in lines if len(points) > 1]
        for section, (wire, points) in enumerate(zip(run.chain.wires, lines, strict=False)):
            yield Section(number, section, wire, tuple(points))


def _from_splice(splice: SpliceMark, y: float) -> list[XY]:
    """From a splice to the height of one of its branches."""
    if splice.bar is not None or y == splice.dots[0]:
        return [(splice.x, y)]
    return [(splice.x, splice.dots[0]), (splice.x, y)]


def _tidy(points: list[XY]) -> list[XY]:
    """Without doubled points and without points in the middle of a straight line."""
    result: list[XY] = []
    for point in points:
        if result and _same(result[-1], point):
            continue
        if len(result) > 1 and _in_line(result[-2], result[-1], point):
            result[-1] = point
            continue
        result.append(point)
    return result


def _same(first: XY, second: XY) -> bool:
    return abs(first[0] - second[0]) < 1e-6 and abs(first[1] - second[1]) < 1e-6


def _in_line(first: XY, middle: XY, last: XY) -> bool:
    same_x = abs(first[0] - middle[0]) < 1e-6 and abs(middle[0] - last[0]) < 1e-6
    same_y = abs(first[1] - middle[1]) < 1e-6 and abs(middle[1] - last[1]) < 1e-6
    return same_x or same_y
