"""Where the program's own environment lies: ``.venv`` in the checkout, or else a folder of the person's cache."""

from __future__ import annotations

import hashlib
import os
import sys


def cache_folder():  # type: () -> str
    """The folder for what this person's programs can make again, after the custom of the system."""
    home = os.path.expanduser("~")
    if os.name == "nt":
        return os.environ.get("LOCALAPPDATA") or os.path.join(home, "AppData", "Local")
    if sys.platform == "darwin":
        return os.path.join(home, "Library", "Caches")
    named = os.environ.get("XDG_CACHE_HOME", "")
    return named if os.path.isabs(named) else os.path.join(home, ".cache")


def candidates(root):  # type: (str) -> list[str]
    """Folders that may hold the environment of this checkout, the preferred one first.

    Python makes no environment below a path that holds the separator of search paths (a colon; on Windows a
    semicolon): such a checkout has its environment in the person's cache, named by a digest of its path.
    """
    place = os.path.realpath(root)
    digest = hashlib.sha256(os.fsencode(place)).hexdigest()[:16]
    listed = [os.path.join(root, ".venv"), os.path.join(cache_folder(), "chiparc", "environment-" + digest)]
    return [folder for folder in listed if os.pathsep not in os.path.splitdrive(os.path.realpath(folder))[1]]


def interpreter(folder):  # type: (str) -> str
    """The interpreter of the environment in that folder."""
    if os.name == "nt":
        return os.path.join(folder, "Scripts", "python.exe")
    return os.path.join(folder, "bin", "python")


def may_write(folder):  # type: (str) -> bool
    """Whether this person can make the environment there, told by trying."""
    try:
        os.makedirs(os.path.dirname(folder), exist_ok=True)
        with open(folder + "-lock", "a+"):
            pass
    except OSError:
        return False
    return not os.path.isdir(folder) or os.access(folder, os.W_OK)
