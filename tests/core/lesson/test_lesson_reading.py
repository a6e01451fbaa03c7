"""Lesson documents: what is wrong is refused with its line, every fault at once, and nothing else is taken."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.base.errors import DocumentError
from core.lesson.lesson_reading import read_lesson

GOOD = """\
format = "chiparc lesson"
version = 1
title = "One cut"
about = "A cut, asked about."

[[scene]]
title = "First"
minutes = 2
example = "boss"
say = "The feed is {setup.cut.feed_per_tooth_mm}."
holds = ["chip.arc.h_max_mm < setup.cut.feed_per_tooth_mm"]

[scene.predict]
kind = "pin"
ask = "Where does it enter?"
figure = "entry"
why = "At {engagement.entry_clock}."

[[scene]]
title = "Second"
minutes = 3
change = { cut.direction = "conventional" }
say = "It was {engagement.entry_clock@before}."

[scene.predict]
kind = "choose"
ask = "Which is deeper?"
figure = "cut_depth_placeholder"
why = "Because."

[[scene.predict.option]]
text = "{setup.cut.axial_engagement_mm} deep"
change = { cut.axial_engagement_mm = 5.0 }

[[scene.predict.option]]
text = "as it is"
change = { cut.direction = "conventional" }
""".replace("cut_depth_placeholder", "rates.removal_rate_cm3_min")


def line_of(text: str, part: str) -> int:
    """Line of the first place where a part stands; of the last with ``last `` before it."""
    last = part.startswith("last ")
    place = text.rindex(part[5:]) if last else text.index(part)
    return text[:place].count("\n") + 1


OPTION = """[[scene.predict.option]]
text = "as it is"
change = { cut.direction = "conventional" }
"""
OWN = """[scene.setup.cutter]
diameter_mm = 10.0
teeth = 2

[scene.setup.cut]
direction = "climb"
radial_engagement_mm = 2.0
axial_engagement_mm = 3.0
feed_per_tooth_mm = 0.05
spindle_speed_rpm = 3000.0

[scene.setup.work]
material = "C45E"
"""


def test_a_good_one() -> None:
    lesson = read_lesson(GOOD, "good.toml")
    first, second = lesson.scenes
    assert (lesson.minutes, len(lesson.scenes)) == (5.0, 2)
    assert first.setup.cut.direction == "climb" and second.setup.cut.direction == "conventional"
    assert second.setup.cutter == first.setup.cutter
    assert second.predict is not None
    assert [o.setup.cut.axial_engagement_mm for o in second.predict.options if o.setup] == [5.0, 10.0]


REFUSED: list[tuple[str, str, str, str]] = [
    ('"chiparc lesson"', '"chiparc setup"', "format", "chiparc lesson"),
    ("version = 1", "version = 2", "version", "1"),
    ('title = "One cut"', "", "format", "must be there"),
    ('example = "boss"', 'example = "bos"', "example", "boss"),
    ('example = "boss"', "", "[[scene]]", "example"),
    ("minutes = 2", "minutes = 0", "minutes", "120"),
    ("minutes = 2", 'minutes = "two"', "minutes", "number"),
    ("minutes = 2", "minuets = 2", "minuets", "minutes"),
    ('cut.direction = "conventional" }\nsay', 'cut.direction = "up" }\nsay', "change", "climb"),
    ('cut.direction = "conventional" }\nsay', "cut.radial_engagement_mm = 99.0 }\nsay", "change", "12"),
    ('cut.direction = "conventional" }\nsay', "cut.feed = 0.1 }\nsay", "change", "feed_per_tooth_mm"),
    ("{setup.cut.feed_per_tooth_mm}.", "{setup.cut.feed}.", "say", "figure of the report"),
    ("{setup.cut.feed_per_tooth_mm}.", "{skin.cross_deg}.", "say", "a cut that has it"),
    ("{setup.cut.feed_per_tooth_mm}.", "{chip.arc.h_max_mm@before}.", "say", "another before"),
    ("{setup.cut.feed_per_tooth_mm}.", "{setup.cut.feed_per_tooth_mm.", "say", "around each figure"),
    ("h_max_mm < setup", "h_max_mm > setup", "holds", "true of this cut"),
    ("h_max_mm < setup", "h_max_mm <> setup", "holds", "figure"),
    ('figure = "entry"', 'figure = "exits"', 'figure = "exits"', "entry"),
    ('kind = "pin"', 'kind = "pins"', "kind", "pin, choose"),
    ('figure = "entry"', 'figure = "entry"\nnear = 200.0', "near = 200", "90"),
    ("rates.removal_rate_cm3_min", "rates.cutting_speed_m_min", 'figure = "rates', "differ"),
    ("rates.removal_rate_cm3_min", "rubbing.tooth", 'figure = "rubbing', "a cut that has it"),
    ("{ cut.axial_engagement_mm = 5.0 }", "{ cut.axial_engagement_mm = -5.0 }", "-5.0", "over 0"),
    (OPTION, OPTION[: OPTION.index("change")], "last [[scene.predict.option]]", "what makes this option"),
    (OPTION, "", "[[scene.predict.option]]", "at least two"),
    ('ask = "Where does it enter?"\n', "", "[scene.predict]", "must be there"),
    ('ask = "Where does it enter?"', 'ask = " "', 'ask = " "', "text"),
]


@pytest.mark.parametrize(("old", "new", "at", "words"), REFUSED)
def test_what_is_wrong_is_refused_at_its_line(old: str, new: str, at: str, words: str) -> None:
    text = GOOD.replace(old, new, 1)
    assert text != GOOD
    with pytest.raises(DocumentError) as refused:
        read_lesson(text, "wrong.toml")
    fault = refused.value.faults[0]
    assert words in fault.allowed, str(refused.value)
    assert fault.line == line_of(text, at), str(refused.value)
    assert str(refused.value).startswith(f"wrong.toml:{fault.line}: ")


def test_all_faults_at_once() -> None:
    text = GOOD.replace("minutes = 2", "minutes = 0").replace("minutes = 3", "minutes = -1")
    text = text.replace("entry_clock}", "no}")
    with pytest.raises(DocumentError) as refused:
        read_lesson(text, "wrong.toml")
    lines = [fault.line for fault in refused.value.faults]
    assert lines == sorted(lines) and len(lines) == 3


def test_a_setup_of_its_own_and_a_material() -> None:
    text = GOOD.split("[scene.predict]")[0].replace('example = "boss"\n', "") + OWN
    assert read_lesson(text, "own.toml").scenes[0].setup.work.material == "C45E"
    with pytest.raises(DocumentError) as refused:
        read_lesson(text.replace("teeth = 2", "teeth = 2.5"), "own.toml")
    assert refused.value.line == line_of(text, "teeth = 2")
    with pytest.raises(DocumentError):
        read_lesson(text.replace("say =", 'example = "boss"\nsay ='), "own.toml")


@pytest.mark.parametrize("data", [b"", b"\xff\xfe", b"\x00", b"title = ", b"[[scene]]", b"format = 3"])
def test_other_texts_are_refused(data: bytes) -> None:
    with pytest.raises(DocumentError):
        read_lesson(data, "other.toml")


ODD = ("3", '"x"', "true", "[]", "{}", "[1, 2]", "{ a = 1 }", "1979-05-27", "nan", '"{"', '"{a / b}"', "-1e300", '""')
LINES = [i for i, line in enumerate(GOOD.splitlines()) if " = " in line]


@given(st.sampled_from(LINES), st.sampled_from(ODD), st.sampled_from(LINES), st.sampled_from(ODD))
def test_whatever_stands_in_it_is_a_lesson_or_refused_in_words(one: int, odd: str, other: int, odder: str) -> None:
    lines = GOOD.splitlines()
    for place, value in ((one, odd), (other, odder)):
        lines[place] = f"{lines[place].partition(' = ')[0]} = {value}"
    try:
        read_lesson("\n".join(lines), "odd.toml")
    except DocumentError as error:
        assert all(fault.found and fault.allowed and fault.line for fault in error.faults)


NO_SCENE = [
    "scene = 3",
    "scene = [3]",
    "scene = [{ predict = 3 }]",
    'scene = [{ example = "boss", change = { cut = 3 }, title = "t", minutes = 1, say = "s" }]',
    'scene = [{ example = "boss", show = 3, title = "t", minutes = 1, say = "s" }]',
    'scene = [{ setup = { cutter = { diameter_mm = 1 } }, show = { page = "x" }, title = "t", say = "s" }]',
    'scene = [{ example = "boss", holds = ["1 * 2 = x", "a < b < c", " < ", "{} = 1"], title = "t", say = "s" }]',
    'scene = [{ example = "boss", say = "{}{{}}{ / }{a / }", title = "t", minutes = 1 }]',
    'worksheet = { tasks = [3, "arc", "arc"] }',
]


@pytest.mark.parametrize("text", NO_SCENE)
def test_shapes_that_are_no_scene(text: str) -> None:
    head = GOOD.split("[[scene]]")[0]
    with pytest.raises(DocumentError):
        read_lesson(head + text, "odd.toml")
