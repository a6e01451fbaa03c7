"""What a scene says at each of its places: to the class, and to the teacher."""

from __future__ import annotations

import statistics
from dataclasses import dataclass

from app.pages.lesson.ring_scene import Mark, RingScene, ring_scene
from core.base.quantities import Units
from core.base.words import say
from core.documents.materials import Catalogue
from core.lesson.answers import LETTERS, answer_words, check_answer, judged, option_text
from core.lesson.cut_figures import filled, told_value
from core.lesson.hands import NamedGuess, tallies
from core.lesson.lesson import Predict
from core.lesson.lesson_run import LessonRun
from core.maths.angles import clock
from core.setup.setup import Setup


@dataclass(frozen=True, slots=True)
class SceneWords:
    """The words of one place.

    head : where the lesson is; ask : the question; options : what may be chosen, with how many did once it is
    revealed; answer, why, class_words : empty until it is revealed; say, do : for the teacher.
    """

    head: str
    title: str
    ask: str = ""
    options: tuple[str, ...] = ()
    answer: str = ""
    why: str = ""
    class_words: str = ""
    say: str = ""
    do: str = ""


def _signed(angle: float) -> float:
    """A pin between a quarter turn before 9 o'clock and one after 3: only then the middle of a class means much."""
    return (angle + 90.0) % 360.0 - 90.0


def class_words(
    predict: Predict,
    guesses: tuple[NamedGuess, ...],
    setup: Setup,
    before: Setup | None,
    units: Units,
    known: Catalogue | None,
) -> str:
    """How the class did, in a sentence or two; one prediction alone is held against the answer itself."""
    if not guesses:
        return ""
    each = [judged(predict, g.guess, setup, before, units, known) for g in guesses]
    if len(guesses) == 1:
        return each[0].words
    near = sum(one.near for one in each)
    if predict.kind in ("choose", "order"):
        return say("lesson_hands", "right_count", near=near, count=len(guesses))
    values = [float(g.guess) for g in guesses if not isinstance(g.guess, tuple)]
    told = say("lesson_hands", "near", near=near, count=len(guesses))
    if predict.kind == "pin":
        middle = statistics.median(_signed(v) for v in values)
        return f"{told} {say('lesson_hands', 'middle_pin', clock=clock(middle, setup.cutter.hand))}"
    key = predict.figure.partition("@")[0]
    figures = {
        name: told_value(value, key, units)
        for name, value in (("figure", statistics.median(values)), ("low", min(values)), ("high", max(values)))
    }
    return f"{told} {say('lesson_hands', 'middle_estimate', **figures)}"


def scene_words(run: LessonRun, units: Units, known: Catalogue | None = None) -> SceneWords:
    """The words of the place where a run stands."""
    lesson, place = run.lesson, run.place
    count = len(lesson.scenes)
    if place.step == "caution":
        return SceneWords(lesson.title, say("lesson_page", "caution"), say=lesson.caution)
    if place.step == "end":
        return SceneWords(lesson.title, say("lesson_page", "end"), class_words=_summary(run, units, known))
    scene, before = run.scene, run.before
    head = say("lesson_page", "head", number=place.scene + 1, count=count, lesson=lesson.title)
    talk, do = (filled(text, scene.setup, before, units, known) for text in (scene.say, scene.do))
    if scene.predict is None or place.step in ("words", "look"):
        return SceneWords(head, scene.title, say=talk, do=do)
    predict, guesses = scene.predict, run.of_scene(place.scene)
    ask = filled(predict.ask, scene.setup, before, units, known)
    told = place.step == "reveal"
    counts = tallies(guesses, len(predict.options)) if predict.kind == "choose" and told else []
    options = tuple(
        _option(i, option_text(predict, i, scene.setup, units, known), counts) for i in range(len(predict.options))
    )
    if not told:
        return SceneWords(head, scene.title, ask, options, say=talk, do=do)
    return SceneWords(
        head,
        scene.title,
        ask,
        options,
        answer_words(predict, scene.setup, before, units, known),
        filled(predict.why, scene.setup, before, units, known),
        class_words(predict, guesses, scene.setup, before, units, known),
        talk,
        do,
    )


def _option(index: int, text: str, counts: list[int]) -> str:
    word = "option_counted" if counts and sum(counts) else "option"
    return say("lesson_page", word, letter=LETTERS[index], text=text, count=counts[index] if counts else 0)


def _summary(run: LessonRun, units: Units, known: Catalogue | None) -> str:
    lines = []
    for i, scene in enumerate(run.lesson.scenes):
        guesses = run.of_scene(i)
        if scene.predict is not None and guesses:
            before = run.lesson.before(i)
            near = sum(judged(scene.predict, g.guess, scene.setup, before, units, known).near for g in guesses)
            lines.append(say("lesson_page", "summary", title=scene.title, near=near, count=len(guesses)))
    return "\n".join(lines) or say("lesson_page", "no_predictions")


def scene_ring(run: LessonRun, known: Catalogue | None = None) -> RingScene | None:
    """The ring of the place where a run stands; None where there is no scene on it.

    While a question is open it shows the cut and how many pins there are, but neither whose is right nor the chip.
    """
    place = run.place
    if place.step in ("caution", "end"):
        return None
    scene, predict = run.scene, run.scene.predict
    if predict is None or place.step in ("words", "look"):
        return ring_scene(scene.setup, chip=True)
    told = place.step == "reveal"
    if predict.kind != "pin":
        return ring_scene(scene.setup, chip=told)
    before = run.before
    marks = []
    for guess in run.of_scene(place.scene):
        near = judged(predict, guess.guess, scene.setup, before, "metric", known).near if told else None
        marks.append(Mark(float(guess.guess), guess.name, near))  # type: ignore[arg-type]
    answer = float(check_answer(predict, scene.setup, before, known).value) if told else None  # type: ignore[arg-type]
    return ring_scene(scene.setup, marks=tuple(marks), answer_deg=answer, chip=told)
