"""The setup document: TOML text to a setup and back, strict in reading, comment-keeping in writing.

Reading is in ``setup_reading``, writing in ``setup_writing``; this is their one front door.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from ..base.safe_write import Stamp, write_text
from ..setup.setup import Setup
from .document_text import decoded, load_text
from .setup_reading import problems, read_setup
from .setup_writing import write_setup

if TYPE_CHECKING:
    from .materials import Catalogue


def load_setup(path: str | Path) -> Setup:
    """The setup in a file.  Raises DocumentError, also for a folder, a missing or an unreadable file."""
    return read_setup(load_text(str(path)), str(path))


def save_setup(
    setup: Setup,
    path: str | Path,
    original: str | None = None,
    unchanged_since: Stamp | None = None,
    known: Catalogue | None = None,
) -> str:
    """Write the setup into a file, whole or not at all; the text written comes back, the next ``original``.

    original : the text that the setup was read from, so that comments and layout stay;
    unchanged_since : the file's stamp then (``safe_write.stamp``): a file changed since is not overwritten;
    known : the catalogue that has the work's material, the project's own unless given.
    Raises ChiparcError for an illegal setup, DocumentError for a place that cannot be written.
    """
    text = write_setup(setup, original, known)
    write_text(path, text, unchanged_since)
    return text


__all__ = ["decoded", "load_setup", "load_text", "problems", "read_setup", "save_setup", "write_setup"]
