"""Console entry of the installed package, where app, core and shared lie inside ``chiparc/``.

The wheel has this file a second time as ``chiparc/__main__.py``, for ``python -m chiparc``.
"""

from __future__ import annotations

import sys
from pathlib import Path


def main() -> int:
    """Run the command line: the folder that holds app and core goes first on this process's path."""
    here = Path(__file__).resolve().parent
    sys.path.insert(0, str(here if (here / "app").is_dir() else here.parent))
    from app.commands import main as commands

    return commands(sys.argv[1:])


if __name__ == "__main__":
    sys.exit(main())
