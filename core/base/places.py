"""Where the project's own data stands: the same in a checkout and in an installed package."""

from __future__ import annotations

from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]


def shared(*parts: str) -> Path:
    """Path of a file in the project's ``shared/`` folder (catalogue, tables, setups, words)."""
    return ROOT.joinpath("shared", *parts)


def assets(*parts: str) -> Path:
    """Path of a file in the project's ``assets/`` folder (icons, fonts, pictures)."""
    return ROOT.joinpath("assets", *parts)
