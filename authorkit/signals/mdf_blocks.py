"""The blocks of an ASAM MDF 4 file, walked through before anybody trusts them.

An MDF 4 file is a graph of blocks that name each other by their offset. A file from a stranger may name blocks beyond
its end, lead in a circle, or unpack to more than any machine holds; the library that reads the numbers looks for none
of this. Layout of a block after the ASAM MDF standard, version 4: '##' and two letters, four bytes reserved, length,
number of links, the links, the data; all whole numbers little-endian.
"""

from __future__ import annotations

import io
import struct
import zlib
from pathlib import Path

from authorkit.signals.capture import CaptureError

# Bytes of the file, and bytes of samples once unpacked: ten million rows of four channels with their time.
MOST_BYTES = 1 << 29
_MOST_BLOCKS = 200_000
_HEADER = 64  # the block that everything hangs on stands right behind the identification
_FRAME = struct.Struct("<4s4xQQ")
# In a zipped block, behind its frame: kind of zip, and how long the samples are once unpacked.
_ZIPPED = struct.Struct("<2sBxIQQ")
_DEFLATE, _TRANSPOSED = 0, 1
_DATA = (b"##DT", b"##SD", b"##RD", b"##DV", b"##DI")
# Links by position that make a tree: the next of the same kind, the first beneath. A block reached twice by these
# would be walked for ever.
_TREE: dict[bytes, tuple[int, ...]] = {
    b"##HD": (0, 1, 2, 3, 4),
    b"##DG": (0, 1),
    b"##CG": (0, 1),
    b"##CN": (0, 1),
    b"##CA": (0,),
    b"##CH": (0, 1),
    b"##FH": (0,),
    b"##AT": (0,),
    b"##EV": (0,),
    b"##HL": (0,),
    b"##DL": (0,),
    b"##LD": (0,),
}
_CHUNK = 1 << 20


def check_blocks(path: Path) -> None:
    """Raises CaptureError where the file is no MDF 4, too large, or its blocks lead nowhere, in a circle, or too far.

    Raises OSError if it cannot be opened.
    """
    size = path.stat().st_size
    if size > MOST_BYTES:
        raise too_large(f"{size / 1e6:,.0f} MB")
    with path.open("rb") as file:
        _check_identification(file.read(_HEADER))
        _walk(_Bytes(file, size))


class _Bytes:
    """The bytes of a file by offset. Not mapped into memory: a file that somebody saves meanwhile may grow shorter."""

    def __init__(self, file: io.BufferedReader, size: int) -> None:
        self._file, self.size = file, size

    def at(self, start: int, count: int) -> bytes:
        """Some bytes. Raises CaptureError where the file is too short."""
        if start + count <= self.size:
            self._file.seek(start)
            found = self._file.read(count)
            if len(found) == count:
                return found
        raise damaged(f"a block is missing at byte {start}")


def _check_identification(head: bytes) -> None:
    """'MDF     ' and the version as text in the first bytes."""
    if head[:8] == b"UnFinMF ":
        raise damaged("the recording was not finished", "Finish the recording in the logger, then export it anew.")
    if head[:8] != b"MDF     " or len(head) < _HEADER:
        raise damaged("it does not begin with 'MDF'")
    if head[8:9] != b"4":
        version = head[8:16].decode("latin-1").strip()
        raise damaged(f"version {version}", "Convert the recording to version 4, or export it as CSV.")


def _walk(data: _Bytes) -> None:
    """Every block that can be reached, once."""
    waiting, seen, owned, unpacked = [_HEADER], {_HEADER}, {_HEADER}, 0
    while waiting:
        at = waiting.pop()
        kind, links, length = _block(data, at)
        unpacked += _unpacked(data, at, kind, length)
        if unpacked > MOST_BYTES:
            raise too_large("more once it is unpacked")
        tree = [links[position] for position in _TREE.get(kind, ()) if position < len(links) and links[position]]
        if owned.intersection(tree) or len(set(tree)) < len(tree):
            raise damaged(f"its blocks lead in a circle at byte {at}")
        owned.update(tree)
        fresh = {link for link in links if link} - seen
        seen |= fresh
        waiting += sorted(fresh)
        if len(seen) > _MOST_BLOCKS:
            raise too_large(f"more than {_MOST_BLOCKS:,} blocks")


def _block(data: _Bytes, at: int) -> tuple[bytes, tuple[int, ...], int]:
    """Kind, links and length of the block at an offset."""
    kind, length, count = _FRAME.unpack(data.at(at, _FRAME.size))
    if kind[:2] != b"##" or length < _FRAME.size or at + length > data.size or 8 * count > length - _FRAME.size:
        raise damaged(f"the block at byte {at} is not whole")
    if count > _MOST_BLOCKS:
        raise too_large(f"more than {_MOST_BLOCKS:,} blocks")
    return kind, struct.unpack(f"<{count}Q", data.at(at + _FRAME.size, 8 * count)), length


def _unpacked(data: _Bytes, at: int, kind: bytes, length: int) -> int:
    """How many bytes of samples a block holds; none if it holds other things."""
    if kind in _DATA:
        return length - _FRAME.size
    return _unzipped(data, at, length) if kind == b"##DZ" else 0


def _unzipped(data: _Bytes, at: int, length: int) -> int:
    """The unpacked length of a zipped block, found by unpacking it piece by piece: what it says may be a lie."""
    start = at + _FRAME.size
    if length < _FRAME.size + _ZIPPED.size:
        raise damaged(f"the zipped block at byte {at} is not whole")
    _, zipped_by, _, said, packed = _ZIPPED.unpack(data.at(start, _ZIPPED.size))
    if zipped_by not in (_DEFLATE, _TRANSPOSED):
        raise damaged(f"the block at byte {at} is zipped in a way of its own", "Export it with deflate, or as CSV.")
    if said > MOST_BYTES:
        raise too_large("more once it is unpacked")
    start += _ZIPPED.size
    if start + packed > at + length:
        raise damaged(f"the zipped block at byte {at} is not whole")
    found, unzip, piece = 0, zlib.decompressobj(), data.at(start, packed)
    try:
        while piece and found <= said:
            found += len(unzip.decompress(piece, _CHUNK))
            piece = unzip.unconsumed_tail
        # What the last call held back.
        while found <= said and not unzip.eof and (rest := unzip.decompress(b"", _CHUNK)):
            found += len(rest)
    except zlib.error as error:
        raise damaged(f"the zipped block at byte {at} cannot be unpacked") from error
    if found != said:
        raise damaged(f"the zipped block at byte {at} holds another number of bytes than it says")
    return found


def damaged(reason: str, suggestion: str = "Export the recording anew, or as CSV.") -> CaptureError:
    """The finding about a file that is not what its name says."""
    return CaptureError(
        f"The MDF file is damaged or of another kind: {reason}.", reason, expected="ASAM MDF 4", suggestion=suggestion
    )


def too_large(found: str) -> CaptureError:
    """The finding about a file beyond MOST_BYTES."""
    most = f"at most {MOST_BYTES / 1e6:,.0f} MB, unpacked"
    suggestion = "Export only the channels and the time that show the signal."
    return CaptureError("The recording is too large.", found, expected=most, suggestion=suggestion)
