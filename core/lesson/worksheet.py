"""A worksheet as a value: questions on cuts whose numbers a seed varies, and the key with the working.

From a lesson: its predictions, asked on paper, then tasks to work out.  From a setup: the tasks that fit it.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from ..base.errors import ChiparcError
from ..base.quantities import Units
from ..base.refused import refused
from ..base.words import say
from ..documents.materials import Catalogue
from ..setup.setup import Setup
from .answers import LETTERS, Answer, answer_words, asked_figure, check_answer, option_text
from .cut_figures import claim_holds, filled, row_of
from .lesson import Lesson, Predict, Scene
from .tasks import TASKS, task, working_of
from .varied_cut import Varied

MOST_TRIES = 60
"""Draws of one seed until every question has one clear answer."""

MOST_TASKS = 6
"""Tasks of a sheet whose lesson names none."""


@dataclass(frozen=True, slots=True)
class Question:
    """One question of the sheet, and its entry of the key.

    kind : ``pin``, ``choose``, ``order``, ``estimate`` of a prediction, ``work`` of a task.  setup : its cut;
    options : what may be chosen, with letters; unit : behind the blank; answer : in words; steps : the working or
    the reason.  key, value : the figure of the report that answers, and what this sheet says it is, in house units;
    of options the place.  context : what the teacher says of the cut before the question.
    """

    kind: str
    title: str
    ask: str
    setup: Setup
    options: tuple[str, ...]
    unit: str
    answer: str
    steps: tuple[str, ...]
    key: str
    value: float | tuple[int, ...]
    context: str = ""


@dataclass(frozen=True, slots=True)
class Worksheet:
    """A whole sheet with its key."""

    title: str
    seed: str
    units: Units
    questions: tuple[Question, ...]
    caution: str = ""


def _refused(id: str, /, **fields: str) -> ChiparcError:
    return ChiparcError(say("refused_place", "worksheet"), *refused("worksheet_refused", id, **fields))


def _question(
    predict: Predict, title: str, setup: Setup, before: Setup | None, units: Units, known: Catalogue | None
) -> Question:
    answer: Answer = check_answer(predict, setup, before, known)
    key = "" if predict.kind == "pin" else predict.figure.partition("@")[0]
    unit = ""
    steps: tuple[str, ...] = ()
    if predict.kind == "estimate":
        asked = asked_figure(predict)
        steps = working_of(asked.key, asked.of(setup, before), units)
        unit = row_of(key).unit_in(units) if row_of(key).unit else ""
    options = tuple(
        say(
            "worksheet",
            "option",
            letter=LETTERS[i],
            text=option_text(predict, i, setup, units, known),
        )
        for i in range(len(predict.options))
    )
    value = answer.value if isinstance(answer.value, tuple) else float(answer.value)
    return Question(
        predict.kind,
        title,
        filled(predict.ask, setup, before, units, known),
        setup,
        options,
        unit,
        answer_words(predict, setup, before, units, known),
        (*steps, filled(predict.why, setup, before, units, known)),
        predict.figure,
        value,
    )


def _task_questions(ids: tuple[str, ...], setup: Setup, units: Units, most: int) -> list[Question]:
    made = [found for id in ids or TASKS if (found := task(id, setup, units)) is not None]
    return [
        Question("work", setup.title, t.ask, setup, (), t.unit, t.told, t.steps, t.key, t.answer) for t in made[:most]
    ]


def _of_lesson(lesson: Lesson, varied: Varied, units: Units, known: Catalogue | None) -> list[Question]:
    """Every question with one set of numbers.  Raises ChiparcError where one has no clear answer with them."""
    found: list[Question] = []
    before: Setup | None = None
    for scene in lesson.scenes:
        setup = varied.cut(scene.setup)
        for claim in scene.holds:
            if not claim_holds(claim, setup, before, known):
                raise _refused("claim", claim=claim)
        if scene.predict is not None:
            options = tuple(varied.option(option) for option in scene.predict.options)
            predict = replace(scene.predict, options=options)
            question = _question(predict, scene.title, setup, before, units, known)
            found.append(replace(question, context=filled(scene.say, setup, before, units, known)))
        before = setup
    cuts = [varied.cut(scene.setup) for scene in lesson.scenes]
    return found + _tasks_over(lesson.tasks, cuts, units)


def _tasks_over(ids: tuple[str, ...], cuts: list[Setup], units: Units) -> list[Question]:
    """The tasks, each on the first cut of the lesson that it fits."""
    if not ids:
        return _task_questions((), cuts[0], units, MOST_TASKS)
    found = []
    for id in ids:
        fits = next((cut for cut in cuts if task(id, cut, units) is not None), None)
        if fits is None:
            raise _refused("no_cut", task=id)
        found += _task_questions((id,), fits, units, 1)
    return found


def worksheet(lesson: Lesson, seed: str, units: Units, known: Catalogue | None = None) -> Worksheet:
    """The sheet of a lesson with the numbers of a seed: the same seed gives the same sheet.

    Raises ChiparcError where no numbers near the lesson's own give every question a clear answer.
    """
    last: ChiparcError | None = None
    for attempt in range(MOST_TRIES):
        try:
            questions = _of_lesson(lesson, Varied(f"{seed}/{attempt}/{units}", units), units, known)
        except ChiparcError as error:
            last = error
            continue
        return Worksheet(lesson.title, seed, units, tuple(questions), lesson.caution)
    assert last is not None, "there was an attempt"
    raise last


def setup_worksheet(setup: Setup, seed: str, units: Units, known: Catalogue | None = None) -> Worksheet:
    """The sheet of one cut: both directions of it, with the tasks that fit."""
    scenes = [Scene(setup.title, 1.0, "-", setup)]
    if setup.cut.direction != "straddling":
        scenes.append(Scene(setup.title, 1.0, "-", setup.opposite))
    lesson = Lesson(setup.title or say("worksheet", "untitled"), "", tuple(scenes))
    return worksheet(lesson, seed, units, known)
