"""The hash of every wheel that pip may take for a pin, so that no other file of that name is ever installed.

``pins.txt`` beside this file has those of the program's pins, ``pins-tests.txt`` those of the tests' pins: pip's own
form of requirements.  ``python3 tests pins`` writes both.
"""

from __future__ import annotations

import os

from shared.launching.told import CannotPrepare


def hash_file(root, extra=""):  # type: (str, str) -> str
    """The file with the hashes of the program's pins, or of those that an extra adds."""
    return os.path.join(root, "shared", "launching", "pins%s.txt" % ("-" + extra if extra else ""))


def hashes_in(path):  # type: (str) -> dict[str, list[str]]
    """Each pin of a file with its hashes, ``sha256:...``.  Raises OSError."""
    listed = {}  # type: dict[str, list[str]]
    pin = ""
    with open(path, encoding="utf-8") as file:
        for line in file:
            word = line.strip().partition(" ")[0]
            if word.startswith("--hash="):
                listed.setdefault(pin, []).append(word[len("--hash=") :])
            elif word and word != "#":
                pin = word
                listed[pin] = []
    return listed


def requirements(root, wanted):  # type: (str, dict[str, list[str]]) -> list[str]
    """pip's arguments that install these pins and take only files whose hashes are listed.

    wanted : pins by extra; the program's own under the empty name.
    Raises CannotPrepare where a file does not list just these pins, each with a hash.
    """
    arguments = ["--require-hashes"]
    for extra, pins in wanted.items():
        path = hash_file(root, extra)
        try:
            listed = hashes_in(path)
        except OSError as error:
            raise CannotPrepare("cannot read %s (%s); copy the program anew." % (path, error.strerror)) from None
        lacking = [pin for pin in pins if not listed.get(pin)] or [pin for pin in listed if pin not in pins]
        if lacking:
            raise CannotPrepare(
                "%s and pyproject.toml do not agree about %s. A copy of the program is whole or it is not: copy it "
                "anew; who changed a pin runs:  python3 tests pins" % (path, lacking[0])
            )
        arguments += ["-r", path]
    return arguments
