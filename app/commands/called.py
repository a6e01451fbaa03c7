"""What a person types to start the program: ``python3 app`` in a checkout, ``chiparc`` where it is installed."""

from __future__ import annotations

from core.base.places import ROOT

IN_CHECKOUT, INSTALLED = "python3 app", "chiparc"


def as_called(text: str) -> str:
    """A text that names the program as in a checkout, with the name that it has here."""
    return text if (ROOT / "pyproject.toml").is_file() else text.replace(IN_CHECKOUT, INSTALLED)


def called(command: str = "") -> str:
    """What a person types to start a command of the program, or the program itself."""
    return as_called(f"{IN_CHECKOUT} {command}".rstrip())
