"""Command line: `python -m bakery.craft.planning check|solve|tonight|latest|promise|stop FILE`."""

from __future__ import annotations

import sys

from .commands import main

if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
