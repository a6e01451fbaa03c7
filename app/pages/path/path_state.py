"""What the Path page shows: where it comes from, the place under the hand, the quantity and its limit."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QObject, Signal

from app.pages.path.path_scene import QUANTITY_IDS
from core.path.cut_list import ListedCut
from core.path.samples import Samples
from core.path.stock_around import StockAround
from core.path.whole_path import WholePath

SOURCES = ("corner", "cuts", "program")
"""What may be looked at, in its order."""

BESIDE = ("nothing", "direction", "width", "program")
"""What a path may be compared with."""


class PathState(QObject):
    """``changed`` carries the name of what changed; ``moved`` comes with the place, up to sixty times a second.

    Attributes (read; change through :meth:`set`): ``source``; ``quantity``; ``limits`` by quantity, house units;
    ``corner_radius`` mm, None for that which suits the cutter; ``cuts``, empty for those of the setup; ``playing``;
    ``program_file``, ``stock_file`` as named.  ``beside`` : what it is compared with, of BESIDE; ``beside_width`` mm
    and ``beside_file`` are those of the other path.  ``faster`` : whether held feeds may also be raised.  ``s`` : mm
    along the path, and ``here`` the figures there.  ``whole`` and ``around`` are the results.
    """

    changed = Signal(str)
    moved = Signal(float)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.source, self.quantity = "corner", "arc"
        self.limits: dict[str, float] = {}
        self.corner_radius: float | None = None
        self.cuts: tuple[ListedCut, ...] = ()
        self.program_file, self.stock_file = "", ""
        self.beside, self.beside_file, self.faster = "nothing", "", False
        self.beside_width: float | None = None
        self.playing = False
        self.s = 0.0
        self.here: Samples | None = None
        self.whole: WholePath | None = None
        self.around: StockAround | None = None
        self.worst_places: tuple[float, ...] = ()

    def set(self, name: str, value: Any) -> None:
        """Change one attribute and tell, if it differs."""
        if getattr(self, name) != value:
            setattr(self, name, value)
            self.changed.emit(name)

    @property
    def limit(self) -> float | None:
        """The limit of the quantity that is shown."""
        return self.limits.get(self.quantity)

    @property
    def beside_choices(self) -> tuple[str, ...]:
        """What the source that is shown can be compared with, of BESIDE."""
        other = {"corner": ("direction", "width"), "program": ("direction", "program")}
        return ("nothing", *other.get(self.source, ()))

    @property
    def beside_here(self) -> str:
        """What the source that is shown is compared with."""
        return self.beside if self.beside in self.beside_choices else "nothing"

    def set_limit(self, value: float | None) -> None:
        """A limit for the quantity that is shown, or none."""
        others = {id: v for id, v in self.limits.items() if id != self.quantity}
        self.set("limits", others if value is None else {**others, self.quantity: value})

    def show(self, whole: WholePath | None, *, keep_place: bool) -> None:
        """Other results; the hand stays where it is on the same path, and goes to the longest arc of another."""
        if whole is None or whole is not self.whole:
            self.around = None if whole is None or not len(whole.samples.s) else StockAround(whole)
            self.worst_places = () if whole is None else whole.worst_places()
        self.whole = whole
        if whole is not None and not keep_place:
            arc = whole.samples.engaged.arc
            self.s = float(whole.samples.s[int(arc.argmax())]) if len(arc) else 0.0
        if whole is not None:
            self.s = min(max(self.s, 0.0), whole.fed.length)
        self._look_here()
        self.changed.emit("whole")

    def go(self, s: float) -> None:
        """To another place, kept on the path."""
        if self.whole is None:
            return
        s = min(max(s, 0.0), self.whole.fed.length)
        if s != self.s:
            self.s = s
            self._look_here()
            self.moved.emit(s)

    def _look_here(self) -> None:
        whole = self.whole
        self.here = whole.at(self.s) if whole is not None and len(whole.samples.s) else None

    def restore(self, state: dict[str, Any]) -> None:
        """What is known of a remembered state; anything else is passed over."""
        if state.get("source") in SOURCES:
            self.source = str(state["source"])
        if state.get("quantity") in QUANTITY_IDS:
            self.quantity = str(state["quantity"])
        limits = state.get("limits")
        if isinstance(limits, dict):
            self.limits = {id: float(v) for id, v in limits.items() if id in QUANTITY_IDS and _positive(v)}
        for name in ("corner_radius", "beside_width"):
            if _positive(state.get(name)):
                setattr(self, name, float(state[name]))
        if state.get("beside") in BESIDE:
            self.beside = str(state["beside"])
        self.faster = state.get("faster") is True
        for name in ("program_file", "stock_file", "beside_file"):
            if isinstance(state.get(name), str):
                setattr(self, name, state[name])

    def remembered(self) -> dict[str, Any]:
        """Plain data for the next start."""
        names = ["source", "quantity", "limits", "corner_radius", "program_file", "stock_file"]
        names += ["beside", "beside_width", "beside_file", "faster"]
        return {name: getattr(self, name) for name in names if getattr(self, name) is not None}


def _positive(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and 0.0 < value < 1e9
