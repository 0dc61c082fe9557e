"""Diagnostic manuals from notebooks: facts in; circuits, proofs and a printed manual out.

This is the front door: the names a notebook may use are offered here. No module inside the
package imports it, so that each room can be read, tested and started alone.
"""

from __future__ import annotations

__version__ = "0.1.0"
