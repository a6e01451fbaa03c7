"""What a person sets: cutter, cut, work, machine. Frozen, hashable, and nothing computed.

Field names are the keys of the setup document, so that ``"cutter.diameter_mm"`` names the same
figure in a file, in an error, in a control and here.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import Any, Literal

from .material_facts import MaterialFacts
from .rungs import RUNGS
from .show import Show

Direction = Literal["climb", "conventional", "straddling"]
Hand = Literal["right", "left"]
Drive = Literal["screw", "ball screw"]


@dataclass(frozen=True, slots=True)
class Thermal:
    """Conductivity W/(m K), density kg/m3, specific heat J/(kg K) of a tool or work material.

    Of a work also what becomes of it in the heat: ``solidus_c``, degrees C at which it begins to melt, where known;
    ``law``, the name of the law by which conductivity and specific heat follow temperature from these constants at 20
    degrees C on; None: they hold at any temperature.
    """

    conductivity_w_mk: float
    density_kg_m3: float
    specific_heat_j_kgk: float
    solidus_c: float | None = None
    law: str | None = None


@dataclass(frozen=True, slots=True)
class Cutter:
    """The cutter and how it is held.

    ``flute_length_mm`` is from the tip up; above it stands the neck, ``neck_length_mm`` long, and then the shank.
    ``holder_stiffness_n_mm`` is holder and spindle as one lateral spring at the line of the tip, in series with the
    cutter: with a cutter that does not bend a force F at the tip would move the tip by F / holder_stiffness, and any
    other height by as much.  ``material`` is a word, such as ``carbide``, or the figures of another one.
    """

    diameter_mm: float
    teeth: int
    hand: Hand = "right"
    helix_deg: float = 0.0
    cutting_edge_angle_deg: float = 90.0
    radial_rake_deg: float = 0.0
    edge_radius_mm: float | None = None
    wear_land_mm: float | None = None
    runout_mm: float = 0.0
    runout_angle_deg: float = 0.0
    stickout_mm: float | None = None
    youngs_modulus_n_mm2: float | None = None
    flute_length_mm: float | None = None
    shank_diameter_mm: float | None = None
    neck_diameter_mm: float | None = None
    neck_length_mm: float | None = None
    holder_stiffness_n_mm: float | None = None
    material: Thermal | str | None = None


@dataclass(frozen=True, slots=True)
class Cut:
    """The cut: direction, engagement, feed and speed; how far the wall may be off, either way."""

    direction: Direction
    radial_engagement_mm: float
    axial_engagement_mm: float
    feed_per_tooth_mm: float
    spindle_speed_rpm: float
    centre_offset_mm: float = 0.0
    wall_tolerance_mm: float | None = None


@dataclass(frozen=True, slots=True)
class LinearEdge:
    """Linear-edge force coefficients: N/mm2 on the chip section, N/mm on the edge length.

    ``edge_radius_mm`` of the edge that they were measured with; None where that is not known.
    """

    ktc: float
    krc: float
    kac: float
    kte: float
    kre: float
    kae: float
    model: Literal["linear-edge"] = "linear-edge"
    edge_radius_mm: float | None = None


@dataclass(frozen=True, slots=True)
class PowerLaw:
    """Power-law (Kienzle) coefficients: ``kc11_n_mm2`` at h = b = 1 mm, exponent ``mc``.

    ``edge_radius_mm`` of the edge that they were measured with; None where that is not known.
    """

    kc11_n_mm2: float
    mc: float
    radial_ratio: float
    model: Literal["power-law"] = "power-law"
    edge_radius_mm: float | None = None


@dataclass(frozen=True, slots=True)
class Skin:
    """A hard or abrasive layer on the uncut outside of the work."""

    thickness_mm: float


@dataclass(frozen=True, slots=True)
class ChipFormation:
    """How the chip forms at the edge: the figures behind rubbing and heat."""

    min_chip_ratio: float = 0.3
    elastic_recovery: float = 1.0
    contact_ratio: float = 2.0
    edge_contact_mm: float | None = None
    friction_share: float = 0.3
    chip_ratio: float = 2.5
    tool_heat_share: float | None = None


@dataclass(frozen=True, slots=True)
class Work:
    """The work: a catalogue entry or coefficients of its own, and what is known besides.

    ``facts`` stand in no document: :func:`core.documents.materials.resolved` takes them from the catalogue.  They
    are compared, so that a cached figure of one entry is never used for another entry of the same name.
    """

    material: str | None = None
    force: LinearEdge | PowerLaw | None = None
    skin: Skin | None = None
    thermal: Thermal | None = None
    chip: ChipFormation = field(default_factory=ChipFormation)
    facts: MaterialFacts | None = None

    def __hash__(self) -> int:
        """By what mostly tells two works apart; the rest is long to hash, and compared all the same."""
        return hash((self.material, self.force, self.skin))

    @property
    def printed_facts(self) -> MaterialFacts | None:
        """The facts of the entry that the coefficients are from; None without its name or with other figures."""
        facts, force = self.facts, self.force
        known = facts is not None and self.material is not None and force is not None and facts.gives(force)
        return facts if known else None


@dataclass(frozen=True, slots=True)
class Machine:
    """What the feed drive gives: friction and preload in N, lost motion in mm; and what the spindle gives.

    What is not given is not known, never 0.

    ``power_kw`` and ``torque_nm`` hold at any speed, ``speed_curve`` is the power ``(rpm, kW)`` at ascending
    speeds, linear between, in place of ``power_kw``.
    """

    table_friction_n: float | None = None
    feed_preload_n: float | None = None
    backlash_mm: float | None = None
    drive: Drive | None = None
    power_kw: float | None = None
    torque_nm: float | None = None
    speed_curve: tuple[tuple[float, float], ...] | None = None

    @property
    def hold_n(self) -> float | None:
        """What holds the table against a pull: friction and preload, N; None where either is not given."""
        friction, preload = self.table_friction_n, self.feed_preload_n
        return None if friction is None or preload is None else friction + preload

    @property
    def least_hold_n(self) -> float:
        """What holds the table at least: of friction and preload those that are given, N."""
        return (self.table_friction_n or 0.0) + (self.feed_preload_n or 0.0)


@dataclass(frozen=True, slots=True)
class Mode:
    """One vibration mode of the cutter: axis, natural frequency, damping, modal stiffness."""

    axis: Literal["x", "y"]
    frequency_hz: float
    damping_ratio: float
    stiffness_n_mm: float


@dataclass(frozen=True, slots=True)
class Advice:
    """What this document asks of "which way": rungs that are asked first, in that order, and rungs that are off.

    Names of :data:`core.setup.rungs.RUNGS`; those that ``order`` does not name follow in their usual order.
    """

    order: tuple[str, ...] = ()
    off: tuple[str, ...] = ()

    @property
    def whole_order(self) -> tuple[str, ...]:
        """Every rung once, in the order in which it is asked, those that are off too."""
        return (*self.order, *(name for name in RUNGS if name not in self.order))

    def switched(self, rung: str, on: bool) -> Advice:
        """The same with one rung asked or not asked."""
        off = {*self.off} - {rung} if on else {*self.off, rung}
        return Advice(self.order, tuple(name for name in RUNGS if name in off))

    def asked_earlier(self, rung: str) -> Advice:
        """The same with one rung asked before the one that came before it; alike for the first."""
        order = list(self.whole_order)
        at = order.index(rung)
        if at == 0:
            return self
        order[at - 1], order[at] = order[at], order[at - 1]
        return Advice(() if tuple(order) == RUNGS else tuple(order), self.off)


@dataclass(frozen=True, slots=True)
class Setup:
    """Everything a person sets, as one value."""

    cutter: Cutter
    cut: Cut
    work: Work = field(default_factory=Work)
    machine: Machine | None = None
    dynamics: tuple[Mode, ...] = ()
    title: str = ""
    advice: Advice = field(default_factory=Advice)
    show: Show = field(default_factory=Show)
    _hash: int = field(default=0, init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        """A machine of which nothing is given counts as no machine."""
        if self.machine == Machine():
            object.__setattr__(self, "machine", None)

    def __hash__(self) -> int:
        """By value, worked out once: a setup is the key of every cache, dozens of times a frame."""
        if self._hash == 0:
            values = (self.cutter, self.cut, self.work, self.machine, self.dynamics, self.title)
            object.__setattr__(self, "_hash", hash(values) or 1)
        return self._hash

    def with_values(self, **values: Any) -> Setup:
        """Copy with fields replaced; keys are dotted names with ``__`` for the dot.

        >>> s = Setup(Cutter(10.0, 4), Cut("climb", 4.0, 5.0, 0.1, 3000.0))
        >>> s.with_values(cut__radial_engagement_mm=3.0).cut.radial_engagement_mm
        3.0
        """
        return self.with_keys({name.replace("__", "."): value for name, value in values.items()})

    def with_keys(self, values: dict[str, Any]) -> Setup:
        """Copy with fields replaced, named as in the document: ``{"cut.feed_per_tooth_mm": 0.05}``."""
        groups: dict[str, dict[str, Any]] = {}
        for key, value in values.items():
            group, _, name = key.partition(".")
            groups.setdefault(group, {})[name] = value
        changed: dict[str, Any] = {}
        for group, names in groups.items():
            if "" in names:
                changed[group] = names[""]
                continue
            part = getattr(self, group)
            # A machine that was not given begins with no figures.
            part = Machine() if part is None and group == "machine" else part
            changed[group] = replace(part, **names)
        return replace(self, **changed)

    def value(self, key: str) -> Any:
        """The figure that a dotted document key names, None where its table is not given.

        ``setup.value("cutter.teeth")``
        """
        value: Any = self
        for name in key.split("."):
            # A material given by its word has no figures of its own.
            if value is None or isinstance(value, str):
                return None
            value = getattr(value, name)
        return value

    def facing(self, direction: Direction) -> Setup:
        """The same cut in the given direction (the work strip mirrored), else unchanged."""
        return self if direction == self.cut.direction else _facing(self, direction)

    @property
    def opposite(self) -> Setup:
        """Climb for conventional and the other way round; a straddling cut mirrors its offset."""
        return _opposite(self)


@lru_cache(maxsize=64)
def _facing(setup: Setup, direction: Direction) -> Setup:
    """See :meth:`Setup.facing`: each question of the ladder looks at the same two cuts."""
    return replace(setup, cut=replace(setup.cut, direction=direction))


@lru_cache(maxsize=64)
def _opposite(setup: Setup) -> Setup:
    """See :attr:`Setup.opposite`: in Pair every view asks for it, and then for its hash."""
    cut = setup.cut
    if cut.direction == "straddling":
        return replace(setup, cut=replace(cut, centre_offset_mm=-cut.centre_offset_mm))
    return setup.facing("climb" if cut.direction == "conventional" else "conventional")
