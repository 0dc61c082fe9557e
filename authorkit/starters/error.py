"""What stands in the way of making a manual or a chapter."""

from __future__ import annotations


class StarterError(Exception):
    """Nothing was made. The message is one sentence for the author: what is wrong, and what would help."""
