"""What is looked at, apart from what is set: tooth angle, Pair, units, theme, strips, motion."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QObject, Signal

THEMES = ("light", "dark", "projector")
UNITS = ("metric", "inch")


class ViewState(QObject):
    """The view's own state.  ``changed`` carries the name of what changed; ``angle_changed`` is apart,
    because it comes sixty times a second and touches only what moves.

    Attributes (read; change through :meth:`set`): ``angle_deg`` of the active tooth's tip in the setup's
    own direction, -180..540 wrapped to [-90, 270); ``pair``; ``units``; ``theme``; ``strips`` shown, in
    order; ``charts`` shown; ``why``: the panel "Which way" is open, ``reason`` the one looked at, ``reasons_off``
    those that are not counted; ``playing``; ``slow``; ``loop`` (through the cut only, not the air);
    ``reduced_motion``.
    """

    changed = Signal(str)
    angle_changed = Signal(float)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.angle_deg = 135.0
        self.pair = False
        self.units = "metric"
        self.theme = "light"
        self.strips: tuple[str, ...] = ("chip", "force")
        self.charts: tuple[str, ...] = ("loop", "wall")
        self.why = False
        self.reason = ""
        self.reasons_off: frozenset[str] = frozenset()
        self.playing = False
        self.slow = False
        self.loop = False
        self.reduced_motion = False

    def forget_reasons(self) -> None:
        """Another document: what was asked about the one before, and what was not counted there, is of that one."""
        self.set("reasons_off", frozenset())
        self.set("reason", "")

    def set(self, name: str, value: Any) -> None:
        """Change one attribute and tell, if it differs."""
        if name == "angle_deg":
            value = (float(value) + 90.0) % 360.0 - 90.0
        if getattr(self, name) == value:
            return
        setattr(self, name, value)
        if name == "angle_deg":
            self.angle_changed.emit(value)
        else:
            self.changed.emit(name)
