"""Lengths of the circuit drawing in millimetres at the design size, in one place."""

from __future__ import annotations

PITCH = 8.0  # from one row to the next
CELL_HALF = 3.1  # half the height of a connector's cell
NAME_ROOM = 4.2  # for the name of a connector above or below its cells
TITLE_LINE = 3.9
TITLE_GAP = 1.2
BOX_RIM = 1.3  # from the outermost item to the frame of a part
BLOCK_GAP = 2.4  # between two parts
STRIP_WIDTH = 6.8
DROP = 2.6  # from a row down to its ground symbol, or up to its feed
MARK_ROOM = 9.4  # below a row that ends in a ground, above one that ends in a feed
LANE = 3.4  # between two verticals
SPLICE_LANE = 4.6
LABEL_PAD = 2.4  # what a label needs beyond its width on a stretch between two connectors
LANE_PAD = 4.0  # the same where one end is a splice's dot or another wire
MIN_CHANNEL = 12.0
TWIST_ROOM = 4.4
WIRE_RISE = 0.9  # from a wire up to the baseline of its label
