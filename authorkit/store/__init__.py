"""What was worked out before, kept by its content: nothing is computed twice, nothing stale is shown."""

from __future__ import annotations

from authorkit.store.content import content, content_key
from authorkit.store.kept import KeptFiles
from authorkit.store.packing import packed, unpacked
from authorkit.store.toolkit import toolkit_digest

__all__ = ["KeptFiles", "content", "content_key", "packed", "toolkit_digest", "unpacked"]
