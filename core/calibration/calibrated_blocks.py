"""What a calibration gives to paste: the ``[work.force]`` of a setup, the entry of a person's own materials."""

from __future__ import annotations

import math
import unicodedata
from dataclasses import dataclass
from pathlib import PurePath

from ..base.errors import ChiparcError, DocumentError
from ..documents.materials import GROUPS
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
                raise ChiparcError(where, f'found "{shortened(word)}"', "a name on one line")
        if self.group not in GROUPS:
            raise ChiparcError(
                "--group", f'found "{shortened(self.group)}"', ", ".join(f"{g} ({w})" for g, w in GROUPS.items())
            )


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
        raise DocumentError(
            file,
            0,
            "mean forces",
            f"found ktc = {ktc:g} N/mm2, a work that pulls the teeth along",
            "forces of the work on the cutter, y along the feed and x to its right; of a force on the work the "
            "signs have to be turned (--on-work)",
        )


def force_block(fit: Calibration) -> str | None:
    """The ``[work.force]`` of a setup, with the standard errors as comments; None if no setup may have it."""
    if beyond_limits(fit):
        return None
    lines = ["[work.force]", 'model = "linear-edge"']
    for name, value in written_figures(fit).items():
        error, unit = getattr(fit.standard_errors, name), "N/mm" if name.endswith("e") else "N/mm2"
        note = f"{unit}, standard error {error:.3g}" if math.isfinite(error) else unit
        if name in AXIAL and not fit.measured.axial:
            note = "not measured"
        lines.append(f"{name} = {toml_value(value)}  # {note}")
    return "\n".join(lines) + "\n"


def _conditions(fit: Calibration, setup: Setup) -> str:
    cutter, cut, feed = setup.cutter, setup.cut, fit.measured.feed
    return (
        f"mean forces of {len(feed)} cuts at {feed.min():g} to {feed.max():g} mm per tooth; cutter "
        f"{cutter.diameter_mm:g} mm, {cutter.teeth} teeth, edge angle {cutter.cutting_edge_angle_deg:g} degrees; "
        f"{cut.direction}, {cut.radial_engagement_mm:g} mm wide, {cut.axial_engagement_mm:g} mm deep; "
        "the range is twice the standard error either way"
    )


def material_block(fit: Calibration, setup: Setup, file: str, new: NewMaterial) -> str | None:
    """Source and entry for a file of own materials; None if no material may have such coefficients.

    The range of each figure is twice its standard error either way, where that is known.
    """
    if beyond_limits(fit):
        return None
    measured, missing = f"calibration of {new.name}", f"not measured of {new.name}"
    own = {"text": f"Own measurement, {shortened(PurePath(file).name)}", "status": "measured"}
    text = f"[sources.{toml_value(measured)}]\n" + toml_lines({**own, "conditions": _conditions(fit, setup)})
    if not fit.measured.axial:
        none = {"text": "no axial force was measured", "status": "not known", "conditions": "taken as 0"}
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
