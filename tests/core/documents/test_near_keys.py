"""A hint for a misspelt key is right or there is none; what a setup cannot tell is said."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.base.errors import DocumentError
from core.base.words import words
from core.documents.near_keys import meant_key, not_taken
from core.documents.setup_reading import TABLES, keys_of, read_setup

CUTTER = keys_of(TABLES["cutter"])
EVERY = sorted({key for record in TABLES.values() for key in keys_of(record)})

TEXT = """\
format = "chiparc setup"
version = 1
[cutter]
diameter_mm = 12.0
teeth = 4
{line}
[cut]
direction = "climb"
radial_engagement_mm = 4.0
axial_engagement_mm = 10.0
feed_per_tooth_mm = 0.06
spindle_speed_rpm = 4000.0
"""


@pytest.mark.parametrize(
    ("typed", "key"),
    [
        ("helx_deg", "helix_deg"),
        ("Teeth", "teeth"),
        ("edge_radius_um", "edge_radius_mm"),
        ("edge_radius", "edge_radius_mm"),
        ("stick_out_mm", "stickout_mm"),
        ("stickout-mm", "stickout_mm"),
        ("runuot_mm", "runout_mm"),
        ("corner_radius_mm", None),
        ("nose_radius_mm", None),
        ("shaft_diameter", None),
        ("mm", None),
        ("", None),
    ],
)
def test_meant_key_of_the_cutter(typed: str, key: str | None) -> None:
    assert meant_key(typed, CUTTER) == key


def test_short_coefficients_are_not_mended() -> None:
    assert meant_key("kxc", ("ktc", "krc", "kac", "kte", "kre", "kae")) is None


@given(st.sampled_from(EVERY), st.data())
def test_one_letter_wrong_never_leads_to_another_key(key: str, data: st.DataObject) -> None:
    place = data.draw(st.integers(0, len(key) - 1))
    typed = key[:place] + data.draw(st.sampled_from("qxz")) + key[place + 1 :]
    assert meant_key(typed, EVERY) in (key, None)


@pytest.mark.parametrize("key", ["corner_radius_mm", "nose_radius_mm", "coolant", "lead_angle_deg"])
def test_a_document_with_what_cannot_be_taken_is_told_so(key: str) -> None:
    with pytest.raises(DocumentError) as caught:
        read_setup(TEXT.format(line=f"{key} = 1"), "s.toml")
    assert caught.value.line == 6 and "did you mean" not in str(caught.value)
    assert caught.value.allowed == f"{not_taken(key)}; here stand {', '.join(CUTTER)}"
    assert not_taken(key)


def test_nothing_is_called_not_taken_that_is_a_key() -> None:
    assert all(not not_taken(key) for key in EVERY)
    assert all(not_taken(name) == why for name, why in words()["not_taken"].items())
