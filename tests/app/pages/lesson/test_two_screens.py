"""A lesson before a class with a projector and a teacher's screen: a clicker alone, killed at each scene."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from core.base.places import shared
from tests.app.pages.lesson.two_screens import SCREENS, write_screens
from tests.app.sudden_end import CODE

ROOT = Path(__file__).resolve().parents[4]
SCENES = 3


@pytest.fixture(scope="module")
def lesson_file(tmp_path_factory: pytest.TempPathFactory) -> str:
    """The first scenes of a lesson of ours: with a caution, and two pins."""
    head, *scenes = shared("lessons", "thickest-chip.toml").read_text("utf-8").split("[[scene]]\n")
    file = tmp_path_factory.mktemp("lesson") / "short.toml"
    file.write_text("[[scene]]\n".join([head, *scenes[:SCENES]]), "utf-8")
    return str(file)


Told = list[dict[str, Any]]


@pytest.fixture(scope="module")
def ended(lesson_file: str, tmp_path_factory: pytest.TempPathFactory) -> list[tuple[int, Told]]:
    """Processes at two screens, one after another: how each ended, and what it told."""
    folder = tmp_path_factory.mktemp("class")
    env = os.environ | {
        "QT_QPA_PLATFORM": write_screens(folder / "screens.json"),
        "CHIPARC_SETTINGS": str(folder),
        "PYTHONPATH": str(ROOT),
    }
    done = subprocess.run(
        [sys.executable, "-m", "tests.app.pages.lesson.two_screens", lesson_file, *SCENES * ["give"], "carry"],
        cwd=folder,
        env=env,
        capture_output=True,
        text=True,
        encoding="utf-8",
    )
    assert done.returncode == 0, done.stderr
    ended, told = list[tuple[int, Told]](), Told()
    for line in map(json.loads, done.stdout.splitlines()):
        if "code" in line:
            assert told, done.stderr
            ended.append((line["code"], told))
            told = []
        else:
            told.append(line)
    return ended


def test_with_a_clicker_from_start_to_end_killed_at_each_scene(
    lesson_file: str, ended: list[tuple[int, Told]]
) -> None:
    places, last = list[tuple[int, str]](), None
    for scene, (code, told) in enumerate(ended[:SCENES]):
        assert code == (0 if scene == SCENES - 1 else CODE)
        # It goes on where the one before was killed, with the predictions.
        assert told[0]["scene"] == scene and told[0]["file"] == lesson_file
        if last is not None:
            assert all(told[0][key] == last[key] for key in ("step", "position", "predictions"))
            places.pop()
        last = told[-1]
        assert sum(last["predictions"]) == (0, 1, 2)[scene]
        for each in told:
            places.append((each["scene"], each["step"]))
            # What the teacher is to do stands in the notes alone.
            assert not each["to do"]
            assert each["window"] == ["projector", *SCREENS["projector"][2:]] and each["dialogs"] == 0
            assert each["notes"] == "laptop" and each["inside"] and each["clock"] and each["title"]
            if each["scene"] < SCENES - 1 and each["step"] != "caution":
                assert each["next"].startswith("Next: ")
    assert {step for _, step in places} >= {"ask", "reveal", "look", "end"}
    assert places == sorted(places, key=lambda place: place[0]) and len(set(places)) == len(places)


def test_the_answers_never_stand_where_the_class_looks(ended: list[tuple[int, Told]]) -> None:
    code, (begun, on_projector, back, put_away) = ended[SCENES]
    assert code == 0
    # On the teacher's own screen nobody knows yet what the class sees.
    assert begun["window"][0] == "laptop" and begun["notes"] is None and begun["to do"]
    assert on_projector["window"][0] == "projector" and on_projector["notes"] == "laptop"
    assert back["window"][0] == "laptop" and back["notes"] == "projector"
    # Once they are put away by hand they do not come again by themselves.
    assert put_away["window"][0] == "projector" and put_away["notes"] is None
