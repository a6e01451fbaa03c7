"""What the hand-rail sets: each figure's key, slider range and note, in groups that open one at a time."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

from app.controls.hand_rail_control import ControlSpec
from core.base.glossary import glossary
from core.base.quantities import figure, number
from core.base.words import say
from core.cut.engagement import engagement
from core.cut.rates import rates
from core.effects.machine_limits import power_available
from core.setup.direction_change import with_diameter
from core.setup.setup import Setup, Skin


def _width_note(setup: Setup, units: str) -> str:
    share = 100.0 * setup.cut.radial_engagement_mm / setup.cutter.diameter_mm
    arc = math.degrees(engagement(setup).arc)
    return f"{number(share, 0 if share >= 10 else 1)} % of D, arc {number(arc, 1)}°"


def _feed_note(setup: Setup, units: str) -> str:
    return f"table feed {figure(rates(setup).table_feed_mm_min, 'table_feed', units)}"  # type: ignore[arg-type]


def _speed_note(setup: Setup, units: str) -> str:
    return f"cutting speed {figure(rates(setup).cutting_speed_m_min, 'cutting_speed', units)}"  # type: ignore[arg-type]


def one_sided(setup: Setup) -> bool:
    """Whether the cut is climb or conventional."""
    return setup.cut.direction != "straddling"


def _diameter(setup: Setup) -> float:
    return setup.cutter.diameter_mm


WIDTH = ControlSpec(
    "cut.radial_engagement_mm",
    "radial_width",
    low=lambda s: 0.005 * s.cutter.diameter_mm,
    high=lambda s: (0.995 if one_sided(s) else 1.0) * s.cutter.diameter_mm,
    note=_width_note,
    share_of=_diameter,
)
FEED = ControlSpec(
    "cut.feed_per_tooth_mm",
    "feed_per_tooth",
    low=lambda s: s.cutter.diameter_mm / 5000.0,
    high=lambda s: s.cutter.diameter_mm / 20.0,
    logarithmic=True,
    note=_feed_note,
)
SPEED = ControlSpec(
    "cut.spindle_speed_rpm",
    "spindle_speed",
    low=lambda s: 20.0,
    high=lambda s: 60_000.0,
    logarithmic=True,
    note=_speed_note,
)


def _reach(setup: Setup) -> float:
    """Length that stands out of the holder (mm), or what would be usual where it is not given."""
    return setup.cutter.stickout_mm or 4.0 * setup.cutter.diameter_mm


def _flutes(setup: Setup) -> float:
    """Longest depth of cut (mm) that the flutes allow."""
    return setup.cutter.flute_length_mm or math.inf


def _told_if_empty(key: str, words: str) -> Callable[[Setup, str], str]:
    """A note that says what an empty field means, as long as it is empty."""

    def note(setup: Setup, units: str) -> str:
        return words if setup.value(key) is None else ""

    return note


def optional(
    key: str, quantity: str, low: Callable[[Setup], float], high: Callable[[Setup], float], term: str, empty: str
) -> ControlSpec:
    """A figure that may be left out; ``empty`` says what that means."""
    return ControlSpec(
        key,
        quantity,
        low,
        high,
        logarithmic=True,
        figures=2,
        name=glossary()[term].word,
        term=term,
        optional=True,
        note=_told_if_empty(key, empty),
    )


def _machine_figure(key: str, quantity: str, high: float, term: str) -> ControlSpec:
    """A figure of the feed drive, not known unless given: 0 is a figure like any other."""
    return ControlSpec(
        key,
        quantity,
        lambda s: 0.0,
        lambda s: high,
        figures=2,
        name=glossary()[term].word,
        term=term,
        optional=True,
        note=_told_if_empty(key, "empty: not known"),
    )


def _power_note(setup: Setup, units: str) -> str:
    """Where the limit comes from: a speed curve holds in place of one figure, and gives so much at this speed."""
    if setup.value("machine.speed_curve") is not None:
        power = figure(power_available(setup), "power", units)  # type: ignore[arg-type]
        return say("control", "power_of_curve", power=power)
    return say("control", "no_power_limit") if setup.value("machine.power_kw") is None else ""


def _with_skin(setup: Setup, thickness: float | None) -> Setup:
    """The setup with a skin of that thickness (mm), or without one."""
    skin = Skin(thickness) if thickness else None
    return replace(setup, work=replace(setup.work, skin=skin))


SKIN = ControlSpec(
    "work.skin.thickness_mm",
    "length",
    low=lambda s: 0.0,
    high=lambda s: max(3.0, s.cut.radial_engagement_mm),
    figures=2,
    name=glossary()["skin"].word,
    term="skin",
    optional=True,
    write=_with_skin,
    note=_told_if_empty("work.skin.thickness_mm", "empty: no hard or abrasive layer"),
)

GROUPS: tuple[tuple[str, tuple[ControlSpec, ...]], ...] = (
    (
        "Cutter",
        (
            ControlSpec(
                "cut.axial_engagement_mm",
                "depth",
                low=lambda s: 0.01 * s.cutter.diameter_mm,
                high=lambda s: min(4.0 * s.cutter.diameter_mm, _flutes(s)),
                logarithmic=True,
            ),
            ControlSpec(
                "cutter.diameter_mm",
                "diameter",
                low=lambda s: 0.5,
                high=lambda s: 200.0,
                logarithmic=True,
                write=with_diameter,
            ),
            ControlSpec("cutter.teeth", "teeth", low=lambda s: 1.0, high=lambda s: 24.0, whole=True),
            ControlSpec("cutter.helix_deg", "helix", low=lambda s: 0.0, high=lambda s: 60.0, figures=2),
            ControlSpec(
                "cut.centre_offset_mm",
                "offset",
                low=lambda s: -(s.cutter.diameter_mm - s.cut.radial_engagement_mm) / 2.0 * 0.98,
                high=lambda s: (s.cutter.diameter_mm - s.cut.radial_engagement_mm) / 2.0 * 0.98,
            ),
        ),
    ),
    (
        "Edge",
        (
            ControlSpec(
                "cutter.cutting_edge_angle_deg",
                "cutting_edge_angle",
                low=lambda s: 5.0,
                high=lambda s: 90.0,
                figures=2,
            ),
            ControlSpec(
                "cutter.edge_radius_mm",
                "edge_radius",
                low=lambda s: 0.0,
                high=lambda s: 60.0,
                factor=1000.0,
                figures=2,
            ),
            ControlSpec("cutter.radial_rake_deg", "rake", low=lambda s: -20.0, high=lambda s: 20.0, figures=2),
            ControlSpec(
                "cutter.runout_mm",
                "runout",
                low=lambda s: 0.0,
                high=lambda s: min(100.0, 400.0 * s.cutter.diameter_mm),
                factor=1000.0,
                figures=2,
            ),
            ControlSpec(
                "cutter.runout_angle_deg",
                "angle",
                low=lambda s: 0.0,
                high=lambda s: 360.0,
                name="Runout angle",
            ),
        ),
    ),
    (
        "Holding",
        (
            optional(
                "cutter.stickout_mm",
                "stickout",
                lambda s: max(s.cutter.flute_length_mm or 0.0, s.cut.axial_engagement_mm, 0.5 * s.cutter.diameter_mm),
                lambda s: max(15.0 * s.cutter.diameter_mm, _reach(s)),
                "stickout",
                "empty: the wall is not known",
            ),
            optional(
                "cutter.flute_length_mm",
                "stickout",
                lambda s: min(s.cut.axial_engagement_mm, 0.99 * _reach(s)),
                _reach,
                "flute_length",
                "empty: flutes all the way up",
            ),
            optional(
                "cutter.shank_diameter_mm",
                "diameter",
                lambda s: 0.3 * s.cutter.diameter_mm,
                lambda s: 3.0 * s.cutter.diameter_mm,
                "shank_diameter",
                "empty: as the cutter",
            ),
            optional(
                "cutter.neck_diameter_mm",
                "diameter",
                lambda s: 0.3 * s.cutter.diameter_mm,
                lambda s: s.cutter.diameter_mm,
                "neck_diameter",
                "empty: no neck",
            ),
            optional(
                "cutter.neck_length_mm",
                "stickout",
                lambda s: 0.01 * _reach(s),
                _reach,
                "neck_length",
                "empty: no neck",
            ),
            optional(
                "cutter.holder_stiffness_n_mm",
                "stiffness",
                lambda s: 500.0,
                lambda s: 500_000.0,
                "holder_stiffness",
                "empty: rigid holder",
            ),
            optional(
                "cut.wall_tolerance_mm",
                "deflection",
                lambda s: 0.001,
                lambda s: 1.0,
                "wall_tolerance",
                "empty: no limit drawn",
            ),
        ),
    ),
    (
        "Machine",
        (
            replace(
                optional("machine.power_kw", "power", lambda s: 0.1, lambda s: 100.0, "spindle_power", ""),
                note=_power_note,
            ),
            optional(
                "machine.torque_nm",
                "torque",
                lambda s: 0.1,
                lambda s: 2000.0,
                "spindle_torque",
                "empty: no limit",
            ),
            _machine_figure("machine.table_friction_n", "force", 2000.0, "table_friction"),
            _machine_figure("machine.feed_preload_n", "force", 2000.0, "feed_preload"),
            _machine_figure("machine.backlash_mm", "length", 1.0, "backlash"),
        ),
    ),
)
