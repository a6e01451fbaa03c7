"""Run by the environment's own interpreter: are the pinned packages all there, whole, and do they load?

Prints what is wrong, nothing if all is well.  Arguments: the names to import with commas between, then the pins.
"""

from __future__ import annotations

import importlib
import os
import sys
from importlib import metadata


def fault_of(pin):  # type: (str) -> str
    """What is wrong with an installed pin; empty if nothing is."""
    name, _, version = pin.partition("==")
    try:
        found = metadata.distribution(name)
    except metadata.PackageNotFoundError:
        return name + " is missing"
    if found.version != version:
        return "%s is %s and not %s" % (name, found.version, version)
    for file in found.files or ():
        if file.size is None or "__pycache__" in file.parts:
            continue
        try:
            size = os.stat(str(file.locate())).st_size
        except OSError:
            return "%s of %s is missing" % (file, name)
        if size != file.size:
            return "%s of %s is damaged" % (file, name)
    return ""


def main(names, pins):  # type: (str, list[str]) -> int
    """Look at every pin, then import; 1 and a line on standard output if something is wrong."""
    for pin in pins:
        fault = fault_of(pin)
        if fault:
            print(fault)
            return 1
    for name in names.split(",") if names else ():
        try:
            importlib.import_module(name)
        except Exception as error:
            reason = (str(error).splitlines() or [type(error).__name__])[0]
            print("%s does not load (%s)" % (name, reason))
            return 1
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1], sys.argv[2:]))
