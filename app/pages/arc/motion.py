"""Motion: the tooth goes round by a clock, slowed down so that an eye can follow."""

from __future__ import annotations

import math
import time
from collections.abc import Callable

from PySide6.QtCore import QObject

from app.kit.frame_clock import FrameClock
from app.pages.arc.arc_state import ArcState
from app.state.workbench import Workbench

DEGREES_A_SECOND = 40.0
SLOW_DEGREES_A_SECOND = 8.0
LEAD_DEG = 6.0
"""How far before entry and after exit the loop through the cut goes."""


class Motion(QObject):
    """Turns ``view.angle_deg`` while ``view.playing``; ``clock`` gives seconds, so that tests can step it."""

    def __init__(
        self,
        workbench: Workbench,
        view: ArcState,
        parent: QObject | None = None,
        *,
        clock: Callable[[], float] = time.monotonic,
    ) -> None:
        super().__init__(parent)
        self._workbench, self._view = workbench, view
        self.clock = FrameClock(self, self.tick, clock)
        view.changed.connect(self._view_changed)

    @property
    def degrees_a_second(self) -> float:
        """How fast the tooth is shown."""
        return SLOW_DEGREES_A_SECOND if self._view.slow else DEGREES_A_SECOND

    def slowed(self) -> float:
        """How many times slower than the spindle the tooth is shown."""
        real = self._workbench.setup.cut.spindle_speed_rpm * 6.0
        return real / self.degrees_a_second

    def toggle(self) -> None:
        """Play or pause."""
        self._view.set("playing", not self._view.playing)

    def stop(self) -> None:
        """Pause."""
        self._view.set("playing", False)

    def step_degrees(self, degrees: float) -> None:
        """Pause and turn by so much."""
        self.stop()
        self._view.set("angle_deg", self._view.angle_deg + degrees)

    def step_teeth(self, teeth: int) -> None:
        """Pause and turn by whole teeth."""
        self.step_degrees(teeth * 360.0 / self._workbench.setup.cutter.teeth)

    def tick(self) -> None:
        """Turn by the time that has gone by; with reduced motion by a degree."""
        elapsed = self.clock.elapsed()
        turned = 1.0 if self._view.reduced_motion else elapsed * self.degrees_a_second
        self._view.set("angle_deg", self._looped(self._view.angle_deg + turned))

    def _looped(self, angle: float) -> float:
        if not self._view.loop:
            return angle
        r = self._view.results
        first, last = math.degrees(r.true_entry) - LEAD_DEG, math.degrees(r.true_exit) + LEAD_DEG
        return first + (angle - first) % (last - first)

    def _view_changed(self, name: str) -> None:
        if name in ("playing", "reduced_motion"):
            self.clock.run(self._view.playing, reduced=self._view.reduced_motion)
