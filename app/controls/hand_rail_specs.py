"""What the hand-rail sets: each figure's key, slider range and note, in groups that open one at a time."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from typing import TypedDict

from app.controls.control_spec import ControlSpec
from app.controls.thinning_line import ThinningLine
from core.base.glossary import glossary
from core.base.quantities import figure, number
from core.base.words import say
from core.cut.engagement import engagement
from core.cut.rates import rates
from core.effects.machine_limits import power_available
from core.setup.direction_change import with_diameter
from core.setup.setup import Setup, Skin
from core.setup.travel import ENDS


def _width_note(setup: Setup, units: str) -> str:
    share = 100.0 * setup.cut.radial_engagement_mm / setup.cutter.diameter_mm
    arc = math.degrees(engagement(setup).arc)
    return say("control", "width_note", share=number(share, 0 if share >= 10 else 1), arc=number(arc, 1))


def _feed_note(setup: Setup, units: str) -> str:
    feed = figure(rates(setup).table_feed_mm_min, "table_feed", units)  # type: ignore[arg-type]
    return say("control", "feed_note", feed=feed)


def _feed_in_short(setup: Setup, units: str) -> str:
    feed = figure(rates(setup).table_feed_mm_min, "table_feed", units)  # type: ignore[arg-type]
    return f"{glossary()['table_feed'].symbol} {feed}"


def _speed_note(setup: Setup, units: str) -> str:
    speed = figure(rates(setup).cutting_speed_m_min, "cutting_speed", units)  # type: ignore[arg-type]
    return say("control", "speed_note", speed=speed)


def _speed_in_short(setup: Setup, units: str) -> str:
    speed = figure(rates(setup).cutting_speed_m_min, "cutting_speed", units)  # type: ignore[arg-type]
    return f"{glossary()['cutting_speed'].symbol} {speed}"


def _runout_note(setup: Setup, units: str) -> str:
    """The other reading of a runout: what an indicator on the turning shank shows."""
    reading = figure(2000.0 * setup.cutter.runout_mm, "runout", units)  # type: ignore[arg-type]
    return say("typed", "indicator", reading=reading) if setup.cutter.runout_mm else ""


class OnSlider(TypedDict):
    """What a control takes of the travel of its slider."""

    low: Callable[[Setup], float]
    high: Callable[[Setup], float]
    logarithmic: bool
    factor: float


def on_slider(key: str, factor: float = 1.0) -> OnSlider:
    """The ends of a figure's slider, in house units: ``factor`` of them in one unit of the document."""
    low, high, logarithmic = ENDS[key]
    return {
        "low": lambda setup: factor * low(setup),
        "high": lambda setup: factor * high(setup),
        "logarithmic": logarithmic,
        "factor": factor,
    }


def one_sided(setup: Setup) -> bool:
    """Whether the cut is climb or conventional."""
    return setup.cut.direction != "straddling"


def _diameter(setup: Setup) -> float:
    return setup.cutter.diameter_mm


WIDTH = ControlSpec(
    "cut.radial_engagement_mm",
    "radial_width",
    **on_slider("cut.radial_engagement_mm"),
    note=_width_note,
    share_of=_diameter,
)
FEED = ControlSpec(
    "cut.feed_per_tooth_mm",
    "feed_per_tooth",
    **on_slider("cut.feed_per_tooth_mm"),
    note=_feed_note,
    brief=_feed_in_short,
    beside=ThinningLine,
)
SPEED = ControlSpec(
    "cut.spindle_speed_rpm",
    "spindle_speed",
    **on_slider("cut.spindle_speed_rpm"),
    note=_speed_note,
    brief=_speed_in_short,
)


def _told_if_empty(key: str, id: str) -> Callable[[Setup, str], str]:
    """A note that says what an empty field means, as long as it is empty."""

    def note(setup: Setup, units: str) -> str:
        return say("control", id) if id and setup.value(key) is None else ""

    return note


def optional(key: str, quantity: str, term: str, empty: str) -> ControlSpec:
    """A figure that may be left out; ``empty`` is the id of the words that say what that means."""
    return ControlSpec(
        key,
        quantity,
        **on_slider(key),
        figures=2,
        term=term,
        optional=True,
        note=_told_if_empty(key, empty),
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
    **on_slider("work.skin.thickness_mm"),
    figures=2,
    term="skin",
    optional=True,
    write=_with_skin,
    note=_told_if_empty("work.skin.thickness_mm", "no_skin"),
)

GROUPS: tuple[tuple[str, tuple[ControlSpec, ...]], ...] = (
    (
        "cutter",
        (
            ControlSpec("cut.axial_engagement_mm", "depth", **on_slider("cut.axial_engagement_mm")),
            ControlSpec(
                "cutter.diameter_mm",
                "diameter",
                **on_slider("cutter.diameter_mm"),
                write=with_diameter,
                carries=True,
            ),
            ControlSpec("cutter.teeth", "teeth", **on_slider("cutter.teeth"), whole=True),
            ControlSpec("cutter.helix_deg", "helix", **on_slider("cutter.helix_deg"), figures=2),
            ControlSpec("cut.centre_offset_mm", "offset", **on_slider("cut.centre_offset_mm")),
        ),
    ),
    (
        "edge",
        (
            ControlSpec(
                "cutter.cutting_edge_angle_deg",
                "cutting_edge_angle",
                **on_slider("cutter.cutting_edge_angle_deg"),
                figures=2,
            ),
            ControlSpec(
                "cutter.edge_radius_mm",
                "edge_radius",
                **on_slider("cutter.edge_radius_mm", 1000.0),
                figures=2,
            ),
            ControlSpec("cutter.radial_rake_deg", "rake", **on_slider("cutter.radial_rake_deg"), figures=2),
            ControlSpec(
                "cutter.runout_mm",
                "runout",
                **on_slider("cutter.runout_mm", 1000.0),
                figures=2,
                note=_runout_note,
            ),
            ControlSpec(
                "cutter.runout_angle_deg",
                "angle",
                **on_slider("cutter.runout_angle_deg"),
                name="runout_angle",
            ),
        ),
    ),
    (
        "holding",
        (
            optional("cutter.stickout_mm", "stickout", "stickout", "no_wall"),
            optional("cutter.flute_length_mm", "stickout", "flute_length", "no_flutes"),
            optional("cutter.shank_diameter_mm", "diameter", "shank_diameter", "no_shank"),
            optional("cutter.neck_diameter_mm", "diameter", "neck_diameter", "no_neck"),
            optional("cutter.neck_length_mm", "stickout", "neck_length", "no_neck"),
            optional("cutter.holder_stiffness_n_mm", "stiffness", "holder_stiffness", "no_holder"),
            optional("cut.wall_tolerance_mm", "deflection", "wall_tolerance", "no_tolerance"),
        ),
    ),
    (
        "machine",
        (
            replace(optional("machine.power_kw", "power", "spindle_power", ""), note=_power_note),
            optional("machine.torque_nm", "torque", "spindle_torque", "no_limit"),
            # Of the feed drive 0 is a figure like any other.
            optional("machine.table_friction_n", "force", "table_friction", "not_known"),
            optional("machine.feed_preload_n", "force", "feed_preload", "not_known"),
            optional("machine.backlash_mm", "length", "backlash", "not_known"),
        ),
    ),
)
