"""From left to right in millimetres: widths of parts and channels, lanes in their places."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from authorkit.drawing.columns import End, Run
from authorkit.drawing.guide import Guide
from authorkit.drawing.heights import Heights, Terminal
from authorkit.drawing.ink import width_of
from authorkit.drawing.inside import Inside
from authorkit.drawing.lanes import Lanes, Vertical
from authorkit.drawing.measures import LABEL_PAD, LANE, LANE_PAD, MIN_CHANNEL, STRIP_WIDTH, TWIST_ROOM
from authorkit.drawing.middle import Middle
from authorkit.drawing.strands import Board

PAGE = 168.0  # the width of a page's text, less the rim of the picture
MOST_STRETCH = 12.0  # by how much a channel may be widened to fill the page


@dataclass(frozen=True)
class LabelWidths:
    """The width of each section's label, by run and number of the section; less where it may be broken in two lines.

    `room_for_splices` asks for room beside each splice for its name, which else stands below the wire.
    """

    widths: Mapping[tuple[int, int], float]
    room_for_splices: bool = False

    def __getitem__(self, section: tuple[int, int]) -> float:
        return self.widths[section]


@dataclass(frozen=True)
class Edges:
    """Where everything lies. `strips` is the width of a connector's cells by block column or in-line column.

    `starts` and `ends` are the x of each channel's edges; `lanes` the x of each vertical.
    """

    starts: Mapping[int, float]
    ends: Mapping[int, float]
    lanes: Mapping[tuple[int, str, int], float]
    strips: Mapping[int, float]
    width: float


def find_edges(
    board: Board,
    lanes: Lanes,
    heights: Heights,
    *,
    insides: Mapping[str, Inside | Middle],
    labels: LabelWidths,
    guide: Guide | None = None,
) -> Edges:
    """The narrowest layout in which every label finds a stretch of wire long enough, widened to fill the page.

    `guide` says what the drawings of other series need.
    """
    return _Fitting(board, lanes, heights, insides=insides, labels=labels, guide=guide or Guide()).edges()


@dataclass
class _Need:
    """What a channel must hold: wires that end at a lane from the left or the right, and wires that run through."""

    left: float = 0.0
    right: float = 0.0
    through: float = 0.0


class _Fitting:
    def __init__(
        self,
        board: Board,
        lanes: Lanes,
        heights: Heights,
        *,
        insides: Mapping[str, Inside | Middle],
        labels: LabelWidths,
        guide: Guide,
    ) -> None:
        self.board, self.lanes, self.heights = board, lanes, heights
        self.insides, self.labels, self.guide = insides, labels, guide
        self.needs: dict[int, _Need] = defaultdict(_Need)
        self.last = board.columns.last

    def edges(self) -> Edges:
        strips = {column: self._strip(column) for column in range(self.last + 1)}
        long = [section for section in self._sections() if not self._claim(*section)]
        widths = {channel: self._width(channel) for channel in range(self.last)}
        for label, (begin, end), _ in long:
            if all(widths[channel] < label + LABEL_PAD for channel in range(begin, end + 1)):
                widest = max(range(begin, end + 1), key=lambda channel: widths[channel])
                widths[widest] = label + LABEL_PAD
        total = sum(widths.values()) + sum(self._column_width(column, strips) for column in strips)
        spare = min(PAGE - total, MOST_STRETCH * self.last)
        if spare > 0:
            widths = {channel: width + spare / self.last for channel, width in widths.items()}
        return self._laid_out(self._guided(widths, strips), strips)

    def _guided(self, widths: Mapping[int, float], strips: Mapping[int, float]) -> dict[int, float]:
        """Channels at least as wide as in the drawings of other series, so that the right parts begin where they do."""
        wider = {channel: max(width, self.guide.channel(channel, self.last)) for channel, width in widths.items()}
        right = sum(wider.values()) + sum(self._column_width(column, strips) for column in range(self.last))
        missing = max(0.0, self.guide.right - right) / max(1, self.last)
        return {channel: width + missing for channel, width in wider.items()}

    # -------------------------------------------------------------------------------------------------- sections

    def _sections(self) -> Iterator[tuple[float, tuple[int, int], str]]:
        """Each section's label width, the channels that it passes, and how it lies in them."""
        for number, run in enumerate(self.board.columns.runs):
            stations = [self.board.columns.cavities[cavity] for cavity in run.chain.cavities]
            first, second = run.ends
            ways = first.way + second.way
            if ways in ("rr", "ll"):
                yield from self._turning_sections(number, stations, ways)
                continue
            marks = [self._left_bound(first, stations), *stations, self._right_bound(run, stations)]
            for section in range(len(marks) - 1):
                begin, end = marks[section], max(marks[section], marks[section + 1] - 1)
                shape = self._shape(number, section, len(marks) - 2)
                yield self.labels[number, section], (begin, end), shape

    def _left_bound(self, end: End, stations: list[int]) -> int:
        if end.way in "rs" or end.column >= 0:
            return end.column
        return (stations[0] if stations else self.last) - 1

    def _right_bound(self, run: Run, stations: list[int]) -> int:
        first, second = run.ends
        if second.way == "l":
            return second.column
        if second.way == "s" or second.column >= 0:
            return second.column + (second.way == "s")
        return max([first.column, *stations]) + 1

    def _shape(self, run: int, section: int, last: int) -> str:
        """'left' if the section ends at a lane on its right, 'right' if it starts at one, '' if it runs through."""
        first, second = self.board.columns.runs[run].ends
        from_lane = section == 0 and first.way in "st"
        to_lane = section == last and second.way in "st"
        if from_lane and to_lane:
            return "right"
        return "right" if from_lane else "left" if to_lane else ""

    def _turning_sections(
        self, run: int, stations: list[int], ways: str
    ) -> Iterator[tuple[float, tuple[int, int], str]]:
        channel = next(
            strand.channel
            for span in self.board.spans
            for strand in span.strands
            if strand.run == run and strand.turn is not None
        )
        for section in range(len(stations) + 1):
            yield self.labels[run, section], (channel, channel), "left" if ways == "rr" else "right"

    def _claim(self, label: float, channels: tuple[int, int], shape: str) -> bool:
        """Book room for a section in one channel; False if it passes several and may use any."""
        begin, end = channels
        if begin != end:
            return False
        need = self.needs[begin]
        stepped = any(vertical.run >= 0 for vertical, _ in self.lanes.placed.get(begin, ()))
        if shape == "left":
            need.left = max(need.left, label)
        elif shape == "right":
            need.right = max(need.right, label)
        else:
            need.through = max(need.through, label)
            if stepped:
                need.left = max(need.left, label)
        return True

    def _width(self, channel: int) -> float:
        need = self.needs[channel]
        left, right = self._sides(channel)
        if self.lanes.placed.get(channel):
            if need.through and max(need.left, need.right) < need.through:
                left = max(left, need.through + LANE_PAD)
            least = max(left, 4.0) + self.lanes.width(channel) + max(right, 4.0)
        else:
            least = max(left, right)
        twist = TWIST_ROOM if self.board.netlist.wiring.pairs else 0.0
        through = need.through + LABEL_PAD + twist if need.through else 0.0
        return max(MIN_CHANNEL, through, least)

    def _sides(self, channel: int) -> tuple[float, float]:
        """What the wires need that end between the columns, on either side of the lanes."""
        need = self.needs[channel]
        twist = TWIST_ROOM if self.board.netlist.wiring.pairs else 0.0
        terminals = [each for each in self.heights.terminals if each.channel == channel]
        left = need.left + LANE_PAD + twist if need.left else 0.0
        right = need.right + LANE_PAD + twist if need.right else 0.0
        if right and self.labels.room_for_splices:
            right += self._splice_names(channel)
        at_left = [each for each in terminals if self._runs_rightwards(each)]
        at_right = [each for each in terminals if not self._runs_rightwards(each)]
        left = max(left + _terminal_room(at_left), self._text_room(at_left))
        return left, max(right + _terminal_room(at_right), self._text_room(at_right))

    def _splice_names(self, channel: int) -> float:
        """Room for the names of splices, which stand below their wires unless labels in two lines are in the way."""
        names = [vertical.name for vertical, _ in self.lanes.placed.get(channel, ()) if vertical.name]
        return max((width_of(name) + 1.0 for name in names), default=0.0)

    def _runs_rightwards(self, terminal: Terminal) -> bool:
        """Whether a wire comes to its end from a column on its left."""
        behind_connector = terminal.side == "splice" and self.board.columns.runs[terminal.run].chain.cavities
        return terminal.side == "left" or bool(behind_connector)

    def _text_room(self, terminals: list[Terminal]) -> float:
        """From a pin along its wire past the symbol at its end."""
        return max((run_length(self.board, each, self.labels) + 4.0 for each in terminals), default=0.0)

    # ---------------------------------------------------------------------------------------------------- layout

    def _strip(self, column: int) -> float:
        """The width of the cells in a column: wide enough for its longest cavity name."""
        names = [cavity.cavity for cavity, at in self.board.columns.cavities.items() if at == column]
        if column in self.board.block_columns:
            place = self.board.block_columns.index(column)
            for block in self.board.blocks[place]:
                if block.unit is not None:
                    names += [pin.point.cavity for pin in block.unit.pins]
        return max(STRIP_WIDTH, max((width_of(name) for name in names), default=0.0) + 2.4)

    def _column_width(self, column: int, strips: Mapping[int, float]) -> float:
        width = self.guide.first if column == 0 else 0.0
        if any(at == column for at in self.board.columns.cavities.values()):
            width = 2 * strips[column]
        if column in self.board.block_columns:
            place = self.board.block_columns.index(column)
            strip_count = 1 if column in (0, self.last) else 2
            for block in self.board.blocks[place]:
                if block.unit is not None:
                    width = max(width, self.insides[block.unit.id].depth + strip_count * strips[column])
        return width

    def _laid_out(self, widths: Mapping[int, float], strips: Mapping[int, float]) -> Edges:
        starts, ends = {}, {}
        x = self._column_width(0, strips)
        for channel in range(self.last):
            starts[channel], ends[channel] = x, x + widths[channel]
            x = ends[channel] + self._column_width(channel + 1, strips)
        lanes = {}
        for channel, placed in self.lanes.placed.items():
            first = starts[channel] + self._lane_start(channel, widths[channel])
            for vertical, offset in placed:
                lanes[lane_key(vertical)] = first + offset
        return Edges(starts, ends, lanes, dict(strips), x)

    def _lane_start(self, channel: int, width: float) -> float:
        """From the channel's left edge to its first lane: the room to spare is shared by both sides."""
        left, right = self._sides(channel)
        left, right = max(left, 4.0), max(right, 4.0)
        spare = max(0.0, width - left - right - self.lanes.width(channel))
        return left + spare * left / (left + right)


def lane_key(vertical: Vertical) -> tuple[int, str, int]:
    """What a vertical is looked up by: its span, and its splice or its run."""
    return vertical.span, vertical.name, vertical.run


def run_length(board: Board, terminal: Terminal, labels: LabelWidths) -> float:
    """How far a wire runs to its ground or feed: past its label, and past the symbol's name in two lines below it."""
    run = board.columns.runs[terminal.run]
    section = 0 if run.ends[0].way == "t" else len(run.chain.wires) - 1
    length = _label_of_pair(board, labels, run.chain.wires[section].circuit, labels[terminal.run, section]) + 3.0
    if terminal.kind not in ("ground", "feed"):
        return length
    words = _location(board, terminal).split()
    half = len(words) // 2
    lines = (f"{terminal.name} {' '.join(words[:half])}", " ".join(words[half:]))
    return max(length, max(width_of(line) for line in lines) + 4.6)


def _label_of_pair(board: Board, labels: LabelWidths, circuit: str, own: float) -> float:
    """The width of a wire's label; of a twisted wire that of the wider label of both, and room for the mark: they end
    side by side."""
    partners = {name for pair in board.netlist.wiring.pairs if circuit in pair.circuits for name in pair.circuits}
    if not partners:
        return own
    widths = [
        labels[number, section]
        for number, run in enumerate(board.columns.runs)
        for section, wire in enumerate(run.chain.wires)
        if wire.circuit in partners
    ]
    return max(widths) + TWIST_ROOM


def _location(board: Board, terminal: Terminal) -> str:
    """What is printed behind the name of a ground or a feed."""
    if terminal.kind == "ground":
        return board.netlist.location(terminal.name)
    return next((feed.name for feed in board.netlist.wiring.feeds if feed.id == terminal.name), "")


def _terminal_room(terminals: list[Terminal]) -> float:
    """Width for the lanes of wires that end side by side at a ground or a feed."""
    if not terminals:
        return 0.0
    groups: dict[tuple[str, str], int] = defaultdict(int)
    for each in terminals:
        groups[each.name, each.side] += 1
    # A mark that leads to another sheet has its letter and that sheet's number beyond the end of the wire.
    beyond = 13.0 if any(each.kind == "sheet" for each in terminals) else 3.0
    return beyond + LANE * (max(groups.values()) - 1)
