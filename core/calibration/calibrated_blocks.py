"""What a calibration gives to paste: the ``[work.force]`` of a setup, the entry of a person's own materials."""

from __future__ import annotations

import math
import unicodedata
from dataclasses import dataclass
from pathlib import PurePath

from ..base.errors import ChiparcError, DocumentError
from ..base.language import in_language
from ..base.refused import refused
from ..base.words import say, say_count
from ..documents.material_entry import GROUPS, groups_words
from ..documents.toml_edit import toml_lines, toml_value
from ..documents.toml_errors import shortened
from ..setup.setup import Setup
from ..setup.setup_limits import RANGES
from .calibration import Calibration

NAMES = ("ktc", "krc", "kac", "kte", "kre", "kae")
AXIAL = ("kac", "kae")
DECIMALS = 4
"""Decimals of a written coefficient, N/mm2 or N/mm: far below what any rig can tell."""

HEADER = 'format = "chiparc materials"\nversion = 1\n'
"""What a new file of own materials begins with."""


@dataclass(frozen=True, slots=True)
class NewMaterial:
    """What a person calls the material that was measured: name, group of ISO 513, kind."""

    name: str
    group: str
    kind: str

    def __post_init__(self) -> None:
        """Refuse what the file could not hold.  Raises ChiparcError."""
        for where, word in (("--material", self.name), ("--kind", self.kind)):
            if not word.strip() or any(unicodedata.category(c) in ("Cc", "Cs", "Zl", "Zp") for c in word):
                found = say("refusal", "found_text", text=shortened(word))
                raise ChiparcError(where, found, say("calibration_refused", "name"))
        if self.group not in GROUPS:
            raise ChiparcError("--group", say("refusal", "found_text", text=shortened(self.group)), groups_words())


def written_figures(fit: Calibration) -> dict[str, float]:
    """The coefficients as they are written down, by name."""
    return {name: round(getattr(fit.coefficients, name), DECIMALS) + 0.0 for name in NAMES}


def beyond_limits(fit: Calibration) -> list[str]:
    """Names of the coefficients that no setup may have, such as a negative edge force; mostly none."""
    return [name for name, value in written_figures(fit).items() if not RANGES[f"work.force.{name}"].holds(value)]


def check_sense(fit: Calibration, file: str) -> None:
    """Refuse means that pull the tooth along instead of resisting it.  Raises DocumentError."""
    ktc = written_figures(fit)["ktc"]
    if ktc <= 0.0:
        told = refused("calibration_refused", "pulls", ktc=ktc)
        raise DocumentError(file, 0, say("refused_place", "mean_forces"), *told)


def force_block(fit: Calibration) -> str | None:
    """The ``[work.force]`` of a setup, with the standard errors as comments; None if no setup may have it."""
    if beyond_limits(fit):
        return None
    lines = ["[work.force]", 'model = "linear-edge"']
    for name, value in written_figures(fit).items():
        error, unit = getattr(fit.standard_errors, name), "N/mm" if name.endswith("e") else "N/mm2"
        note = unit
        if name in AXIAL and not fit.measured.axial:
            note = say("calibrated", "not_measured")
        elif math.isfinite(error):
            note = say("calibrated", "error", unit=unit, error=in_language(f"{error:.3g}"))
        lines.append(f"{name} = {toml_value(value)}  # {note}")
    return "\n".join(lines) + "\n"


def _conditions(fit: Calibration, setup: Setup) -> str:
    cutter, cut, feed = setup.cutter, setup.cut, fit.measured.feed
    return say(
        "calibrated",
        "conditions",
        count=len(feed),
        least=float(feed.min()),
        most=float(feed.max()),
        diameter=cutter.diameter_mm,
        teeth=say_count("calibrated", "teeth", cutter.teeth),
        angle=cutter.cutting_edge_angle_deg,
        direction=say("way", cut.direction),
        width=cut.radial_engagement_mm,
        depth=cut.axial_engagement_mm,
    )


def material_block(fit: Calibration, setup: Setup, file: str, new: NewMaterial) -> str | None:
    """Source and entry for a file of own materials; None if no material may have such coefficients.

    The range of each figure is twice its standard error either way, where that is known.
    """
    if beyond_limits(fit):
        return None
    measured, missing = (say("calibrated", id, name=new.name) for id in ("measured_source", "missing_source"))
    own = {
        "text": say("calibrated", "text", file=shortened(PurePath(file).name)),
        "status": say("calibrated", "status"),
    }
    text = f"[sources.{toml_value(measured)}]\n" + toml_lines({**own, "conditions": _conditions(fit, setup)})
    if not fit.measured.axial:
        none = {
            "text": say("calibrated", "no_axial"),
            "status": say("calibrated", "no_axial_status"),
            "conditions": say("calibrated", "no_axial_conditions"),
        }
        text += f"\n[sources.{toml_value(missing)}]\n" + toml_lines(none)
    text += "\n[[material]]\n" + toml_lines({"name": new.name, "group": new.group, "kind": new.kind})
    text += "[material.linear_edge]\n"
    for name, value in written_figures(fit).items():
        error, limits = getattr(fit.standard_errors, name), RANGES[f"work.force.{name}"]
        spread = ""
        if math.isfinite(error):
            ends = (min(max(value + way * 2.0 * error, limits.low), limits.high) for way in (-1.0, 1.0))
            spread = f"range = {toml_value([round(end, DECIMALS) + 0.0 for end in ends])}, "
        source = missing if name in AXIAL and not fit.measured.axial else measured
        text += f"{name} = {{ value = {toml_value(value)}, {spread}source = {toml_value(source)} }}\n"
    return text


__all__ = [
    "HEADER",
    "NAMES",
    "NewMaterial",
    "beyond_limits",
    "check_sense",
    "force_block",
    "material_block",
    "written_figures",
]
