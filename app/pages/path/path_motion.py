"""Motion along the path: play by a clock, steps."""

from __future__ import annotations

import time
from collections.abc import Callable

from PySide6.QtCore import QObject

from app.kit.frame_clock import FrameClock
from app.pages.path.path_state import PathState
from app.state.view_state import ViewState

DIAMETERS_A_SECOND = 1.5
"""How fast the cutter is shown, unless the whole path would take longer than LONGEST_S."""

LONGEST_S = 60.0

STEP = 0.05
"""One step, in cutter diameters."""


class PathMotion(QObject):
    """Moves the place while the state is ``playing``; ``clock`` gives seconds, so that tests can step it."""

    def __init__(
        self,
        state: PathState,
        view: ViewState,
        parent: QObject | None = None,
        *,
        clock: Callable[[], float] = time.monotonic,
    ) -> None:
        super().__init__(parent)
        self.state, self.view = state, view
        self.clock = FrameClock(self, self.tick, clock)
        state.changed.connect(self._changed)
        view.changed.connect(self._changed)

    def tick(self) -> None:
        """On by the time that has gone by; at the end of the path it stops."""
        elapsed = self.clock.elapsed()
        whole = self.state.whole
        if whole is None:
            self.state.set("playing", False)
            return
        diameter = 2.0 * whole.path.radius
        speed = max(DIAMETERS_A_SECOND * diameter, whole.fed.length / LONGEST_S)
        step = 0.25 * diameter if self.view.reduced_motion else elapsed * speed
        self.state.go(self.state.s + step)
        if self.state.s >= whole.fed.length:
            self.state.set("playing", False)

    def toggle(self) -> None:
        """Play or pause; at the end it begins anew."""
        whole = self.state.whole
        if whole is not None and not self.state.playing and self.state.s >= whole.fed.length:
            self.state.go(0.0)
        self.state.set("playing", not self.state.playing)

    def step(self, count: int) -> None:
        """Pause and go on by so many steps."""
        self.state.set("playing", False)
        if self.state.whole is not None:
            self.state.go(self.state.s + count * STEP * 2.0 * self.state.whole.path.radius)

    def worst(self, count: int) -> None:
        """To the next of the worst places along the path, or the one before; round at the ends."""
        self.state.set("playing", False)
        places = sorted(self.state.worst_places)
        if not places:
            return
        beyond = [s for s in places if (s - self.state.s) * count > 1e-6]
        ahead = beyond or places
        self.state.go(ahead[0] if count > 0 else ahead[-1])

    def _changed(self, name: str) -> None:
        if name in ("playing", "reduced_motion"):
            self.clock.run(self.state.playing, reduced=self.view.reduced_motion)
