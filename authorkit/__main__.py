"""`python -m authorkit`."""

from __future__ import annotations

import sys

from authorkit.commands import main

if __name__ == "__main__":
    sys.exit(main())
