"""The same picture, font or colour profile in several parts is kept once."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, field

import pikepdf


@dataclass
class SharedObjects:
    """The objects of a file by their content. Every part brings its own; the first one is kept.

    `kept` has the object of each content, `known` the one that stands for each object looked at, by its number.
    """

    kept: dict[bytes, pikepdf.Object] = field(default_factory=dict)
    known: dict[tuple[int, int], pikepdf.Object] = field(default_factory=dict)

    def share(self, node: pikepdf.Object) -> None:
        """Let a dictionary or an array, and all below it, refer to the objects that are kept."""
        for key in list(node.keys()) if isinstance(node, pikepdf.Dictionary) else range(len(node)):
            value = node[key]
            if not isinstance(value, pikepdf.Stream | pikepdf.Dictionary | pikepdf.Array):
                continue
            if not value.is_indirect:
                self.share(value)
            elif (kept := self._kept(value)).objgen != value.objgen:
                node[key] = kept

    def _kept(self, value: pikepdf.Object) -> pikepdf.Object:
        """The first object with this content; what it refers to is shared before, so that copies say the same."""
        if value.objgen not in self.known:
            self.known[value.objgen] = value  # should it refer to itself
            inner = value.stream_dict if isinstance(value, pikepdf.Stream) else value
            self.share(inner)
            data = value.read_raw_bytes() if isinstance(value, pikepdf.Stream) else b""
            digest = hashlib.sha256(inner.unparse(resolved=True) + b"\n" + data).digest()
            self.known[value.objgen] = self.kept.setdefault(digest, value)
        return self.known[value.objgen]
