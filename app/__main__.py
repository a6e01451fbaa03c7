"""``python3 app``: makes the environment if need be, then runs the command in it."""

import os
import sys

ROOT = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))
# ``python3 app`` puts app/ itself first on the path: core would not be found, and a file here could
# shadow a standard module of the same name.
if sys.path and os.path.realpath(sys.path[0] or os.getcwd()) == os.path.join(os.path.realpath(ROOT), "app"):
    sys.path[0] = ROOT
else:
    sys.path.insert(0, ROOT)

from shared import launcher  # noqa: E402

WITHOUT_QT = ("report", "--help", "-h", "--version")
"""Commands that never load Qt."""


def start(arguments):  # type: (list[str]) -> int
    """Go into the environment, or say why that cannot be."""
    if launcher.is_inside(ROOT):
        from app.commands import main

        return main(arguments)
    try:
        python = launcher.ensure(ROOT)
        if not arguments or arguments[0] not in WITHOUT_QT:
            launcher.ensure_qt_libraries(ROOT)
    except launcher.CannotPrepare as reason:
        launcher.say(str(reason))
        return launcher.NO_ENVIRONMENT
    return launcher.run(python, [os.path.join(ROOT, "app"), *arguments])


if __name__ == "__main__":
    sys.exit(start(sys.argv[1:]))
