"""The variables that children of the launcher see: none that would change which packages they find or get."""

from __future__ import annotations

import os

HARMLESS = {
    "PYTHONDEVMODE",
    "PYTHONDONTWRITEBYTECODE",
    "PYTHONFAULTHANDLER",
    "PYTHONHASHSEED",
    "PYTHONIOENCODING",
    "PYTHONMALLOC",
    "PYTHONPYCACHEPREFIX",
    "PYTHONTRACEMALLOC",
    "PYTHONUNBUFFERED",
    "PYTHONUTF8",
}
"""Python's own variables that change neither the path nor what is run at the start."""

REACH = {
    "cache-dir",
    "cert",
    "client-cert",
    "default-timeout",
    "extra-index-url",
    "find-links",
    "index-url",
    "keyring-provider",
    "no-cache-dir",
    "no-index",
    "proxy",
    "timeout",
    "trusted-host",
}
"""Options of pip that say how packages are reached.  Others (target, user, constraint, …) are a person's choices
for other work: they would install elsewhere, or something else than the pins."""


def clean_environment():  # type: () -> dict[str, str]
    """This process's variables without those of Python that lead elsewhere."""
    return {
        name: value
        for name, value in os.environ.items()
        if name != "__PYVENV_LAUNCHER__" and (not name.upper().startswith("PYTHON") or name.upper() in HARMLESS)
    }


LISTING = """\
import json
from pip._internal.configuration import Configuration
settings = Configuration(isolated=False)
settings.load()
print(json.dumps(dict(settings.items())))
"""
"""Prints pip's settings as pip itself reads them.  ``pip config list`` is led astray by the setting ``user``."""


def pip_environment(python):  # type: (str) -> dict[str, str]
    """Variables for pip: of its configuration files and variables only what says how packages are reached."""
    import json
    import subprocess

    clean = clean_environment()
    told = subprocess.run(
        [python, "-I", "-c", LISTING], env=clean, capture_output=True, text=True, errors="replace"
    ).stdout
    try:
        settings = json.loads(told)
    except ValueError:
        # A file that pip cannot read: what stands in the variables is all that is known.
        settings = {":env:." + name[4:].lower().replace("_", "-"): value for name, value in clean.items()}
    reach = {}  # type: dict[str, str]
    # Later ones win: what holds for all of pip's commands, for its install command, for this process.
    for section in ("global", "install", ":env:"):
        for name, value in settings.items():
            where, _, option = name.rpartition(".")
            if where == section and option in REACH and value:
                reach["PIP_" + option.upper().replace("-", "_")] = value
    kept = {name: value for name, value in clean.items() if not name.upper().startswith("PIP_")}
    return dict(kept, PIP_CONFIG_FILE=os.devnull, **reach)
