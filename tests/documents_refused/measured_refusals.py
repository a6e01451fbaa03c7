"""Every refusal of measured responses, tap tests, their fit, and of the models of chatter."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from functools import partial
from typing import Any

import numpy as np

from core.chatter.frequency_response import FrequencyResponse, read_frequency_response
from core.chatter.measured_file import read_measured
from core.chatter.modal_fit import fit_modes
from core.chatter.regenerative_cut import RegenerativeCut, regenerative_cut
from core.chatter.tap_record import TapRecord, read_tap_columns, read_tap_wav
from core.chatter.tap_test import tap_response
from core.chatter.time_simulation import simulate
from core.chatter.vibration_sound import sound
from core.setup.setup import LinearEdge, Mode, Work
from tests.core.chatter.measured_reference import response, tap, wav
from tests.core.chatter.test_frequency_response import REFUSED, UM, WHOLE, H, columns, line
from tests.core.chatter.test_tap_test import table
from tests.core.chatter.test_vibration_sound import STEP, TIME
from tests.usual_setups import boss

from .refused_case import Refused


def response_refusals() -> Iterator[Refused]:
    """Of files of a frequency response."""
    more = (
        line(1, UM, "frequency [Hz],,imaginary [um/N]"),
        line(1, UM, '"frequency [Hz],real [um/N],imaginary [um/N]'),
        line(1, UM, "frequency [Hz],banana [um/N],imaginary [um/N]"),
        line(5, UM, WHOLE[4].replace("412", "4120000")),
        line(7, UM, "420"),
        "\n".join(WHOLE[:2]),
        columns("f;real [mm/N];imag [mm/N]", H.real, H.imag, sep=";").replace(".", ",", 2),
        ",".join(columns("f;real [mm/N];imag [mm/N]", H.real, H.imag, sep=";").rsplit(".", 1)),
        "f,real [mm/N],imag [mm/N]\n100,1,\xff\0",
    )
    for i, text in enumerate((*(each[0] for each in REFUSED), *more)):
        yield Refused(
            f"response {i}",
            f"{text}{text.lower()} real imaginary magnitude phase",
            partial(read_frequency_response, text, "tip.csv"),
        )
    yield Refused("two units", UM + "um/n mm/N", partial(read_frequency_response, UM, "a.csv", unit="mm/N"))
    bare = columns("frequency,magnitude,phase [deg]", abs(H), 0 * abs(H))
    yield Refused("no unit", bare, partial(read_frequency_response, bare, "a.csv"))


def tap_refusals() -> Iterator[Refused]:
    """Of records of a tap test, as sound and as columns, and of their hits."""
    clean = tap()
    scaled = np.stack([clean.force / 300.0, clean.acceleration / 4000.0], -1)
    good = wav(scaled, 2, 12_800)
    scales: dict[str, Any] = {"force_scale": 300.0, "acceleration_scale": 4000.0}
    floats = bytearray(good)
    floats[20] = 3
    for data in (bytes(floats), good[:30], b"no wav at all"):
        # What the library that reads sound says may stand in the refusal as it is.
        said = "unknown format: 3, file does not start with RIFF id, fmt chunk and/or data chunk missing"
        yield Refused(f"sound {data[:4]!r}", said, partial(read_tap_wav, data, "tap.wav", **scales))
    for data in (wav(scaled[:, :1], 2, 12_800), wav(scaled[:100], 2, 12_800), wav(scaled * [1.0, 0.0], 2, 12_800)):
        yield Refused(f"sound of {len(data)} bytes", "", partial(read_tap_wav, data, "tap.wav", **scales))
    slow = bytearray(good)
    slow[24:28] = bytes(4)
    wrong: tuple[tuple[bytes, dict[str, Any]], ...] = (
        (bytes(slow), scales),
        (good, scales | {"force_channel": 3}),
        (good, scales | {"acceleration_channel": 1}),
        (good, scales | {"force_scale": 0.0}),
        (good, scales | {"acceleration_scale": 0.0}),
    )
    for i, (data, how) in enumerate(wrong):
        yield Refused(f"sound read in way {i}", "", partial(read_tap_wav, data, "tap.wav", **how))
    yield Refused("sound without scales", "", partial(read_measured, good, "tap.wav"))
    yield from _column_refusals(clean)
    yield from _hit_refusals(clean)


def _column_refusals(clean: TapRecord) -> Iterator[Refused]:
    good = table("time [s],force [N],acceleration [m/s2]", clean, rows=300)
    lines = good.split("\n")
    for i, text in enumerate(
        (
            good.replace("force [N]", "force [V]"),
            good.replace("force [N]", "force"),
            good.replace("[m/s2]", "[m/s]"),
            good.replace("[s]", "[min]"),
            good.replace("force [N],", "").replace(",acc", "acc"),
            "\n".join(lines[:200] + lines[210:]),
            "\n".join(lines[:200] + lines[198:]),
            "\n".join(lines[:100]),
        )
    ):
        yield Refused(f"tap columns {i}", text, partial(read_tap_columns, text, "tap.csv"))
    yield Refused("a scale", good + good.lower(), partial(read_tap_columns, good, "tap.csv", force_scale=2.0))
    for data in (b"time\0", b"time,\xff"):
        yield Refused(f"tap columns {data!r}", "", partial(read_tap_columns, data, "tap.csv"))


def _hit_refusals(clean: TapRecord) -> Iterator[Refused]:
    swapped = replace(clean, force=clean.acceleration, acceleration=clean.force)
    clipped = replace(clean, clipped=np.ones(len(clean.force), bool))
    double = replace(tap((0.05, 0.09), 1.0), source=clean.source)
    tries: tuple[tuple[TapRecord, dict[str, Any]], ...] = (
        (swapped, {}),
        (clipped, {}),
        (double, {}),
        (tap((0.001,), 0.8), {}),
        (tap((0.5,), 0.8), {"window": 0.6}),
        (clean, {"low": 1000.0, "high": 1000.6}),
        (clean, {"low": 1000.0, "high": 1010.0}),
        (clean, {"window": 1e-4}),
    )
    for i, (record, how) in enumerate(tries):
        yield Refused(f"hits {i}", record.source, partial(tap_response, record, **how))


def chatter_refusals() -> Iterator[Refused]:
    """Of the fit of modes, of cuts that chatter cannot be told of, and of sounds."""
    f = np.arange(150.0, 2200.0, 5.0)
    rng = np.random.default_rng(1)
    noise = FrequencyResponse(f, rng.normal(size=len(f)) + 1j * rng.normal(size=len(f)))
    yield Refused("no mode", "", partial(fit_modes, noise))
    yield Refused("nine modes", "", partial(fit_modes, noise, 9))
    few = FrequencyResponse(f, response(f))
    for high in (418.5, 408.5):
        yield Refused(f"lines to {high}", "", partial(fit_modes, few, 1, low=400.5, high=high))
    mode, law = Mode("y", 922.0, 0.011, 1340.0497), LinearEdge(600.0, 200.0, 0.0, 0.0, 0.0, 0.0)
    slot = partial(RegenerativeCut, (mode,), 2, 0.0, math.pi, 0.1, law)
    yield Refused("no modes", "", partial(RegenerativeCut, (), 2, 0.0, math.pi, 0.1, law))
    yield Refused("a wide arc", "", partial(RegenerativeCut, (mode,), 2, 0.0, 4.0, 0.1, law))
    for pitch in ((1.0,), (1.0, 1.0, 1.0)):
        yield Refused(f"{len(pitch)} pitches of 2 teeth", "", partial(slot, pitch=pitch))
    yield Refused("no whole turn", "", partial(slot, pitch=(1.0, 1.5)))
    yield Refused("no force", "", partial(regenerative_cut, replace(boss(), work=Work())))
    ways: tuple[dict[str, Any], ...] = ({"turns": 2}, {"steps_per_turn": 51})
    for how in ways:
        yield Refused(f"simulated with {how}", "", partial(simulate, slot(), 4000.0, 1.0, **how))
    yield Refused("a depth below 0", "", partial(simulate, slot(), 4000.0, -1.0))
    yield Refused("a slow spindle", "", partial(simulate, slot(), 0.5, 1.0))
    tone = np.sin(2.0 * np.pi * 400.0 * TIME)
    for name, values, slowed in (
        ("no factor", tone, 0.0),
        ("a long sound", tone, 1e6),
        ("silence", np.full(len(TIME), 3.0), 1.0),
        ("gaps", np.where(TIME > 0.5, np.nan, tone), 1.0),
        ("too high", tone, 0.02),
    ):
        yield Refused(name, "", partial(sound, values, STEP, slowed=slowed))
