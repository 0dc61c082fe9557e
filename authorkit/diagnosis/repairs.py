"""What to write under a drafted verdict, until the author knows better."""

from __future__ import annotations

from collections.abc import Sequence

from authorkit.circuit.harness import fuse_id
from authorkit.model.wiring import Wiring


def repair_of(names: Sequence[str], wiring: Wiring) -> str:
    """Plain sentences, one for each name that a verdict accuses."""
    return " ".join(_sentence(name, wiring) for name in names)


def _sentence(name: str, wiring: Wiring) -> str:
    kinds = {part.id: part.kind for part in wiring.parts}
    if name.startswith("connector "):
        return f"Clean the terminals of {name.partition(' ')[2]}. Replace those that are loose."
    if name in {wire.circuit for wire in wiring.wires}:
        return f"Repair circuit {name}."
    if name in {ground.id for ground in wiring.grounds}:
        return f"Clean ground point {name}."
    if name in {fuse_id(device) for device in wiring.devices if device.kind == "fuse"}:
        return f"Find the short circuit behind fuse {name}. Replace {name} after that."
    if name in {feed.id for feed in wiring.feeds}:
        return f"Repair the feed {name}."
    if kinds.get(name) == "module":
        return f"Check the terminals of {name}. Replace the module only if they are good."
    return f"Replace {name}." if name in kinds else f"Repair {name}."
