"""What a lesson leaves on this machine: where the class is, for after a crash, and learners' results.

Small files beside the settings.  A result holds a name that the learner typed, the question and the prediction, and
nothing else.
"""

from __future__ import annotations

import contextlib
import csv
import io
import json
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from app.state.settings import settings_folder
from core.base.errors import ChiparcError
from core.base.quantities import Units
from core.base.safe_write import write_text
from core.base.words import say
from core.documents.document_text import load_text
from core.documents.materials import Catalogue
from core.lesson.answers import guess_words, judged
from core.lesson.hands import LONGEST_NAME
from core.lesson.lesson_run import LessonRun

MOST_RESULTS = 20_000


def _run_file() -> Path:
    return settings_folder() / "lesson-run.json"


def results_file() -> Path:
    """Where learners' results are kept."""
    return settings_folder() / "lesson-results.json"


def _written(file: Path, value: Any) -> None:
    """Keep a value; a place that cannot be written loses nothing but this."""
    with contextlib.suppress(OSError, ChiparcError, ValueError, RuntimeError):
        file.parent.mkdir(parents=True, exist_ok=True)
        write_text(file, json.dumps(value, ensure_ascii=False, indent=1))


def _read(file: Path) -> Any:
    try:
        return json.loads(load_text(str(file), "JSON"))
    except (ChiparcError, ValueError, RecursionError, RuntimeError):
        return None


def keep_run(kept: dict[str, Any]) -> None:
    """Where the class is now."""
    _written(_run_file(), kept)


def kept_run() -> dict[str, Any] | None:
    """Where a class was that did not come to its end; None if none is open."""
    found = _read(_run_file())
    return found if isinstance(found, dict) else None


def forget_run() -> None:
    """The lesson has come to its end, or was left."""
    with contextlib.suppress(OSError, RuntimeError):
        _run_file().unlink()


def _draft_file() -> Path:
    return settings_folder() / "lesson-draft.json"


def keep_draft(file: str, text: str) -> None:
    """A lesson that is being edited and is not saved; ``file`` is empty for one that has none yet."""
    _written(_draft_file(), {"file": file, "text": text})


def kept_draft() -> tuple[str, str] | None:
    """The file and the text of a lesson that was left unsaved; None if there is none."""
    found = _read(_draft_file())
    if not isinstance(found, dict) or not all(isinstance(found.get(key), str) for key in ("file", "text")):
        return None
    return found["file"], found["text"]


def forget_draft() -> None:
    """It was saved, or thrown away."""
    with contextlib.suppress(OSError, RuntimeError):
        _draft_file().unlink()


@dataclass(frozen=True, slots=True)
class Result:
    """One prediction of a learner who gave a name."""

    name: str
    lesson: str
    question: str
    prediction: str
    near: bool


def revealed_results(run: LessonRun, units: Units, known: Catalogue) -> tuple[Result, ...]:
    """The predictions with a name of the scene that a run stands at."""
    scene, predict = run.scene, run.scene.predict
    if predict is None:
        return ()
    return tuple(
        Result(
            each.name[:LONGEST_NAME],
            run.lesson.title,
            scene.title,
            guess_words(predict, each.guess, scene.setup, units),
            judged(predict, each.guess, scene.setup, run.before, units, known).near,
        )
        for each in run.of_scene(run.place.scene)
        if each.name
    )


def results() -> tuple[Result, ...]:
    """Every result that is kept, the oldest first; what is damaged is passed over."""
    found = _read(results_file())
    kept = []
    for entry in found if isinstance(found, list) else []:
        with contextlib.suppress(TypeError):
            result = Result(**entry)
            if all(isinstance(v, str) for v in (result.name, result.lesson, result.question, result.prediction)):
                kept.append(result)
    return tuple(kept)


def add_results(new: tuple[Result, ...]) -> None:
    """More results; of one learner's answers to one question the last counts."""
    if not new:
        return
    kept = {(r.name, r.lesson, r.question): r for r in (*results(), *new)}
    _written(results_file(), [asdict(each) for each in list(kept.values())[-MOST_RESULTS:]])


def erase_results() -> None:
    """All of them, for good."""
    with contextlib.suppress(OSError, RuntimeError):
        results_file().unlink()


def results_csv(kept: tuple[Result, ...]) -> str:
    """The results as a table for a spreadsheet."""
    text = io.StringIO()
    out = csv.writer(text, lineterminator="\n")
    out.writerow([say("lesson_results", head) for head in ("name", "lesson", "question", "prediction", "near")])
    for each in kept:
        near = say("lesson_results", "yes" if each.near else "no")
        out.writerow([_plain_cell(c) for c in (each.name, each.lesson, each.question, each.prediction)] + [near])
    return text.getvalue()


def _plain_cell(text: str) -> str:
    """A spreadsheet takes a cell that begins with one of these for a formula."""
    return f"'{text}" if text[:1] in ("=", "+", "-", "@", "\t") else text
