"""What the catalogue knows of the named work material, carried by the resolved setup itself.

So physics and advice ask the setup and never a catalogue: a person's own material keeps its group and its figures.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    # A setup holds the facts, so that its module cannot be asked for at run time.
    from .setup import LinearEdge, PowerLaw


def same_coefficients(printed: LinearEdge | PowerLaw, law: LinearEdge | PowerLaw) -> bool:
    """Whether a law has the printed coefficients; it may leave out of which edge they are."""
    radius = law.edge_radius_mm
    return radius in (None, printed.edge_radius_mm) and replace(printed, edge_radius_mm=radius) == law


@dataclass(frozen=True, slots=True)
class MaterialFacts:
    """Facts of one entry; None, or empty, where the entry does not tell.

    ``group`` of ISO 513; ``work_hardens`` with its ``source`` in words; ``solidus_c`` where it begins to melt;
    ``thermal_law`` is the key of how its thermal figures change with temperature; ``tested_h_mm`` chip thickness
    that its coefficients were tested in; ``spread`` lowest and highest figure that is printed of a coefficient, by
    its name; ``force`` the entry's own law, ``force_source`` who printed its coefficients,
    ``edge_radius_source`` who says with which edge.
    """

    name: str
    group: str
    work_hardens: bool | None = None
    work_hardens_source: str = ""
    solidus_c: float | None = None
    thermal_law: str | None = None
    tested_h_mm: tuple[float, float] | None = None
    spread: tuple[tuple[str, float, float], ...] = ()
    force: LinearEdge | PowerLaw | None = None
    force_source: str = ""
    edge_radius_source: str = ""

    def gives(self, law: LinearEdge | PowerLaw) -> bool:
        """Whether a law has the coefficients of :attr:`force`; it may leave out of which edge they are."""
        return self.force is not None and same_coefficients(self.force, law)

    def spread_of(self, name: str) -> tuple[float, float] | None:
        """The printed range of a coefficient, None where there is none."""
        return next(((low, high) for key, low, high in self.spread if key == name), None)
