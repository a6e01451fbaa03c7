"""What a calibration gives to paste is told in the language of its reader, and is the same document in each."""

from __future__ import annotations

import re

import numpy as np
import pytest

from core.base.language import ENGLISH, speak
from core.calibration.calibrated_blocks import HEADER, NAMES, NewMaterial, force_block, material_block
from core.calibration.calibration import Calibration, MeanForces, calibrate
from core.calibration.calibration_file import read_mean_forces
from core.documents.materials import read_materials
from tests.app.language.pseudo import BOUND, wordless_spoken
from tests.core.calibration.test_calibration import SLOT, measured_csv

NEW = NewMaterial("Rig 7", "N", "plate")


@pytest.fixture(params=[True, False], ids=["three axes", "two axes"])
def fit(request: pytest.FixtureRequest) -> Calibration:
    measured = read_mean_forces(measured_csv(), "slots.csv")
    if not request.param:
        measured = MeanForces(measured.feed, measured.forces * np.array([1.0, 1.0, np.nan]))
    return calibrate(measured, SLOT)


def told(fit: Calibration) -> tuple[str, str]:
    """The block for a setup and the one for own materials."""
    force, entry = force_block(fit), material_block(fit, SLOT, "rig/slots.csv", NEW)
    assert force is not None and entry is not None
    return force, entry


def test_blocks_in_german_have_the_same_figures_and_german_notes(fit: Calibration) -> None:
    english = told(fit)
    speak("de")
    try:
        german = told(fit)
        own = read_materials(HEADER + german[1], "own.toml").find("Rig 7")
    finally:
        speak(ENGLISH.id)
    same = read_materials(HEADER + english[1], "own.toml").find("Rig 7")
    assert own.linear_edge == same.linear_edge
    assert [(key, figure.spread) for key, figure in own.figures] == [(k, f.spread) for k, f in same.figures]
    assert re.sub("#.*", "", german[0]) == re.sub("#.*", "", english[0])
    figure = own.figure("linear_edge.ktc")
    assert figure is not None and figure.source.status == "gemessen"
    assert figure.source.conditions.startswith(
        "mittlere Kräfte aus 5 Schnitten bei 0,025 bis 0,125 mm je Zahn; Fräser 25 mm"
    )
    assert re.search(r"^ktc = \d+\.\d+  # N/mm2, Standardfehler \d+,\d+$", german[0], re.M)
    assert ("# nicht gemessen" in german[0]) == (not fit.measured.axial)


def test_blocks_without_words_are_keys_and_figures(fit: Calibration, monkeypatch: pytest.MonkeyPatch) -> None:
    with wordless_spoken(monkeypatch):
        force, entry = told(fit)
    notes = {piece for note in re.findall("# *(.*)", force) for piece in note.split(BOUND)}
    assert {re.sub(r"\d+(\.\d+)?", "", note) for note in notes} <= {"", "N/mm", "N/mm2"}
    keys = {"sources", "text", "status", "conditions", "material", "name", "group", "kind", "linear_edge"}
    quoted = re.sub(r"slots\.csv|Rig 7|plate|\"N\"", "", entry)
    assert set(re.findall(r"[a-z_]{2,}", quoted)) == keys | {*NAMES, "value", "range", "source"}
