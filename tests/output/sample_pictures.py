"""Pictures for the sample manual: a drawing of its true size, a formula, a photograph."""

from __future__ import annotations

import struct
import zlib

from authorkit.manual.blocks import Picture

_WIRES = (("23", "K131 BU/WH 0.5 mm²", "1"), ("41", "K200 BN 0.5 mm²", "2"))


def circuit_svg(width: int, height: int) -> bytes:
    """A drawing of its true size in millimetres: a module, a sensor and two wires."""
    middle = height / 2
    wires = "".join(
        f'<path d="M40 {y}H{width - 40}" fill="none" stroke="#000" stroke-width=".5"/>'
        f'<text x="44" y="{y - 1.2}" font-size="3">{cavity}</text>'
        f'<text x="{width / 2 - 20}" y="{y - 1.2}" font-size="3">{name}</text>'
        f'<text x="{width - 50}" y="{y - 1.2}" font-size="3">{far}</text>'
        for y, (cavity, name, far) in zip((middle - 12, middle + 12), _WIRES, strict=True)
    )
    boxes = "".join(
        f'<rect x="{x}" y="{middle - 22}" width="38" height="44" fill="none" stroke="#000" stroke-width=".5"/>'
        f'<text x="{x + 3}" y="{middle - 16}" font-size="4" font-weight="bold">{name}</text>'
        for x, name in ((2, "M1"), (width - 40, "B5"))
    )
    size = f'width="{width}mm" height="{height}mm" viewBox="0 0 {width} {height}"'
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" {size} font-family="Liberation Sans">{wires}{boxes}</svg>'
    ).encode()


def formula() -> Picture:
    """The voltage of a divider, as a picture for a line of text."""
    svg = (
        '<svg xmlns="http://www.w3.org/2000/svg" width="68pt" height="22pt" viewBox="0 0 68 22">'
        '<g font-family="Liberation Sans" font-size="9"><text x="0" y="14">U = 5 V ·</text>'
        '<text x="46" y="9">R2</text><text x="40" y="20">R1+R2</text></g>'
        '<path d="M39 11H67" stroke="#000" stroke-width=".6"/></svg>'
    )
    return Picture(svg.encode(), "U equals 5 V times R2 over R1 plus R2", 68.0, 22.0, 8.0)


def photograph(columns: int, rows: int) -> bytes:
    """A PNG file (W3C PNG, grey, 8 bits) of a soft shade."""
    lines = b"".join(b"\0" + bytes(80 + 2 * x + y for x in range(columns)) for y in range(rows))
    header = struct.pack(">IIBBBBB", columns, rows, 8, 0, 0, 0, 0)
    chunks = ((b"IHDR", header), (b"IDAT", zlib.compress(lines, 9)), (b"IEND", b""))
    return b"\x89PNG\r\n\x1a\n" + b"".join(_chunk(kind, data) for kind, data in chunks)


def _chunk(kind: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))
