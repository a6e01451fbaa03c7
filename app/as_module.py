"""``python -m chiparc``: the wheel has this file as ``chiparc/__main__.py``."""

from __future__ import annotations

import sys
from importlib import import_module

if __name__ == "__main__":
    # By name: in a checkout there is no package chiparc to import from.
    sys.exit(import_module("chiparc.app.entry").main())
