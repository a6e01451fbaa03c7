"""The setup document: TOML text to a setup and back, strict in reading, comment-keeping in writing.

Reading is in ``setup_reading``, writing in ``setup_writing``; this is their one front door.
"""

from __future__ import annotations

from pathlib import Path

from .document_text import decoded, load_text
from .setup import Setup
from .setup_reading import problems, read_setup


def load_setup(path: str | Path) -> Setup:
    """The setup in a file.  Raises DocumentError, also for a folder, a missing or an unreadable file."""
    return read_setup(load_text(str(path)), str(path))


__all__ = ["decoded", "load_setup", "load_text", "problems", "read_setup"]
