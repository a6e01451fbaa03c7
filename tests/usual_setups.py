"""The opening cut of the notes ("setup A") as tests vary it: one maker, and what each family of tests needs known;
and random cuts of an ordinary shop."""

from __future__ import annotations

import math
import random
from collections.abc import Callable
from dataclasses import replace
from functools import cache
from typing import Any

from core.documents.materials import catalogue, resolved
from core.setup.setup import Cut, Cutter, LinearEdge, Machine, Mode, PowerLaw, Setup, Skin, Work

STEEL_LAW = LinearEdge(1800.0, 700.0, 300.0, 22.0, 35.0, 3.0)
"""Linear-edge coefficients of the notes' steel, N/mm2 and N/mm."""

EDGE = {"cutter__edge_radius_mm": 0.006}
HELD = {"cutter__stickout_mm": 42.0, "cutter__youngs_modulus_n_mm2": 580_000.0}


def boss(direction: Any = "climb", law: LinearEdge | PowerLaw | None = None, **values: Any) -> Setup:
    """12 mm, 4 teeth, helix 30 degrees; 4 mm wide, 10 deep, 0.06 mm a tooth, 4000/min; changes by ``group__key``."""
    cut = Cut(direction, 4.0, 10.0, 0.06, 4000.0)
    return Setup(Cutter(12.0, 4, helix_deg=30.0), cut, Work(force=law)).with_values(**values)


def edged(direction: Any = "climb", law: LinearEdge | PowerLaw | None = STEEL_LAW, **values: Any) -> Setup:
    """With an edge radius of 6 um, for rubbing, entry, exit and heat."""
    return boss(direction, law, **{**EDGE, **values})


def held(direction: Any = "climb", law: LinearEdge | PowerLaw | None = STEEL_LAW, **values: Any) -> Setup:
    """Of carbide, 42 mm out of a rigid holder, for the wall."""
    return boss(direction, law, **{**HELD, **values})


TIGHT = Machine(table_friction_n=300.0, feed_preload_n=200.0, backlash_mm=0.0)
"""A machine without lost motion."""


@cache
def _materials() -> tuple[str, ...]:
    """The materials of the catalogue that have coefficients."""
    return tuple(m.name for m in catalogue().materials if m.force is not None)


def ordinary(chance: random.Random) -> Setup:
    """A finishing or a roughing cut of an ordinary shop: carbide end mill, tight machine, clean work."""
    d, finishing = chance.choice((6.0, 8.0, 10.0, 12.0, 16.0, 20.0)), chance.random() < 0.5
    width = d * (chance.uniform(0.02, 0.15) if finishing else chance.uniform(0.2, 0.75))
    depth = d * (chance.uniform(0.5, 2.0) if finishing else chance.uniform(0.2, 1.2))
    feed = d * (chance.uniform(0.004, 0.01) if finishing else chance.uniform(0.003, 0.008))
    speed = chance.uniform(60.0, 250.0) * 1000.0 / math.pi / d
    cutter = Cutter(
        d,
        chance.choice((2, 3, 4, 5, 6)),
        helix_deg=chance.choice((30.0, 35.0, 38.0, 45.0)),
        edge_radius_mm=chance.uniform(0.003, 0.01),
        stickout_mm=max(depth, d * chance.uniform(2.5, 3.5)),
        youngs_modulus_n_mm2=580_000.0,
    )
    name = chance.choice(_materials())
    made = Cut("climb", width, depth, feed, speed, wall_tolerance_mm=0.05 if finishing else None)
    return resolved(Setup(cutter, made, Work(name), TIGHT))


def _slack(chance: random.Random) -> Setup:
    """On a table with lost motion that friction may hold or not."""
    machine = Machine(chance.uniform(100.0, 1800.0), chance.uniform(0.0, 300.0), 0.1)
    return replace(ordinary(chance), machine=machine)


def _slender(chance: random.Random) -> Setup:
    """With a tolerance that one direction may keep and the other not, in a holder that gives."""
    setup = ordinary(chance)
    reach = chance.uniform(4.0, 7.0) * setup.cutter.diameter_mm
    return setup.with_keys(
        {
            "cutter.stickout_mm": reach,
            "cutter.holder_stiffness_n_mm": chance.uniform(5e3, 5e4),
            "cut.wall_tolerance_mm": chance.uniform(0.01, 0.1),
        }
    )


def _skinned(chance: random.Random) -> Setup:
    """With a skin, and a runout."""
    setup = ordinary(chance)
    work = replace(setup.work, skin=Skin(chance.uniform(0.0, 0.5)))
    return replace(setup, work=work).with_keys({"cutter.runout_mm": chance.uniform(0.0, 0.02)})


def _shaken(chance: random.Random) -> Setup:
    """With a mode along each axis, one of them soft."""
    setup = ordinary(chance)
    soft, stiff = chance.uniform(1500.0, 5000.0), chance.uniform(8000.0, 20000.0)
    x, y = (soft, stiff) if chance.random() < 0.5 else (stiff, soft)
    modes = (
        Mode("x", chance.uniform(400.0, 1500.0), chance.uniform(0.015, 0.05), x),
        Mode("y", chance.uniform(400.0, 1500.0), chance.uniform(0.015, 0.05), y),
    )
    return replace(setup, dynamics=modes)


ORDINARY_KINDS: dict[str, Callable[[random.Random], Setup]] = {
    "tight": ordinary,
    "slack": _slack,
    "slender": _slender,
    "skin and runout": _skinned,
    "modes": _shaken,
}
"""Ordinary cuts, and those with a cause of an exception each."""
