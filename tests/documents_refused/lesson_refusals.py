"""Every refusal of lessons, what is typed in them, worksheets and tables of many cuts."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from functools import partial

from core.documents.setup_examples import example
from core.lesson.answers import check_answer
from core.lesson.cut_figures import claim_holds, field_text
from core.lesson.hands import typed_guess
from core.lesson.lesson import KINDS, PINS, Lesson, Option, Predict, Scene
from core.lesson.lesson_reading import (
    LONGEST_LINE,
    LONGEST_TEXT,
    MOST_OPTIONS,
    PREDICT_KEYS,
    SCENE_KEYS,
    read_lesson,
)
from core.lesson.tasks import TASKS
from core.lesson.worksheet import worksheet
from core.report.vary import MOST_ROWS, Table, Varied, columns_named, varied
from tests.core.lesson.test_lesson_reading import GOOD, NO_SCENE, OPTION, OWN, REFUSED
from tests.usual_setups import boss

from .refused_case import Refused

TASK = next(iter(TASKS))
KEYS = "\n" + " ".join(
    (
        *(
            *TASKS,
            *PINS,
            *KINDS,
            *SCENE_KEYS,
            *PREDICT_KEYS,
            "title",
            "about",
            "scene",
            "caution",
            "worksheet",
            "tasks",
        ),
        *("minutes", "text", "from", "to", "is", "ask", "why", "figure", "holds", "format", "version", "dynamics"),
    )
)
"""What a lesson calls its tables, keys, kinds and pins."""

EXAMPLE = 'example = "boss"'
CHANGE = 'change = { cut.direction = "conventional" }'
MORE = (
    ('about = "A cut, asked about."', f'about = "{"a" * (LONGEST_LINE + 1)}"'),
    ('ask = "Where does it enter?"', f'ask = "{"a" * (LONGEST_TEXT + 1)}"'),
    ('ask = "Where does it enter?"', 'ask = "Where\\u0007"'),
    ('ask = "Where does it enter?"', "ask = 3"),
    ('format = "chiparc lesson"\n', ""),
    ('about = "A cut, asked about."', 'about = "A"\nworksheet = { tasks = 3 }'),
    (EXAMPLE, f"{EXAMPLE}\nsetup = {{ cut = 3 }}"),
    (EXAMPLE, "setup = 3"),
    (CHANGE, "change = 3"),
    (OPTION, OPTION.replace(CHANGE, "change = 3")),
    (OPTION, OPTION.replace(CHANGE, "is = 3")),
    ('holds = ["chip.arc.h_max_mm < setup.cut.feed_per_tooth_mm"]', "holds = 3"),
    ('about = "A cut, asked about."', f'about = "A"\nworksheet = {{ tasks = ["{TASK}", "{TASK}"] }}'),
    (OPTION, OPTION.replace(CHANGE, "from = 5")),
    (OPTION, OPTION * MOST_OPTIONS),
    (GOOD[GOOD.index("[[scene.predict.option]]") :], ""),
    ('holds = ["', 'holds = "'),
    ('holds = ["', 'holds = ["engagement.entry_clock < 3", "'),
    ('holds = ["', 'holds = ["skin.cross_deg < 3", "'),
    ('kind = "choose"', 'kind = "choose"\nnear = 0.5'),
    ('kind = "choose"', 'kind = "estimate"'),
    ('"Second"', "3"),
)


def lesson_refusals() -> Iterator[Refused]:
    """Of lesson documents."""
    for old, new in (*(each[:2] for each in REFUSED), *MORE):
        text = GOOD.replace(old, new, 1)
        assert text != GOOD, old
        yield Refused(f"{new[:60]!r} for {old[:60]!r}", text + KEYS, partial(read_lesson, text, "wrong.toml"))
    head = GOOD.split("[[scene]]")[0]
    for text in (*NO_SCENE, "scene = []"):
        yield Refused(text, head + text + KEYS, partial(read_lesson, head + text, "odd.toml"))
    own = GOOD.split("[scene.predict]")[0].replace(f"{EXAMPLE}\n", "") + OWN
    for new in ("teeth = 2.5", "teeth = 2\nteeth_mm = 3"):
        text = own.replace("teeth = 2", new)
        yield Refused(f"own {new}", text + KEYS, partial(read_lesson, text, "own.toml"))
    for data in (b"", b"\xff\xfe", b"\x00", b"title = "):
        yield Refused(f"bytes {data!r}", data.decode("latin-1") + KEYS, partial(read_lesson, data, "other.toml"))


def figure_refusals() -> Iterator[Refused]:
    """Of figures, claims and answers in lessons, and of what a learner types."""
    cut = boss()
    slot = cut.with_keys({"cut.direction": "straddling", "cut.radial_engagement_mm": 12.0})
    for name in ("chip arc", "chip.arc.nothing", "chip.arc.h_max_mm@before", "chip.arc.h_max_mm / rubbing.slid_deg"):
        yield Refused(f"figure {name}", f"figure {name}", partial(field_text, name, cut, None, "metric"))
    straddling = partial(field_text, "chip.arc.h_max_mm@climb", slot, None, "metric")
    yield Refused("a slot in climb", "chip.arc.h_max_mm@climb", straddling)
    over = "chip.arc.h_max_mm / setup.cut.centre_offset_mm"
    yield Refused("over nothing", over, partial(field_text, over, cut, None, "metric"))
    for claim in ("no claim", "'a' < 'b'", "skin.cross_deg < 3"):
        yield Refused(f"claim {claim}", f"holds {claim}", partial(claim_holds, claim, cut, None))
    options = tuple(Option("", cut.with_keys({"cut.radial_engagement_mm": width})) for width in (3.0, 0.5))
    alike = Predict("choose", "?", "!", "rates.cutting_speed_m_min", options=options)
    low = Option("under", high=0.01)
    none = replace(alike, figure="chip.arc.h_max_mm", options=(low, low))
    for predict in (alike, none, replace(none, figure="skin.cross_deg")):
        yield Refused(f"answer {predict.figure}", predict.figure, partial(check_answer, predict, cut, None))
    for predict, text in (
        (replace(alike, kind="pin"), "25:00"),
        (alike, "xyz"),
        (replace(alike, kind="order"), "zz"),
    ):
        typed = partial(typed_guess, text, predict, cut, "metric")
        yield Refused(f"typed {text}", f"{text} A AB", typed)


def sheet_and_table_refusals() -> Iterator[Refused]:
    """Of worksheets and of tables of many cuts."""
    scene = Scene("", 1.0, "-", example("boss").setup())
    wrong = Lesson("", "", (scene,), tasks=("jump",))
    yield Refused("a task", "jump", partial(worksheet, wrong, "1", "metric"))
    claim = "setup.cut.spindle_speed_rpm = 1.5"
    broken = Lesson("", "", (replace(scene, holds=(claim,)),))
    yield Refused("a claim", claim, partial(worksheet, broken, "1", "metric"))
    for text in (
        *("radial_engagement_mm", "radial_engagement_mm=1:2", "radial_engagement_mm=0:1:1e-9", "edge_radius_mm=0.01"),
        *("radial_engagment_mm=1", "hand=1", "qqq=1"),
    ):
        yield Refused(f"varied {text}", text, partial(varied, text))
    width, power = varied("radial_engagement_mm=1,2"), varied("machine.power_kw=1,2")
    many = Varied("cut.feed_per_tooth_mm", (0.1,) * (MOST_ROWS // 2 + 1))
    for name, figures in (("twice", [width, width]), ("power", [power]), ("many", [many, width])):
        yield Refused(f"table {name}", "", partial(Table, boss(), figures))
    for text in ("force.fx_n.mx", "qqq"):
        yield Refused(f"columns {text}", f"report {text}", partial(columns_named, text))
