"""One entry of the material catalogue: its figures by key, each with its source, and what the models take of them."""

from __future__ import annotations

from dataclasses import dataclass

from ..base.words import phrase
from ..setup.material_facts import MaterialFacts
from ..setup.setup import LinearEdge, PowerLaw, Thermal
from ..setup.setup_limits import RANGES, Range
from .strict_tables import Figure, Flag, Span

GROUPS = {
    "P": "steel",
    "M": "stainless steel",
    "K": "cast iron",
    "N": "non-ferrous metal",
    "S": "heat-resistant alloy, titanium",
    "H": "hardened steel",
}
"""Groups of work material, ISO 513."""


def groups_words() -> str:
    """All groups, each with what belongs to it, in the language that is spoken."""
    return ", ".join(f"{group} ({phrase(words)})" for group, words in GROUPS.items())


BLOCKS: dict[str, dict[str, Range]] = {
    "power_law": {k: RANGES[f"work.force.{k}"] for k in ("kc11_n_mm2", "mc", "radial_ratio")},
    "linear_edge": {k: RANGES[f"work.force.{k}"] for k in ("ktc", "krc", "kac", "kte", "kre", "kae")},
    "thermal": {
        k: RANGES[f"work.thermal.{k}"] for k in ("conductivity_w_mk", "density_kg_m3", "specific_heat_j_kgk")
    },
}
"""Figures of each block of an entry that a model takes, with their legal ranges."""


@dataclass(frozen=True, slots=True)
class Material:
    """A work material.  ``figures`` by dotted key, such as ``power_law.kc11_n_mm2``.

    condition : heat treatment or delivery that the figures hold for, "" where not told.
    work_hardens : whether a layer that an edge rubs gets markedly harder, with its source; None where not told.
    thermal_law : key of :data:`.thermal_laws.LAWS`, how the thermal constants change with temperature; None where no
        law is known: the constants then hold at any temperature.
    h_tested_mm : chip thickness in mm that coefficients were tested in, by block (``power_law``, ``linear_edge``).
    """

    name: str
    also: tuple[str, ...]
    standard: str
    group: str
    kind: str
    figures: tuple[tuple[str, Figure], ...]
    condition: str = ""
    work_hardens: Flag | None = None
    thermal_law: str | None = None
    h_tested_mm: tuple[tuple[str, Span], ...] = ()

    def figure(self, key: str) -> Figure | None:
        """The figure of that key, or None where the catalogue has none."""
        return dict(self.figures).get(key)

    def _block(self, prefix: str) -> dict[str, float]:
        known = {f"{prefix}.{key}": key for key in BLOCKS[prefix]}
        return {known[key]: figure.value for key, figure in self.figures if key in known}

    @property
    def power_law(self) -> PowerLaw | None:
        """Kienzle coefficients, if published."""
        block = self._block("power_law")
        if not block:
            return None
        return PowerLaw(
            block["kc11_n_mm2"], block["mc"], block["radial_ratio"], edge_radius_mm=self._measured_edge("power_law")
        )

    @property
    def linear_edge(self) -> LinearEdge | None:
        """The six mechanistic coefficients, if published."""
        block = self._block("linear_edge")
        if not block:
            return None
        ktc, krc, kac, kte, kre, kae = [block[k] for k in ("ktc", "krc", "kac", "kte", "kre", "kae")]
        return LinearEdge(ktc, krc, kac, kte, kre, kae, edge_radius_mm=self._measured_edge("linear_edge"))

    def _measured_edge(self, block: str) -> float | None:
        """Edge radius (mm) that the coefficients of a block were measured with, as far as it is known."""
        radius = self.figure(f"{block}.edge_radius_mm")
        return None if radius is None else radius.value

    @property
    def force(self) -> LinearEdge | PowerLaw | None:
        """The better known model: the six coefficients where published, else Kienzle."""
        return self.linear_edge or self.power_law

    @property
    def force_block(self) -> str | None:
        """The block whose coefficients :attr:`force` gives: ``linear_edge``, ``power_law`` or None."""
        return next((b for b in ("linear_edge", "power_law") if self._block(b)), None)

    @property
    def edge_radius_mm(self) -> Figure | None:
        """Radius of the edge that the coefficients of :attr:`force` were measured with, where known."""
        return self.figure(f"{self.force_block}.edge_radius_mm")

    @property
    def tested_h_mm(self) -> Span | None:
        """Chip thickness that the coefficients of :attr:`force` were tested in, where known."""
        return dict(self.h_tested_mm).get(self.force_block or "")

    @property
    def solidus_c(self) -> Figure | None:
        """Temperature in degrees C at which the material begins to melt, where given."""
        return self.figure("solidus_c")

    @property
    def thermal(self) -> Thermal | None:
        """Thermal properties, if given, with the solidus and the law of temperature that they have."""
        block, solidus = self._block("thermal"), self.solidus_c
        if not block:
            return None
        conductivity, density, heat = [block[k] for k in BLOCKS["thermal"]]
        return Thermal(conductivity, density, heat, None if solidus is None else solidus.value, self.thermal_law)

    @property
    def facts(self) -> MaterialFacts:
        """What a resolved setup carries of this entry."""
        hardens, solidus, tested, block = self.work_hardens, self.solidus_c, self.tested_h_mm, self.force_block
        ranges = tuple(
            (key.removeprefix(f"{block}."), *figure.spread)
            for key, figure in self.figures
            if block is not None and key.startswith(f"{block}.") and figure.spread is not None
        )
        sources = dict.fromkeys(
            phrase(figure.source.text)
            for key, figure in self.figures
            if block is not None and key.startswith(f"{block}.") and key != f"{block}.edge_radius_mm"
        )
        edge = self.edge_radius_mm
        return MaterialFacts(
            name=self.name,
            group=self.group,
            work_hardens=None if hardens is None else hardens.value,
            work_hardens_source="" if hardens is None else str(hardens.source),
            solidus_c=None if solidus is None else solidus.value,
            thermal_law=self.thermal_law,
            tested_h_mm=None if tested is None else (tested.low, tested.high),
            spread=ranges,
            force=self.force,
            force_source=f"{self.name}: {'; '.join(sources)}",
            edge_radius_source="" if edge is None else f"{phrase(edge.source.text)}: {phrase(edge.source.status)}",
        )


@dataclass(frozen=True, slots=True)
class CutterMaterial:
    """A cutter material: Young's modulus in N/mm2 and thermal properties, each a figure."""

    name: str
    kind: str
    youngs_modulus_n_mm2: Figure
    thermal_figures: tuple[tuple[str, Figure], ...]

    @property
    def thermal(self) -> Thermal:
        """Thermal properties as the heat model takes them."""
        values = {k: f.value for k, f in self.thermal_figures}
        conductivity, density, heat = [values[k] for k in BLOCKS["thermal"]]
        return Thermal(conductivity, density, heat)
