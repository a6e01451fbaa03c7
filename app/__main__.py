"""``python3 app``: makes the environment if need be, then runs the command in it."""

import os
import sys

# The real place: this file may have been started through a link.
ROOT = os.path.dirname(os.path.dirname(os.path.realpath(__file__)))
# ``python3 app`` puts app/ itself first on the path: core would not be found, and a file here could
# shadow a standard module of the same name.
if sys.path and os.path.realpath(sys.path[0] or os.getcwd()) == os.path.join(ROOT, "app"):
    sys.path[0] = ROOT
else:
    sys.path.insert(0, ROOT)

from shared import launcher  # noqa: E402
from shared.launching.system_packages import PAINTING, command_for, lacking, wants_x  # noqa: E402

WITHOUT_QT = ("report", "--help", "-h", "--version")
"""Commands that never load Qt."""

WITHOUT_WINDOW = ("picture", "calibrate")
"""Commands that paint, but open no window."""


def inside(arguments):  # type: (list[str]) -> int
    """Run the command; where it fails because the environment is damaged, make that anew and start over."""
    try:
        from app.commands import main

        return main(arguments)
    except Exception as error:
        status = launcher.remake_if_damaged(ROOT, (), [os.path.join(ROOT, "app"), *arguments])
        if status is not None:
            return status
        packages = lacking(PAINTING) if isinstance(error, ImportError) else []
        if not packages:
            raise
        launcher.say("needs system libraries that are not here; install with:  " + command_for(packages))
        return launcher.NO_ENVIRONMENT


def first_word(arguments):  # type: (list[str]) -> str
    """The first argument beside the language that is asked for: the command, if one is named."""
    words = iter(arguments)
    for word in words:
        if word == "--language":
            next(words, None)
        elif not word.startswith("--language="):
            return word
    return ""


def start(arguments):  # type: (list[str]) -> int
    """Go into the environment, or say why that cannot be."""
    if launcher.is_inside(ROOT):
        return inside(arguments)
    try:
        python = launcher.ensure(ROOT)
        if first_word(arguments) not in WITHOUT_QT:
            window = wants_x() and first_word(arguments) not in WITHOUT_WINDOW
            launcher.ensure_qt_libraries(python, window)
    except launcher.CannotPrepare as reason:
        launcher.say(str(reason))
        return launcher.NO_ENVIRONMENT
    return launcher.run(ROOT, python, [os.path.join(ROOT, "app"), *arguments])


if __name__ == "__main__":
    sys.exit(start(sys.argv[1:]))
