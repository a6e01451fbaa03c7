"""The Arc page: what one tooth goes through, and what follows from it."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from functools import partial
from typing import Any

from PySide6.QtCore import QObject, QRectF
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QWidget

from app.kit.bare_layouts import bare_column
from app.kit.debounce import SETTLE_MS, hand_is_down, once_after
from app.kit.look import Look
from app.pages.arc.arc_layout import ArcLayout
from app.pages.arc.arc_picture import PictureOptions, paint_arc_page
from app.pages.arc.arc_state import CHOICES, REMEMBERED, ArcState, angle_in_cut
from app.pages.arc.motion import Motion
from app.pages.arc.motion_bar import MotionBar
from app.pages.arc.plan import PlanView
from app.pages.arc.plan_close import Framing
from app.pages.arc.plan_scene import kept_top, readable_top
from app.pages.arc.plan_ways import MOVES, Moves
from app.pages.arc.side_charts import SideCharts
from app.pages.arc.strips import StripsView
from app.pages.arc.which_way import WhichWay
from app.pages.page import Action, Page
from app.state.view_state import ViewState
from app.state.workbench import Workbench
from core.base.quantities import Units
from core.base.words import say
from core.cut.engagement import engagement
from core.effects.arc_results import arc_results, paired_angle
from core.report.sentence import other_of_pair, sentence_lines
from core.setup.setup import Setup
from core.setup.setup_limits import CHOICES as ALLOWED
from core.setup.show import CHARTS, Show
from core.strips.strip_curves import STRIPS, strip_title

ALWAYS_SHOWN = "chip"
"""The strip that cannot be hidden."""

CHART_KEYS = {"edge": "X"}
"""Keys of charts for which there is no digit left."""

PLAY_KEYS = ("Space", "F5", "Shift+F5")
"""Play or pause; a clicker sends the last two."""

FRAME_KEYS: tuple[tuple[Framing, tuple[str, ...]], ...] = (("arc", ("F",)), ("all", ("0",)), ("auto", ()))
"""The choices of a frame, each with its keys; the frame by hand is the wheel's."""


class ArcPage(Page):
    """Plan, strips, charts and "Which way" over one state of the page."""

    id, key = "arc", "Ctrl+1"

    def __init__(self, workbench: Workbench, view: ViewState, parent: QObject | None = None) -> None:
        super().__init__(workbench, view, parent)
        self.shown = shown = ArcState(view, workbench.resolved, self)
        self.motion = Motion(workbench, shown, self)
        self.plan = PlanView(workbench, shown)
        self.strips = StripsView(workbench, shown)
        self.charts = SideCharts(workbench, shown)
        self.motion_bar = MotionBar(self.motion, workbench, shown)
        self.layout = ArcLayout(shown, self.plan, self.strips, self.charts, partial(WhichWay, workbench, shown))
        # In a widget of its own, whose layout remembers how small the pictures may be: a hidden page is asked that
        # whenever another one is laid out.
        self._whole = QWidget()
        bare_column(self._whole, 0).addWidget(self.layout)
        self._whole.setFocusProxy(self.plan)
        self._rescale = once_after(self, SETTLE_MS, self._settle)
        shown.changed.connect(self._changed)

    @property
    def which_way(self) -> WhichWay:
        """The panel of questions and reasons, made when it is first asked for."""
        return self.layout.which_way

    def widget(self) -> QWidget:
        """Plan on the left, strips on the right."""
        return self._whole

    def bar(self) -> QWidget:
        """Play, step, loop, slow."""
        return self.motion_bar

    # The contract: what is shown

    def show(self, setup: Setup) -> None:
        """Work out the setup's results and give them to the pictures."""
        state = self.shown
        results = arc_results(setup)
        before, state.results = state.results, results
        state.thickness_top = kept_top(state.thickness_top, results, state.units)
        self._rescale.start()
        self._follow_direction(before.setup, setup)
        for view in (self.plan, self.strips, self.charts):
            view.show_results(results)
        if state.why:
            self.which_way.show_results(results)
        if not state.in_sight:
            state.set_in_sight(True)

    def left(self) -> None:
        """Nothing moves that nobody sees."""
        self.motion.stop()
        self.shown.set_in_sight(False)

    def sentence(self, setup: Setup, units: Units) -> str:
        """What matters most for the cut, and on a second line the rest."""
        return "\n".join([line for line in sentence_lines(setup, units) if line])

    def other_sentence(self, setup: Setup, units: Units) -> str:
        """The other direction; of a cut that has no other, its offset."""
        return other_of_pair(setup, units)

    def sentence_of_step(self, setup: Setup, units: Units) -> str:
        """Without the ranges of force and wall: they come as the hand rests."""
        return "\n".join([line for line in sentence_lines(setup, units, ranged=False) if line])

    def other_sentence_of_step(self, setup: Setup, units: Units) -> str:
        """The other direction without the ranges."""
        return other_of_pair(setup, units, ranged=False)

    def options(self) -> PictureOptions:
        """What of the page is shown now."""
        s = self.shown
        return PictureOptions(
            s.units,
            s.pair,
            s.angle_deg,
            s.strips,
            s.charts,
            s.shown,
            s.close,
            s.pin,
            s.thickness_top,
            s.span == "arc",
        )

    def paint(self, painter: QPainter, rect: QRectF, theme: Look, units: Units) -> None:
        """The page as it is shown, on any painter."""
        paint_arc_page(painter, rect, self.shown.results, self.options(), theme)

    def state(self) -> dict[str, Any]:
        """Strips, charts and switches."""
        return {name: _plain(getattr(self.shown, name)) for name in REMEMBERED}

    def restore_state(self, state: dict[str, Any]) -> None:
        """Take back what is known of it."""
        known = {"strips": STRIPS, "charts": CHARTS}
        for name in REMEMBERED:
            value = state.get(name)
            if name in known and isinstance(value, list):
                chosen = tuple(id for id in known[name] if id in value or (name, id) == ("strips", ALWAYS_SHOWN))
                self.shown.set(name, chosen)
            elif name in CHOICES:
                if value in CHOICES[name] and value != "free":
                    self.shown.set(name, value)
            elif name not in known and isinstance(value, bool):
                self.shown.set(name, value)

    def undo_state(self) -> object:
        """The tooth angle."""
        return self.shown.angle_deg

    def opening_state(self, setup: Setup) -> object:
        """The angle that the document wants, else one in the work, nearer to the entry."""
        return angle_in_cut(setup)

    def restore(self, undo_state: object) -> None:
        """To the angle that belongs to what was opened, undone or done again."""
        if isinstance(undo_state, float):
            self.shown.set("angle_deg", undo_state)

    def look_at(self, what: object) -> None:
        """Show the strip or the chart of that id, beside those that are shown."""
        for name, known in (("strips", STRIPS), ("charts", CHARTS)):
            if what in known:
                self.shown.set(name, tuple(id for id in known if id == what or id in getattr(self.shown, name)))

    def show_as(self, show: Show) -> None:
        """Its strips and charts, frame, panel and motion; the angle comes with the step that opens it."""
        self.restore_state(
            {
                "strips": list(show.curves),
                "charts": list(show.charts),
                "why": show.panel == "which way",
                "frame": show.frame or "auto",
                "loop": show.motion != "still",
                "slow": show.motion == "slow",
            }
        )
        self.shown.set("playing", show.motion != "still")

    def as_shown(self) -> dict[str, Any]:
        """The same of what is looked at now."""
        state = self.shown
        frame = self.state().get("frame")
        return {
            "strips": (*state.strips, *state.charts),
            "frame": frame if frame in ALLOWED["show.frame"] else None,
            "angle_deg": round(state.angle_deg, 1),
            "panel": "which way" if state.why else "none",
            "motion": "still" if not state.playing else "slow" if state.slow else "play",
        }

    def opened(self) -> None:
        """What was asked about the document before, and the scale of its chip, are of that one."""
        self.motion.stop()
        self.shown.set("pin", None)
        self._settle()
        self.shown.forget_reasons()

    def _follow_direction(self, before: Setup, setup: Setup) -> None:
        """Turned into the other direction a cut shows its tooth as far through the arc as it was."""
        if setup.cut.direction == before.cut.direction != "straddling":
            return
        if setup.cut == before.opposite.cut != before.cut and setup.cutter == before.cutter:
            here = math.radians(self.shown.angle_deg)
            angle = math.degrees(paired_angle(here, engagement(before), engagement(setup)))
            self.shown.set("angle_deg", angle)

    # The contract: what can be done

    def _settle(self) -> None:
        """The hand has come to rest and let go: chip, colours and loupe take the scale of what is there now."""
        if self.plan.pointer.holds or hand_is_down():
            self._rescale.start()
            return
        if self.shown.scales_follow:
            self.shown.set("thickness_top", readable_top(self.shown.results, self.shown.units))
            self.shown.reframe()

    def _units_changed(self) -> None:
        """A pinned scale too ends at a round figure of the unit that is shown."""
        state = self.shown
        if state.pin is None:
            self._settle()
        else:
            kept = [readable_top(results, state.units) for results in (state.pin, state.results)]
            state.set("thickness_top", max(kept))

    def _switch_span(self) -> None:
        self.shown.set("span", "turn" if self.shown.span == "arc" else "arc")

    def _switch_pin(self) -> None:
        """Hold the scales and leave this cut as a ghost, or let both go."""
        state = self.shown
        if state.pin is None:
            # What is pinned is on its own scales, not on those of a drag before.
            self._settle()
            state.set("pin", state.results)
        else:
            state.set("pin", None)
            self._settle()

    def _changed(self, name: str) -> None:
        if name == "units":
            self._units_changed()
        if name == "why" and not self.shown.why:
            self.shown.hide_answer()
        if name == "frame":
            self.shown.reframe()
        if name in (*REMEMBERED, "playing", "close", "pin"):
            self.switched.emit()

    def actions(self) -> tuple[Action, ...]:
        """Which strips and charts; Which way; motion."""
        state, motion, strips_group = self.shown, self.motion, say("strips", "group")
        titles = {id: strip_title(id) for id in STRIPS}
        chart_titles = {id: say("chart_title", id) for id in CHARTS}
        chosen = [
            Action(
                f"strip_{id}",
                "View",
                title,
                self._chooser("strips", id, STRIPS),
                (str(i),),
                self._is_in("strips", id),
                say("strips", "show", title=title),
                strips_group,
            )
            if id != ALWAYS_SHOWN
            else Action(
                f"strip_{id}", "View", say("strips", "always", title=title), None, (), lambda: True, "", strips_group
            )
            for i, (id, title) in enumerate(titles.items(), 1)
        ]
        charts = [
            Action(
                f"chart_{id}",
                "View",
                title,
                self._chooser("charts", id, CHARTS),
                (CHART_KEYS.get(id, str(i)),),
                self._is_in("charts", id),
                say("strips", "show_chart", title=title),
                strips_group,
            )
            for i, (id, title) in enumerate(chart_titles.items(), len(titles) + 1)
        ]
        return (
            *chosen,
            Action("separator", "View", "", None, group=strips_group),
            *charts,
            Action(
                "why",
                "View",
                say("section", "which_way"),
                self._switch("why"),
                ("W",),
                lambda: state.why,
                say("decision", "hint"),
                button=say("section", "which_way"),
            ),
            Action(
                "span",
                "View",
                say("span", "word"),
                self._switch_span,
                ("A",),
                lambda: state.span == "arc",
                say("span", "hint"),
                strips_group,
            ),
            Action(
                "pin",
                "View",
                say("pin", "word_action"),
                self._switch_pin,
                ("K",),
                lambda: state.pin is not None,
                say("pin", "hint"),
                button=say("pin", "button"),
            ),
            *[
                Action(
                    f"frame_{id}",
                    "View",
                    say("frame", id),
                    self._framer(id),
                    keys,
                    self._is_framed(id),
                    say("frame", f"{id}_hint"),
                )
                for id, keys in FRAME_KEYS
            ],
            *[
                Action(
                    f"moves_{id}",
                    "Motion",
                    say("moves", id),
                    self._mover(id),
                    ("M",) if id == "cutter" else (),
                    self._is_moving(id),
                    say("moves", "hint"),
                )
                for id in MOVES
            ],
            Action(
                "play",
                "Motion",
                say("motion", "play_action"),
                self.motion.toggle,
                PLAY_KEYS,
                hint=say("presenting", "play"),
            ),
            Action("degree_on", "Motion", say("motion", "degree_on"), lambda: motion.step_degrees(1.0), (".",)),
            Action("degree_back", "Motion", say("motion", "degree_back"), lambda: motion.step_degrees(-1.0), (",",)),
            Action("tooth_on", "Motion", say("motion", "tooth_on"), lambda: motion.step_teeth(1), ("]",)),
            Action("tooth_back", "Motion", say("motion", "tooth_back"), lambda: motion.step_teeth(-1), ("[",)),
            Action("loop", "Motion", say("motion", "loop_action"), self._switch("loop"), ("L",), lambda: state.loop),
            Action("slow", "Motion", say("motion", "slow"), self._switch("slow"), ("S",), lambda: state.slow),
        )

    def group_hint(self, group: str) -> str:
        """What the header tells of the strips."""
        return say("strips", "group_hint")

    def _switch(self, name: str) -> Callable[[], object]:
        return lambda: self.shown.set(name, not getattr(self.shown, name))

    def _mover(self, id: Moves) -> Callable[[], object]:
        def move() -> None:
            # The key goes to and fro between the two.
            other = "work" if id == "cutter" and self.shown.moves == "cutter" else id
            self.shown.set("moves", other)

        return move

    def _is_moving(self, id: Moves) -> Callable[[], bool]:
        return lambda: self.shown.moves == id

    def _framer(self, id: Framing) -> Callable[[], object]:
        def frame() -> None:
            # By hand it may have been moved away from what it is called.
            self.shown.frame = "free"
            self.shown.set("frame", id)

        return frame

    def _is_framed(self, id: Framing) -> Callable[[], bool]:
        return lambda: self.shown.frame == id

    def _is_in(self, name: str, id: str) -> Callable[[], bool]:
        return lambda: id in getattr(self.shown, name)

    def _chooser(self, name: str, id: str, known: Iterable[str]) -> Callable[[], object]:
        """Shows or hides one strip or chart; they stay in the order in which they are offered."""

        def choose() -> None:
            shown = set(getattr(self.shown, name)) ^ {id}
            self.shown.set(name, tuple(each for each in known if each in shown))

        return choose


def _plain(value: Any) -> Any:
    return list(value) if isinstance(value, tuple) else value
