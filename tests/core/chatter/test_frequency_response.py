"""Files of frequency responses: every legal form reads the same, every wrong one is refused with line and column."""

from __future__ import annotations

import numpy as np
import pytest

from core.base.errors import DocumentError
from core.chatter.frequency_response import FEWEST_ROWS, read_frequency_response

from .measured_reference import response

F = np.arange(400.0, 560.0, 4.0)
H = response(F)


def columns(names: str, *values: np.ndarray, sep: str = ",") -> str:
    """A file of the columns, figures to 12 digits."""
    rows = [sep.join(f"{v:.12g}" for v in row) for row in zip(F, *values, strict=True)]
    return "\n".join([names, *rows]) + "\n"


UM = columns("frequency [Hz],real [um/N],imaginary [um/N]", H.real * 1e3, H.imag * 1e3)
PHASE = np.angle(H)


@pytest.mark.parametrize(
    "text",
    [
        UM,
        "\ufeff" + UM.replace("\n", "\r\n"),
        f"# rig 2\n\n{UM}\n# end\n",
        UM.replace("um/N", "µm/N").upper().replace("µM", "µm"),
        UM.replace("-", "\N{MINUS SIGN}"),
        columns("Frequency (Hz);Re (mm/N);Im (mm/N)", H.real, H.imag, sep=";").replace(".", ","),
        columns("frequency_hz\treal_m_n\timag_m_n", H.real / 1e3, H.imag / 1e3, sep="\t"),
        columns("freq,magnitude_mm_n,phase_deg", np.abs(H), np.degrees(PHASE)),
        columns("f [Hz],mag [um/N],Phase [rad]", np.abs(H) * 1e3, PHASE - 2.0 * np.pi),
        columns("frequency [Hz],Phase [°],amplitude [m/N]", np.degrees(PHASE), np.abs(H) / 1e3),
    ],
)
def test_every_form_of_the_same_response(text: str) -> None:
    for data in (text, text.encode("utf-8")):
        got = read_frequency_response(data, "tip.csv")
        assert got.frequency == pytest.approx(F) and got.coherence is None and got.source == "tip.csv"
        assert np.abs(got.compliance - H).max() < 1e-8 * np.abs(H).max()
    assert not got.frequency.flags.writeable and not got.compliance.flags.writeable


def test_units_may_be_chosen_and_a_turned_sensor_said() -> None:
    bare = columns("frequency,real,imaginary", -H.real * 1e3, -H.imag * 1e3)
    got = read_frequency_response(bare, "a.csv", unit="um/N", turned=True)
    assert got.compliance == pytest.approx(H) and got.softest[0] == F[np.argmax(np.abs(H))]
    polar = columns("frequency,magnitude,phase,coherence", np.abs(H), PHASE, np.linspace(0.9, 1.0, len(F)))
    got = read_frequency_response(polar, "a.csv", unit="mm/N", phase_unit="rad")
    assert got.compliance == pytest.approx(H)
    assert got.coherence is not None and got.coherence[[0, -1]] == pytest.approx([0.9, 1.0])
    part = got.within(440.0, 480.0)
    assert part.frequency[0] == 440.0 and part.frequency[-1] == 480.0 and part.coherence is not None


def line(number: int, text: str, new: str) -> str:
    """The text with one line (counted from 1) replaced."""
    lines = text.split("\n")
    lines[number - 1] = new
    return "\n".join(lines)


WHOLE = UM.split("\n")


REFUSED: list[tuple[str, int, str, str]] = [
    ("", 0, "file", "no line with figures"),
    ("frequency [Hz]\n100\n200\n", 1, "heading", "found one column"),
    ("100,1,2\n200,1,2\n", 1, "heading", "no heading above them"),
    (UM.replace("imaginary [um/N]", "reel [um/N]"), 1, "heading", "did you mean"),
    (UM.replace("imaginary", "real"), 1, "real", "2 columns of real"),
    (columns("frequency [Hz],real [um/N]", H.real), 1, "imaginary", "missing beside frequency"),
    (columns("frequency [Hz],magnitude [um/N]", np.abs(H)), 1, "phase", "missing beside"),
    (
        columns("frequency [Hz],phase [deg],real [um/N],magnitude [um/N]", H.real, H.real, H.real),
        1,
        "real",
        "one pair",
    ),
    (UM.replace("um/N", "g/N"), 1, "real", "turn a response of velocity or acceleration"),
    (UM.replace("um/N", "in/lbf"), 1, "real", 'the unit "in/lbf"; allowed: m/N, mm/N or um/N'),
    (UM.replace(" [um/N]", ""), 1, "real", "found no unit"),
    (UM.replace("[Hz]", "[rad/s]"), 1, "frequency", "rad/s"),
    (
        columns("frequency,magnitude [um/N],phase", np.abs(H) * 1e3, PHASE),
        1,
        "phase",
        "deg or rad in the heading",
    ),
    (UM.replace("um/N", "m/N"), 21, "imaginary", "check the unit"),
    (columns("frequency,real [um/N],imag [um/N]", H.real, H.imag), 21, "imag", "check the unit"),
    (columns("frequency,real [um/N],imag [um/N]", 0 * F, 0 * F), 2, "imag", "0 everywhere"),
    (columns("f,real [mm/N],imag [mm/N]", H.real, -H.imag), 21, "imag", "turn the sign"),
    (columns("f,mag [mm/N],phase [deg]", np.abs(H), PHASE), 29, "phase", "the unit rad if these are radians"),
    (columns("f,mag [mm/N],phase [rad]", np.abs(H), np.degrees(PHASE)), 29, "phase", "the unit deg"),
    (columns("f,mag [mm/N],phase [rad]", 20 * np.log10(np.abs(H)), PHASE), 2, "mag", "decibels are not read"),
    (line(3, UM, WHOLE[2].replace("404", "-404")), 3, "frequency", "below 0"),
    (line(5, UM, WHOLE[4].replace("412", "408")), 5, "frequency", "found 408 after 408"),
    (line(5, UM, WHOLE[4].replace("412", "40")), 5, "frequency", "rise from row to row"),
    ("\n".join(WHOLE[:9] + WHOLE[14:]), 10, "frequency", "found a gap from 428 to 452 Hz"),
    ("\n".join(WHOLE[:2] + WHOLE[9:]), 3, "frequency", "found a gap from 400 to 432 Hz"),
    (line(7, UM, "420,,1"), 7, "real", "found an empty cell: a gap"),
    (line(7, UM, "420,1,nan"), 7, "imaginary", "a gap"),
    (line(7, UM, "420,1,2 um"), 7, "imaginary", 'found "2 um"'),
    (line(7, UM, "420,1,1_0"), 7, "imaginary", 'found "1_0"'),
    (line(7, UM, "420,1,1e99"), 7, "imaginary", "ordinary size"),
    (line(7, UM, "420,1"), 7, "row", "found 2 cells; allowed: 3"),
    (line(7, UM, "420,1,5,2,5"), 7, "row", "decimal commas want semicolons"),
    ("\n".join(WHOLE[:FEWEST_ROWS]), FEWEST_ROWS, "file", f"found {FEWEST_ROWS - 1} rows"),
    (columns("f,real [mm/N],imag [mm/N],coherence", H.real, H.imag, 0 * F + 1.2), 2, "coherence", "0 to 1"),
]


@pytest.mark.parametrize("text, at, where, words", REFUSED)
def test_what_is_wrong_is_told(text: str, at: int, where: str, words: str) -> None:
    with pytest.raises(DocumentError) as refused:
        read_frequency_response(text, "tip.csv")
    said = str(refused.value)
    assert words in said and where in refused.value.where and refused.value.line == at, said
    assert said.startswith("tip.csv")


def test_a_unit_said_twice_must_agree() -> None:
    assert read_frequency_response(UM, "a.csv", unit="um/N").compliance == pytest.approx(H)
    with pytest.raises(DocumentError, match=r"found the unit um/n and mm/N chosen"):
        read_frequency_response(UM, "a.csv", unit="mm/N")


def test_frequencies_that_widen_slowly_are_no_gap() -> None:
    f = np.geomspace(100.0, 2000.0, 200)
    h = response(f)
    rows = "\n".join(f"{a:.9g},{b:.9g},{c:.9g}" for a, b, c in zip(f, h.real, h.imag, strict=True))
    got = read_frequency_response(f"frequency_hz,real_mm_n,imaginary_mm_n\n{rows}", "log.csv")
    assert len(got.frequency) == 200
