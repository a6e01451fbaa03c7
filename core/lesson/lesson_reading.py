"""Strict reading of a lesson document: every fault with its line, also words, claims and answers that do not hold.

The form: ``format``, ``version``, ``title``, ``about``, perhaps ``caution`` and ``[worksheet]``, then ``[[scene]]``
blocks.  A scene's cut is an example of the gallery, a ``[scene.setup]`` with the tables of a setup document, or the
cut of the scene before, each with what ``[scene.change]`` lays over it.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path as FilePath
from typing import Any

from ..base.errors import ChiparcError
from ..base.refused import refused, refused_count
from ..base.words import say
from ..documents.document_text import decoded, load_text
from ..documents.materials import Catalogue
from ..documents.setup_examples import EXAMPLES, example
from ..documents.setup_reading import read_within
from ..documents.setup_writing import mode_tables, setup_tables
from ..documents.strict_reader import NOTHING
from ..documents.strict_tables import StrictTables
from ..documents.toml_edit import toml_value
from ..documents.toml_errors import shortened
from ..documents.toml_lines import Path
from ..setup.setup import Setup
from ..setup.setup_limits import Range
from .answers import check_answer
from .cut_figures import FIELD, claim_holds, field_text, fields_of, named_figure
from .lesson import KINDS, PIN_NEAR_DEG, PINS, SHARE_NEAR, Kind, Lesson, Option, Predict, Scene
from .tasks import TASKS

FORMAT, VERSION = "chiparc lesson", 1
LONGEST_LINE, LONGEST_TEXT = 200, 6000
MOST_OPTIONS, MOST_SCENES = 6, 60

MINUTES = Range(0.0, 120.0, over=True)
NEAR_DEG, NEAR_SHARE = Range(0.0, 90.0, over=True), Range(0.0, 1.0, over=True)
ANY_NUMBER = Range(-1e12, 1e12)

SCENE_KEYS = ("say", "do", "holds", "example", "setup", "change", "show", "predict")
PREDICT_KEYS = ("figure", "near", "wanted", "option")


def nested(setup: Setup) -> dict[str, Any]:
    """A setup as the nested tables of its document, without its heading and its view."""
    found: dict[str, Any] = {"title": setup.title}
    for path, values in setup_tables(setup).items():
        inner = found
        for name in path:
            inner = inner.setdefault(str(name), {})
        inner.update(values)
    if setup.dynamics:
        found["dynamics"] = mode_tables(setup)
    found.pop("show", None)
    return found


def laid_over(tables: dict[str, Any], change: dict[str, Any]) -> dict[str, Any]:
    """Tables with the keys of a change in place of theirs; force coefficients of another model replace the table."""
    found = dict(tables)
    for key, value in change.items():
        old = found.get(key)
        if isinstance(value, dict) and isinstance(old, dict) and value.get("model") in (None, old.get("model")):
            found[key] = laid_over(old, value)
        else:
            found[key] = value
    return found


class _Reading(StrictTables):
    """One pass over one lesson document."""

    def __init__(self, text: str, file: str, known: Catalogue | None) -> None:
        super().__init__(text, file)
        self.known = known

    def refuse_error(self, path: Path, error: ChiparcError) -> None:
        """A fault that a computation has found, at the key whose words asked for it."""
        found = error.found
        if error.where not in ("figure", "holds"):
            found = say("lesson_refused", "computed", found=found, key=error.where)
        self.refuse(path, found, error.allowed)

    def text_of(self, table: dict[str, Any], path: Path, key: str, *, must: bool = False) -> str:
        """Words of one or more paragraphs, without the blank ends."""
        value = table.get(key, "")
        if not isinstance(value, str):
            self.refuse_type((*path, key), value, say("document_refused", "text"))
            return ""
        if len(value) > LONGEST_TEXT:
            self.refuse_length((*path, key), value, LONGEST_TEXT)
        elif any((ord(c) < 32 and c not in "\n\t\r") or ord(c) == 127 for c in value):
            self.refuse((*path, key), *refused("lesson_refused", "control"))
        elif must and key in table and not value.strip():
            self.refuse((*path, key), say("refusal", "nothing"), say("document_refused", "text"))
        return value.strip()

    def line_of(self, table: dict[str, Any], path: Path, key: str) -> str:
        """One line of words."""
        line = self.word(table, path, key)
        if len(line) > LONGEST_LINE:
            self.refuse_length((*path, key), line, LONGEST_LINE)
        return line

    def refuse_length(self, path: Path, text: str, most: int) -> None:
        """Note a text of too many characters."""
        self.refuse(path, *refused("lesson_refused", "characters", count=len(text), most=most))

    def blocks_of(self, table: dict[str, Any], path: Path, key: str, most: int) -> list[Any]:
        """A list of tables under a key, at most so many."""
        found = table.get(key, [])
        if not isinstance(found, list):
            self.refuse_type((*path, key), found, say("document_refused", "tables", key=key))
            return []
        if len(found) > most:
            self.refuse((*path, key), *refused("lesson_refused", "too_many", count=len(found), most=most))
        return found[:most]

    def lesson(self) -> Lesson | None:
        """The document.  Raises DocumentError for one of another kind."""
        if "format" not in self.data:
            self.refuse(("format",), say("refusal", "missing"), toml_value(FORMAT))
        top = self.head(FORMAT, ("title", "about", "scene"), ("caution", "worksheet"))
        title, about = (self.line_of(top, (), key) for key in ("title", "about"))
        caution = self.text_of(top, (), "caution", must=True)
        tasks = self.tasks(top.get("worksheet", {}))
        blocks = self.blocks_of(top, (), "scene", MOST_SCENES)
        if not blocks and isinstance(top.get("scene"), list):
            self.refuse(("scene",), *refused("lesson_refused", "no_scene"))
        scenes: list[Scene] = []
        before: Setup | None = None
        for i, block in enumerate(blocks):
            scene = self.scene(block, ("scene", i), before)
            if scene is not None:
                scenes.append(scene)
                before = scene.setup
        return Lesson(title, about, tuple(scenes), caution, tasks)

    def tasks(self, table: Any) -> tuple[str, ...]:
        """Ids of what the worksheet asks."""
        found = self.fields(table, ("worksheet",), (), ("tasks",)).get("tasks", [])
        path: Path = ("worksheet", "tasks")
        if not isinstance(found, list):
            self.refuse_type(path, found, say("lesson_refused", "tasks_allowed", names=", ".join(TASKS)))
            return ()
        for i, name in enumerate(found):
            if name not in TASKS or name in found[:i]:
                id = "task_twice" if name in found[:i] else "task"
                allowed = say("lesson_refused", "task_allowed", names=", ".join(TASKS))
                self.refuse((*path, i), say("lesson_refused", id, name=shortened(str(name))), allowed)
                return ()
        return tuple(found)

    def scene(self, block: Any, path: Path, before: Setup | None) -> Scene | None:
        """One scene; None where its cut could not be read, so that nothing can be said of it."""
        table = self.fields(block, path, ("title", "minutes", "say"), SCENE_KEYS)
        if not table:
            return None
        title, spoken = self.line_of(table, path, "title"), self.text_of(table, path, "say", must=True)
        do = self.text_of(table, path, "do")
        minutes = self.number(table["minutes"], (*path, "minutes"), MINUTES) if "minutes" in table else NOTHING
        setup = self.cut(table, path, before)
        if setup is None:
            return None
        for key, words in (("say", spoken), ("do", do)):
            self.check_words(words, (*path, key), setup, before)
        holds = self.holds(table.get("holds", []), (*path, "holds"), setup, before)
        predict = self.predict(table["predict"], (*path, "predict"), setup, before) if "predict" in table else None
        return Scene(title, minutes, spoken, setup, do, holds, predict)

    def cut(self, table: dict[str, Any], path: Path, before: Setup | None) -> Setup | None:
        """The scene's cut."""
        begin: dict[str, Any] | None = None if before is None else nested(before)
        if "example" in table and "setup" in table:
            self.refuse((*path, "setup"), *refused("lesson_refused", "example_and_setup"))
        if "example" in table:
            name = self.one_of(table, path, "example", [each.id for each in EXAMPLES])
            if not name:
                return None
            begin = nested(example(name).setup())
        root = (*path, "change")
        if "setup" in table:
            root = (*path, "setup")
            given = table["setup"]
            if not isinstance(given, dict):
                self.refuse_type(root, given, say("lesson_refused", "setup_allowed"))
                return None
            begin = given
        if begin is None:
            self.refuse(path, *refused("lesson_refused", "no_cut"))
            return None
        if "setup" in table and ("change" in table or "show" in table):
            # Its own faults first, with its own lines.
            if read_within(self, root, begin, self.known) is None:
                return None
            root = (*path, "change")
        change = table.get("change", {})
        if not isinstance(change, dict):
            self.refuse_type((*path, "change"), change, say("lesson_refused", "change_allowed"))
            return None
        whole = laid_over(begin, change)
        if "show" in table:
            if read_within(self, path, begin | {"show": table["show"]}, self.known) is None:
                return None
            whole["show"] = table["show"]
        return read_within(self, root, whole, self.known)

    def check_words(self, words: str, path: Path, setup: Setup, before: Setup | None) -> None:
        """Every figure in words must be one that the cut has."""
        for name in fields_of(words):
            self.attempt(path, field_text, name, setup, before, "metric", self.known)
        rest = FIELD.sub("", words)
        if "{" in rest or "}" in rest:
            self.refuse(path, *refused("lesson_refused", "brace"))

    def attempt(self, path: Path, work: Callable[..., Any], *given: Any) -> Any:
        """What a computation gives; None, and its fault noted, where it refuses."""
        try:
            return work(*given)
        except ChiparcError as error:
            self.refuse_error(path, error)
            return None

    def holds(self, claims: Any, path: Path, setup: Setup, before: Setup | None) -> tuple[str, ...]:
        """The claims, each true of the cut."""
        if not isinstance(claims, list) or not all(isinstance(claim, str) for claim in claims):
            self.refuse_type(path, claims, say("lesson_refused", "claims_allowed"))
            return ()
        for i, claim in enumerate(claims):
            if self.attempt((*path, i), claim_holds, claim, setup, before, self.known) is False:
                self.refuse((*path, i), *refused("lesson_refused", "claim", claim=claim))
        return tuple(claims)

    # Predictions

    def predict(self, block: Any, path: Path, setup: Setup, before: Setup | None) -> Predict | None:
        """A prediction, its answer worked out once so that one without an answer is refused here."""
        faults = len(self.faults)
        table = self.fields(block, path, ("kind", "ask", "why", "figure"), PREDICT_KEYS)
        kind = self.one_of(table, path, "kind", KINDS)
        ask, why = (self.text_of(table, path, key, must=True) for key in ("ask", "why"))
        for key, words in (("ask", ask), ("why", why)):
            self.check_words(words, (*path, key), setup, before)
        if not kind or "figure" not in table:
            return None
        figure = self.figure_name(table, path, kind)
        near = self.near(table, path, kind)
        wanted = self.one_of(table, path, "wanted", ("most", "least")) or "most"
        options = self.options(table, path, kind, figure, setup)
        if len(self.faults) > faults or not figure:
            return None
        made = Predict(_kind(kind), ask, why, figure, near, "least" if wanted == "least" else "most", options)
        self.attempt((*path, "figure"), check_answer, made, setup, before, self.known)
        return made

    def figure_name(self, table: dict[str, Any], path: Path, kind: str) -> str:
        """What answers: for a pin a place of the arc, else a figure of the report; "" after a refusal."""
        if kind == "pin":
            return self.one_of(table, path, "figure", PINS)
        figure = self.word(table, path, "figure")
        return figure if figure and self.attempt((*path, "figure"), named_figure, figure) else ""

    def near(self, table: dict[str, Any], path: Path, kind: str) -> float:
        """How far off still counts as near."""
        usual = PIN_NEAR_DEG if kind == "pin" else SHARE_NEAR
        if "near" not in table:
            return usual
        if kind not in ("pin", "estimate"):
            self.refuse((*path, "near"), *refused("lesson_refused", "near"))
            return usual
        return self.number(table["near"], (*path, "near"), NEAR_DEG if kind == "pin" else NEAR_SHARE)

    def options(self, table: dict[str, Any], path: Path, kind: str, figure: str, setup: Setup) -> tuple[Option, ...]:
        """What may be chosen or is to be put in order."""
        blocks = self.blocks_of(table, path, "option", MOST_OPTIONS)
        at: Path = (*path, "option")
        if kind in ("pin", "estimate"):
            if blocks:
                self.refuse(at, *refused("lesson_refused", "options_of_kind", kind=kind))
            return ()
        if len(blocks) < 2:
            self.refuse(at if blocks else path, *refused_count("lesson_refused", "options", len(blocks)))
            return ()
        found = [self.option(block, (*at, i), kind, setup) for i, block in enumerate(blocks)]
        cuts = [each for each in found if each is not None and each.setup is not None]
        if kind == "choose" and cuts and None not in found and len(cuts) < len(blocks):
            self.refuse(at, *refused("lesson_refused", "some_cuts"))
        return tuple(each for each in found if each is not None)

    def option(self, block: Any, path: Path, kind: str, setup: Setup) -> Option | None:
        """One option."""
        may = ("change",) if kind == "order" else ("change", "from", "to", "is")
        table = self.fields(block, path, ("text", *(("change",) if kind == "order" else ())), may)
        text = self.line_of(table, path, "text")
        if "change" in table:
            if not isinstance(table["change"], dict):
                self.refuse_type((*path, "change"), table["change"], say("lesson_refused", "change_allowed"))
                return None
            whole = laid_over(nested(setup), table["change"])
            own = read_within(self, (*path, "change"), whole, self.known)
            if own is None:
                return None
            self.check_words(text, (*path, "text"), own, None)
            return Option(text, own)
        self.check_words(text, (*path, "text"), setup, None)
        if kind == "order":
            return None
        if "is" in table:
            value = table["is"]
            if not isinstance(value, str | bool):
                self.refuse_type((*path, "is"), value, say("lesson_refused", "is_allowed"))
                return None
            return Option(text, value=value)
        if "from" not in table and "to" not in table:
            self.refuse(path, *refused("lesson_refused", "no_measure"))
            return None
        ends = [self.number(table[key], (*path, key), ANY_NUMBER) if key in table else None for key in ("from", "to")]
        return Option(text, low=ends[0], high=ends[1])


def _kind(word: str) -> Kind:
    return next(kind for kind in KINDS if kind == word)


def read_lesson(data: str | bytes, file: str, known: Catalogue | None = None) -> Lesson:
    """The lesson that a document describes; ``file`` is its name for the errors.

    Raises DocumentError with every fault: line, key, what was found, what is allowed.
    """
    reading = _Reading(decoded(data, file), file, known)
    lesson = reading.lesson()
    reading.finish()
    assert lesson is not None, "a document without a fault gives a lesson"
    return lesson


def load_lesson(path: str | FilePath, known: Catalogue | None = None) -> Lesson:
    """The lesson in a file.  Raises DocumentError."""
    return read_lesson(load_text(str(path)), str(path), known)
