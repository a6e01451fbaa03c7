"""Settings that are damaged, of wrong types or cannot be written: the window opens, and nothing is told as lost."""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest

from app.shell.files import Files
from app.state.settings import Settings, load_settings, save_settings
from app.state.workbench import Workbench
from core.documents.setup_examples import EXAMPLES
from tests.app import steps
from tests.app.windows import ArcWindow, boss, settle, window_on

pytestmark = pytest.mark.usefixtures("window_app")

WRONG = {
    "recent of numbers": '{"recent": [1, null, {"a": 1}, "x.toml", "\\u0000", "'
    + "n" * 5000
    + '"], "theme": "dark"}',
    "recent is text": '{"recent": "x.toml", "theme": "dark"}',
    "pages is a list": '{"pages": [1, 2], "theme": "dark"}',
    "a page is a list": '{"pages": {"arc": [1], "figures": 7}, "theme": "dark"}',
    "a page of wrong types": '{"pages": {"arc": {"strips": [[1], {}], "charts": 1, "loupe": "y"}}, "theme": "dark"}',
    "types": '{"theme": "dark", "units": 7, "reduced_motion": "no", "materials": ["a"]}',
    "materials that no file can be": '{"materials": "\\u0000", "theme": "dark"}',
}
DAMAGED = {
    "nested too deep": "[" * 100_000,
    "nested objects": '{"a":' * 100_000,
    "half a file": '{"theme": "dark", "rec',
    "another kind": "[1, 2]",
    "a number of thousands of digits": '{"recent": ' + "9" * 5000 + "}",
    "binary": "\0\1\2",
}


def written(place: Path, text: str) -> Path:
    place.mkdir(parents=True)
    file = place / "settings.json"
    file.write_text(text, "utf-8")
    return file


def opened_with(settings: Settings) -> None:
    from app.state.view_state import ViewState

    window = ArcWindow(Workbench(boss()), ViewState(), settings)
    window.show()
    settle()
    window.recent.fill()
    window.close()
    window.deleteLater()
    settle()


@pytest.mark.parametrize("name", WRONG)
def test_what_is_sound_is_kept_and_the_window_opens(name: str, own_settings: Path) -> None:
    written(own_settings, WRONG[name])
    settings = load_settings()
    assert settings.theme == "dark" and all(isinstance(r, str) for r in settings.recent)
    opened_with(settings)
    assert load_settings().theme == "dark"


@pytest.mark.parametrize("name", DAMAGED)
def test_what_is_damaged_is_set_aside(name: str, own_settings: Path) -> None:
    file = written(own_settings, DAMAGED[name])
    assert load_settings() == Settings()
    assert not file.exists() and file.with_suffix(".damaged").read_text("utf-8") == DAMAGED[name]


def test_a_pipe_in_place_of_the_settings_holds_nothing_up(own_settings: Path) -> None:
    own_settings.mkdir()
    os.mkfifo(own_settings / "settings.json")
    assert load_settings() == Settings()
    save_settings(Settings())


@pytest.mark.parametrize("how", ["read-only file", "a folder there", "a file for the folder", "half a character"])
def test_settings_that_cannot_be_written_are_no_failed_save(how: str, own_settings: Path, tmp_path: Path) -> None:
    settings = Settings(materials="\ud800" if how == "half a character" else "")
    if how == "read-only file":
        written(own_settings, "{}").chmod(0o444)
    elif how == "a folder there":
        (own_settings / "settings.json").mkdir(parents=True)
    elif how == "a file for the folder":
        own_settings.write_text("")
    job = tmp_path / "job.toml"
    job.write_bytes(EXAMPLES[1].file.read_bytes())
    with window_on(boss()) as window:
        window.settings = window.files.settings = settings
        said: list[str] = []
        window.workbench.refused.connect(said.append)
        assert isinstance(window.files, Files) and window.files.open_path(job)
        window.workbench.propose(window.workbench.setup.with_keys({"cut.spindle_speed_rpm": 1234.0}), steps.SPEED)
        settle()
        assert window.files.save() and said == [] and not window.isWindowModified()
    assert "1234" in job.read_text("utf-8")


def test_settings_come_back(own_settings: Path) -> None:
    settings = Settings(theme="dark", recent=["a"], pages={"arc": {"loupe": True}})
    save_settings(settings)
    assert load_settings() == settings and json.loads((own_settings / "settings.json").read_text())["theme"] == "dark"
