"""Settings: theme, units, recent files, own materials.  One small file of ours, set aside when it is damaged."""

from __future__ import annotations

import contextlib
import json
import os
import sys
from dataclasses import asdict, dataclass, field, fields
from pathlib import Path
from typing import Any

from core.base.errors import ChiparcError, DocumentError
from core.base.safe_write import write_text
from core.documents.document_text import load_text
from core.setup.show import ELEMENTS

RECENT = 8


def settings_folder() -> Path:
    """The platform's place for settings; ``CHIPARC_SETTINGS`` names another."""
    own = os.environ.get("CHIPARC_SETTINGS")
    if own:
        return Path(own)
    home = Path.home()
    if sys.platform == "win32":
        return Path(os.environ.get("APPDATA", home / "AppData" / "Roaming")) / "Chiparc"
    if sys.platform == "darwin":
        return home / "Library" / "Application Support" / "Chiparc"
    return Path(os.environ.get("XDG_CONFIG_HOME", home / ".config")) / "chiparc"


@dataclass(slots=True)
class Settings:
    """What is remembered; an empty theme follows the desktop, empty materials are the catalogue's alone.

    ``language`` is the id of the one that was chosen, empty while none was.

    ``hidden`` names the elements that were out of sight.
    ``pages`` holds what each page wants to be the same at the next start, by its id.
    """

    theme: str = ""
    units: str = "metric"
    reduced_motion: bool = False
    language: str = ""
    recent: list[str] = field(default_factory=list)
    materials: str = ""
    hidden: list[str] = field(default_factory=list)
    pages: dict[str, dict[str, object]] = field(default_factory=dict)

    def used(self, file: Path) -> None:
        """A file was opened or saved: it comes first among the recent ones."""
        name = str(file.resolve())
        self.recent = [name, *(r for r in self.recent if r != name)][:RECENT]


def load_settings() -> Settings:
    """The settings on disk; what is damaged is set aside and defaults are taken, key by key where that is enough."""
    try:
        file = settings_folder() / "settings.json"
    except RuntimeError:  # a user without a home
        return Settings()
    try:
        found = json.loads(load_text(str(file), "JSON"))
        if isinstance(found, dict):
            return _sound(found)
    except DocumentError as error:
        if not error.line:
            # No such file, or one that this user may not read: it is left alone.
            return Settings()
    except (ValueError, RecursionError):
        pass
    with contextlib.suppress(OSError):
        file.replace(file.with_suffix(".damaged"))
    return Settings()


def _sound(found: dict[str, Any]) -> Settings:
    """The settings of which each has its type, down to the parts of lists and tables."""
    kinds = {f.name: type(getattr(Settings(), f.name)) for f in fields(Settings)}
    kept = {k: v for k, v in found.items() if k in kinds and isinstance(v, kinds[k])}
    if "recent" in kept:
        kept["recent"] = [name for name in kept["recent"] if isinstance(name, str)][:RECENT]
    if "hidden" in kept:
        kept["hidden"] = [name for name in kept["hidden"] if name in ELEMENTS]
    if "pages" in kept:
        kept["pages"] = {id: state for id, state in kept["pages"].items() if isinstance(state, dict)}
    return Settings(**kept)


def save_settings(settings: Settings) -> None:
    """Write the settings; a place that cannot be written loses nothing but the settings."""
    with contextlib.suppress(OSError, ChiparcError, ValueError, TypeError, RecursionError, RuntimeError):
        folder = settings_folder()
        folder.mkdir(parents=True, exist_ok=True)
        write_text(folder / "settings.json", json.dumps(asdict(settings), indent=2))
