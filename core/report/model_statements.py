"""What the figures of a report rest on, leave out and lack, in statements."""

from __future__ import annotations

from ..base.quantities import Units, clear_figure
from ..base.words import say
from ..effects.cutter_bending import neck, shank_rubs
from ..effects.edge_flux import known_work_material
from ..setup.doubts import doubts
from ..setup.setup import Setup
from .doubt_words import doubt_words
from .text_layout import Report


def statements(setup: Setup, report: Report, units: Units = "metric") -> list[str]:
    """What the figures rest on, leave out and lack, a statement each, from the ``report``."""
    texts = [say("report", "models")]
    if setup.work.force is not None:
        texts += _force_statements(report["force"], units)
        held = setup.cutter.flute_length_mm is not None or setup.cutter.holder_stiffness_n_mm is not None
        texts.append(say("report", "wall_models_held" if held else "wall_models"))
        wall = report["wall"]
        for name, key in (("wall_spread", "range"), ("spring_pass_model", "spring_pass_width_mm")):
            if wall.get(key) is not None:
                texts.append(say("report", name))
        if wall.get("compensation_mm") is not None:
            texts.append(say("report", "compensation_model"))
        texts.append(say("report", "heat_models"))
    if "teeth" in report["chip"]:
        texts.append(say("report", "runout_apart"))
    return [*texts, *(doubt_words(doubt, units) for doubt in doubts(setup)), *unknown(setup)]


def _force_statements(force: Report, units: Units) -> list[str]:
    """The law of the forces, where its coefficients are from and how well they are known."""
    law = say(
        "report",
        "force_models",
        model=say("force_model", force["model"]),
        source=force["source"],
        spread=say("report", f"force_spread_{force['spread_from']}"),
        radius=_radius_words(force, units),
        wear=say("report", "force_wear_used" if force["wear_land_used"] else "force_wear_unused"),
    )
    if not force["h_below_tested_share"]:
        return [law]
    least, greatest = (clear_figure(h, "chip_thickness", units) for h in force["h_tested_mm"])
    share = clear_figure(100.0 * force["h_below_tested_share"], "share", units)
    return [law, say("report", "force_below_tested", share=share, least=least, greatest=greatest)]


def _radius_words(force: Report, units: Units) -> str:
    """What the edge radius does to the force, and of which edge the coefficients are."""
    measured = force["coefficients"].get("edge_radius_mm")
    if measured is None:
        return say("report", "force_radius_unused")
    if not force["edge_radius_used"]:
        return say("report", "force_radius_assumed")
    radius = clear_figure(1000.0 * measured, "edge_radius", units)
    return say("report", "force_radius_used", measured=radius, radius_source=force["edge_radius_source"])


def unknown(setup: Setup) -> list[str]:
    """What the setup does not say and what is therefore left out or taken instead, each in words."""
    cutter, work = setup.cutter, setup.work
    missing = {
        "no_edge_radius": cutter.edge_radius_mm is None,
        "no_force": work.force is None and work.material is None,
        "no_cutter_material": cutter.material is None and work.force is not None,
        "no_work_thermal": known_work_material(setup) is None and work.force is not None,
        "no_stickout": cutter.stickout_mm is None,
        "no_modulus": cutter.youngs_modulus_n_mm2 is None,
        "no_neck": neck(setup) is None and (cutter.neck_diameter_mm is not None or cutter.neck_length_mm is not None),
        "shank_rubs": shank_rubs(setup),
        "no_flute_length": cutter.shank_diameter_mm is not None and cutter.flute_length_mm is None,
    }
    return [say("report", name) for name, is_missing in missing.items() if is_missing]
