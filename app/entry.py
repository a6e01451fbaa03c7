"""Console entry of the installed package, where app, core and shared lie inside ``chiparc/``."""

from __future__ import annotations

import sys
from pathlib import Path


def main() -> int:
    """Run the command line: the folder that holds app and core goes first on this process's path."""
    sys.path.insert(0, str(Path(__file__).resolve().parent.parent))
    from app.commands import main as commands

    return commands(sys.argv[1:])
