"""A lesson under way: where the class is, and what it has predicted.  Plain values, so that a crash loses nothing."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any, Literal

from ..setup.setup import Setup
from .answers import Guess
from .hands import MOST_GUESSES, NamedGuess
from .lesson import Lesson, Scene

Step = Literal["caution", "words", "ask", "reveal", "look", "end"]


@dataclass(frozen=True, slots=True)
class Place:
    """One press of the clicker: a scene, from 0, and what of it is seen."""

    scene: int
    step: Step


def places(lesson: Lesson) -> tuple[Place, ...]:
    """Every place of a lesson in order: a prediction is asked, revealed and then looked at; words before pictures."""
    found = [Place(0, "caution")] if lesson.caution else []
    for i, scene in enumerate(lesson.scenes):
        first: tuple[Step, ...] = ("words",) if scene.predict is None else ("ask", "reveal")
        found += [Place(i, step) for step in (*first, "look")]
    return (*found, Place(len(lesson.scenes) - 1, "end"))


@dataclass(frozen=True, slots=True)
class LessonRun:
    """A lesson and where it stands.

    file : of the lesson; position : in :func:`places`; guesses : of each scene that was asked, by its number;
    seconds : how long it has been under way.
    """

    lesson: Lesson
    file: str
    position: int = 0
    guesses: tuple[tuple[NamedGuess, ...], ...] = ()
    seconds: float = 0.0

    @property
    def places(self) -> tuple[Place, ...]:
        """Every place in order."""
        return places(self.lesson)

    @property
    def place(self) -> Place:
        """Where it stands."""
        return self.places[self.position]

    @property
    def scene(self) -> Scene:
        """The scene in which it stands."""
        return self.lesson.scenes[self.place.scene]

    @property
    def before(self) -> Setup | None:
        """The cut of the scene before; None in the first."""
        return self.lesson.before(self.place.scene)

    def moved(self, by: int) -> LessonRun:
        """On or back, never over an end."""
        return replace(self, position=min(max(self.position + by, 0), len(self.places) - 1))

    def of_scene(self, index: int) -> tuple[NamedGuess, ...]:
        """What was predicted in a scene."""
        return self.guesses[index] if index < len(self.guesses) else ()

    def with_guesses(self, index: int, guesses: tuple[NamedGuess, ...]) -> LessonRun:
        """The predictions of a scene replaced, no more than so many."""
        every = [self.of_scene(i) for i in range(len(self.lesson.scenes))]
        every[index] = guesses[:MOST_GUESSES]
        return replace(self, guesses=tuple(every))

    def kept(self) -> dict[str, Any]:
        """All of it but the lesson as plain data for JSON."""
        told = [[[g.name, list(g.guess) if isinstance(g.guess, tuple) else g.guess] for g in s] for s in self.guesses]
        return {"file": self.file, "position": self.position, "guesses": told, "seconds": self.seconds}


def resumed(lesson: Lesson, kept: Mapping[str, Any]) -> LessonRun:
    """The run that :meth:`LessonRun.kept` told of; what does not fit the lesson as it is now is left out."""
    run = LessonRun(lesson, str(kept.get("file", "")))
    position, seconds = kept.get("position", 0), kept.get("seconds", 0.0)
    if isinstance(position, int) and not isinstance(position, bool):
        run = run.moved(position)
    if isinstance(seconds, int | float) and seconds >= 0.0:
        run = replace(run, seconds=float(seconds))
    listed = kept.get("guesses", [])
    for i, scene in enumerate(listed[: len(lesson.scenes)] if isinstance(listed, list) else []):
        found = [g for entry in scene if (g := _guess(entry)) is not None] if isinstance(scene, list) else []
        predict = lesson.scenes[i].predict
        fits = [g for g in found if predict is not None and _fits(g.guess, predict.kind, len(predict.options))]
        run = run.with_guesses(i, tuple(fits))
    return run


def _guess(entry: object) -> NamedGuess | None:
    if not isinstance(entry, list) or len(entry) != 2 or not isinstance(entry[0], str):
        return None
    name, guess = entry
    if isinstance(guess, list) and all(isinstance(i, int) for i in guess):
        return NamedGuess(name, tuple(guess))
    return NamedGuess(name, guess) if isinstance(guess, int | float) and not isinstance(guess, bool) else None


def _fits(guess: Guess, kind: str, options: int) -> bool:
    if kind == "order":
        return isinstance(guess, tuple) and sorted(guess) == list(range(options))
    if isinstance(guess, tuple):
        return False
    return kind != "choose" or guess in range(options)
