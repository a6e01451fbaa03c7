"""Run by a new environment's own interpreter: puts into it the pip that Python brings along.

Python brings pip as a wheel of plain Python files, and to unpack such a wheel is to install it.  ``ensurepip`` runs
the pip in the wheel for that, and compiles all of pip and setuptools: four seconds of a processor instead of a tenth.
It is asked only where its wheel is not found.
"""

from __future__ import annotations

import os
import sys
import sysconfig
import zipfile


def wheel_of_pip():  # type: () -> str
    """The wheel that ensurepip would install; empty where it is not where ensurepip has it."""
    import ensurepip

    name = "pip-%s-py3-none-any.whl" % ensurepip.version()
    beside = os.path.join(os.path.dirname(ensurepip.__file__), "_bundled")
    # Some systems keep these wheels in a folder of their own, and Python tells which.
    for folder in (sysconfig.get_config_var("WHEEL_PKG_DIR"), beside):
        if folder and os.path.isfile(os.path.join(folder, name)):
            return os.path.join(folder, name)
    return ""


def main():  # type: () -> None
    """Unpack it, or let ensurepip do its work.  Ends with a traceback where it cannot, as ensurepip does."""
    wheel = wheel_of_pip()
    if wheel:
        with zipfile.ZipFile(wheel) as file:
            file.extractall(sysconfig.get_path("purelib"))
        return
    import runpy

    sys.argv[1:] = ["--upgrade", "--default-pip"]
    runpy.run_module("ensurepip", run_name="__main__")


if __name__ == "__main__":
    main()
