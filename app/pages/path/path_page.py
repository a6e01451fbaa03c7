"""The Path page: what a corner, a list of cuts, or a whole program does to the tooth."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

from PySide6.QtCore import QObject, QRectF
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QFileDialog, QWidget

from app.kit.jobs import Jobs
from app.kit.look import Look
from app.pages.page import Action, Page
from app.pages.path.feed_copy import FASTER, write_held_copy
from app.pages.path.path_layout import PathLayout
from app.pages.path.path_motion import PathMotion
from app.pages.path.path_picture import paint_path_page
from app.pages.path.path_scene import QUANTITY_IDS, path_scene
from app.pages.path.path_state import SOURCES, PathState
from app.pages.path.path_words import level_words, path_sentence
from app.pages.path.path_work import Asked, PathFiles, Shown, work
from app.state.error_log import failure_words
from app.state.step_name import StepName
from app.state.view_state import ViewState
from app.state.workbench import Workbench
from core.base.errors import ChiparcError
from core.base.language import in_language
from core.base.quantities import Units
from core.base.words import say
from core.path.cut_list import rough_and_finish
from core.path.open_path import is_drawing
from core.path.place_setup import setup_at
from core.setup.setup import Setup

CORNER_SHARE = 0.6
"""Corner radius, in cutter diameters, that is shown until another is chosen."""


class PathPage(Page):
    """Path, place, worst places and strip over one state; results come from a job beside the window."""

    id, key = "path", "Ctrl+3"

    def __init__(self, workbench: Workbench, view: ViewState, parent: QObject | None = None) -> None:
        super().__init__(workbench, view, parent)
        self.state_ = PathState(self)
        self.motion = PathMotion(self.state_, view, self)
        self.layout = PathLayout(self.state_, view)
        self.layout.setFocusProxy(self.layout.plan)
        self.jobs = Jobs(self)
        self.jobs.came.connect(self._came)
        self.jobs.failed.connect(self._failed)
        self._files = PathFiles()
        self._asked: Asked | None = None
        self._setup = workbench.resolved
        self.shown: Shown | None = None
        self._good_files = ("", "", "")
        self._quiet = False
        self.state_.changed.connect(self._changed)
        view.changed.connect(self._view_changed)
        self.layout.choices.choose_program.connect(self.choose_program)
        self.layout.choices.choose_stock.connect(self.choose_stock)
        self.layout.choices.choose_beside.connect(self.choose_beside)
        self.layout.dropped.connect(self.take_files)
        self.layout.cut_fields.edited.connect(self._take_cuts)
        for part in (self.layout.choices, self.layout.cut_fields):
            part.refused.connect(workbench.refused)

    def _take_cuts(self, cuts: object) -> None:
        self.state_.set("cuts", cuts)

    def widget(self) -> QWidget:
        """The row of choices over the pictures."""
        return self.layout

    # What is shown

    def asked(self, setup: Setup) -> Asked:
        """What the page wants to know of a setup."""
        s = self.state_
        arc = s.limits.get("arc")
        asked = Asked(setup, s.source, self.radius(setup), s.cuts, s.program_file, s.stock_file, self.view.pair)
        return replace(
            asked,
            chosen_arc=None if arc is None else math.radians(arc),
            heat=s.quantity == "heat",
            beside=s.beside_here,
            beside_width=s.beside_width or 0.0,
            beside_file=s.beside_file,
        )

    def radius(self, setup: Setup) -> float:
        """The corner radius: as chosen, but never under the cutter's own."""
        chosen = self.state_.corner_radius or CORNER_SHARE * setup.cutter.diameter_mm
        return max(chosen, setup.cutter.diameter_mm / 2.0)

    def show(self, setup: Setup) -> None:
        """Ask for results; what is there already is shown until they come."""
        self._setup = setup
        self.layout.show_choices()
        self.layout.choices.show_radius(self.radius(setup))
        self.layout.cut_fields.show_cuts(self.state_.cuts or rough_and_finish(setup))
        asked = self.asked(setup)
        if asked != self._asked:
            self._asked, self._quiet = asked, False
            files = self._files
            self.jobs.ask(lambda: work(asked, files))

    def _came(self, value: object) -> None:
        assert isinstance(value, Shown)
        before, self.shown = self.shown, value
        same = before is not None and _path_of(before.asked) == _path_of(value.asked) and before.whole is not None
        if value.asked.source == "program":
            # The file that is compared is read last.
            beside = value.asked.beside_file if value.final else self._good_files[2]
            self._good_files = (value.asked.program_file, value.asked.stock_file, beside)
        self.state_.show(value.whole, keep_place=same)
        self._show_results()
        if not self._quiet:
            self.said.emit()

    def _show_results(self) -> None:
        shown, s = self.shown, self.state_
        if shown is None:
            return
        whole = s.whole
        scene = (
            None
            if whole is None or len(whole.samples.s) < 2
            else path_scene(whole, s.quantity, s.limit, shown.beside)
        )
        self.layout.plan.show_scene(scene, self.plan_title(shown))
        self.layout.strip.show_scene(scene)
        self.layout.worst.show_worst()
        self.layout.depths.setText("" if whole is None else level_words(whole, self.view.units))
        self.layout.planner.show_results(shown)
        self.layout.cuts.show_results(shown)
        self.layout.table.show_results(shown)
        self.layout.place.look_at_place()

    def plan_title(self, shown: Shown) -> str:
        """What stands over the plan."""
        if shown.asked.source == "corner":
            return say("path_page", "corner_title")
        return Path(shown.asked.program_file).name

    def _failed(self, error: object) -> None:
        assert isinstance(error, BaseException)
        s = self.state_
        if (s.program_file, s.stock_file, s.beside_file) != self._good_files:
            # A file that was refused is not kept; the last good ones are.
            s.program_file, s.stock_file, s.beside_file = self._good_files
            if not s.beside_file and s.beside == "program":
                s.beside = "nothing"
            self.show(self._setup)
        # What was refused stays to be read when the last good files come again.
        self._quiet = True
        self.workbench.refused.emit(str(error) if isinstance(error, ChiparcError) else failure_words(error))

    def _changed(self, name: str) -> None:
        asking = ("source", "corner_radius", "cuts", "program_file", "stock_file", "limits", "radius_shown")
        if name in (*asking, "quantity", "beside", "beside_width", "beside_file"):
            self.show(self._setup)
        if name in ("quantity", "limits"):
            self.layout.show_choices()
            self._show_results()
            self.said.emit()
        if name == "source":
            # Not the first field of what comes: keys belong to the picture.
            front = self.layout.cuts if self.state_.source == "cuts" else self.layout.plan
            self.layout.setFocusProxy(front)
            if self.layout.isVisible():
                front.setFocus()
        if name in ("source", "quantity", "playing"):
            self.switched.emit()

    def _view_changed(self, name: str) -> None:
        if name == "pair" and self.layout.isVisible():
            self.show(self._setup)
        if name in ("units", "theme"):
            self.layout.show_choices()
            self.layout.choices.show_radius(self.radius(self._setup))
            self.layout.cut_fields.show_cuts(self.state_.cuts or rough_and_finish(self._setup))
            self._show_results()

    def left(self) -> None:
        """Nothing moves or is worked out that nobody sees."""
        self.state_.set("playing", False)
        if self.shown is None or not self.shown.final or self.shown.asked != self._asked:
            self._asked = None
        self.jobs.stop()

    def finish_now(self, setup: Setup) -> Shown:
        """All results at once: for a picture that cannot wait.  Raises ChiparcError for refused files."""
        asked = self.asked(setup)
        if self.shown is None or not self.shown.final or self.shown.asked != asked:
            self.jobs.drop()
            *_, last = work(asked, self._files)
            self._asked = asked
            self._came(last)
        assert self.shown is not None
        return self.shown

    def sentence(self, setup: Setup, units: Units) -> str:
        """What the corner, the cuts or the program do."""
        s, shown = self.state_, self.shown
        if setup != self._setup:
            # The other one of a pair: a corner tells both at once, a program has the direction that it has.
            return ""
        if not self.layout.isVisible():
            shown = self.finish_now(setup)
        if shown is not None and shown.asked != self.asked(setup):
            shown = None
        return path_sentence(shown, s.quantity, s.limit, units)

    def paint(self, painter: QPainter, rect: QRectF, theme: Look, units: Units) -> None:
        """The page as it is shown."""
        shown = self.finish_now(self._setup)
        s = self.state_
        scene = (
            None
            if s.whole is None or len(s.whole.samples.s) < 2
            else path_scene(s.whole, s.quantity, s.limit, shown.beside)
        )
        paint_path_page(painter, rect, shown, scene, s, self.plan_title(shown), theme, units)

    # What can be done

    def actions(self) -> tuple[Action, ...]:
        """Files, what is looked at, motion, the place."""
        s, motion = self.state_, self.motion

        def chooser(name: str, value: str) -> tuple[Callable[[], object], Callable[[], bool]]:
            return (lambda: s.set(name, value)), (lambda: getattr(s, name) == value)

        made = [
            Action(
                "path_program",
                "File",
                say("path_page", "program_action"),
                self.choose_program,
                ("Ctrl+Shift+O",),
                hint=say("path_page", "program_hint"),
            ),
            Action(
                "path_stock",
                "File",
                say("path_page", "stock_action"),
                self.choose_stock,
                ("Ctrl+Shift+K",),
                hint=say("path_page", "stock_hint"),
            ),
            Action(
                "held_feeds",
                "File",
                say("path_page", "held_action"),
                self.save_held,
                ("Ctrl+Shift+F",),
                hint=say("path_page", "held_hint"),
            ),
        ]
        for i, id in enumerate(SOURCES, 1):
            do, is_on = chooser("source", id)
            word, hint = say("path_source", id), say("path_source", f"{id}_hint")
            made.append(Action(f"source_{id}", "View", word, do, (str(i),), is_on, hint))
        for i, id in enumerate(QUANTITY_IDS, len(SOURCES) + 1):
            do, is_on = chooser("quantity", id)
            made.append(Action(f"by_{id}", "View", say("path_page", f"colour_{id}"), do, (str(i),), is_on))
        return (
            *made,
            Action(
                "look_here",
                "View",
                say("path_page", "look_action"),
                self.look_here,
                ("A",),
                hint=say("path_page", "look_hint"),
                button="",
            ),
            Action(
                "raise_feeds",
                "File",
                say("path_page", "raise_feeds", times=in_language(f"{FASTER:g}")),
                self.toggle_faster,
                is_on=lambda: s.faster,
                hint=say("path_page", "raise_hint", times=in_language(f"{FASTER:g}")),
            ),
            Action("place_close", "View", say("path_page", "place_close"), self.layout.plan.show_place, ("F",)),
            Action("path_all", "View", say("path_page", "all"), self.layout.plan.show_all, ("0",)),
            Action("path_play", "Motion", say("motion", "play_action"), motion.toggle, ("Space",)),
            Action("path_on", "Motion", say("path_page", "on"), lambda: motion.step(1), (".", "Right")),
            Action("path_back", "Motion", say("path_page", "back"), lambda: motion.step(-1), (",", "Left")),
            Action("worst_on", "Motion", say("path_page", "worst_on"), lambda: motion.worst(1), ("]",)),
            Action("worst_back", "Motion", say("path_page", "worst_back"), lambda: motion.worst(-1), ("[",)),
        )

    def choose_program(self) -> None:
        """Ask for a program or a drawing."""
        folder = str(Path(self.state_.program_file).parent) if self.state_.program_file else ""
        name, _ = QFileDialog.getOpenFileName(
            self.layout, say("path_page", "program_hint"), folder, say("path_page", "programs")
        )
        if name:
            self.take(program=name)

    def choose_stock(self) -> None:
        """Ask for a stock."""
        folder = str(Path(self.state_.stock_file or self.state_.program_file).parent)
        name, _ = QFileDialog.getOpenFileName(
            self.layout, say("path_page", "stock_hint"), folder, say("path_page", "stocks")
        )
        if name:
            self.take(stock=name)

    def choose_beside(self) -> None:
        """Ask for the program that is compared."""
        folder = str(Path(self.state_.beside_file or self.state_.program_file).parent)
        name, _ = QFileDialog.getOpenFileName(
            self.layout, say("path_page", "choose_beside"), folder, say("path_page", "programs")
        )
        if name:
            self.compare_with(name)

    def compare_with(self, name: str) -> None:
        """Show another program beside this one; one that is refused leaves what was."""
        s = self.state_
        s.beside, s.beside_file = "program", name
        self._asked = None
        s.changed.emit("beside")

    def toggle_faster(self) -> None:
        """Whether the copy with held feeds may raise feeds."""
        self.state_.set("faster", not self.state_.faster)
        self.switched.emit()

    def take_files(self, names: list[str]) -> None:
        """Files that were dropped: a document is a stock; of drawings the first is the path if there is none yet."""
        program = stock = ""
        for name in names:
            path_there = program or self.state_.program_file
            if name.lower().endswith(".toml") or (is_drawing(name) and path_there):
                stock = name
            else:
                program = name
        self.take(program=program, stock=stock)

    def take(self, program: str = "", stock: str = "") -> None:
        """Look at a program, a stock, or both; one that is refused leaves those before."""
        s = self.state_
        s.program_file, s.stock_file = program or s.program_file, stock or s.stock_file
        s.source = "program"
        self._asked = None
        s.changed.emit("source")
        self.switched.emit()

    def look_here(self) -> None:
        """Propose the steady cut of this place as one step of undo, and turn to the Arc page."""
        whole = self.state_.whole
        found = None
        if whole is not None and self.state_.source != "cuts":
            found = setup_at(whole.path, whole.at(self.state_.s), 0, self.workbench.setup)
        if found is None:
            error = ChiparcError(say("path_page", "look"), say("path_page", "air"), say("path_page", "air_allowed"))
            self.workbench.refused.emit(str(error))
            return
        if self.workbench.propose(found.setup, StepName("path_page", "look_step")):
            self.workbench.derive_now()
            self.page_wanted.emit("arc", None)
            if found.several:
                self.done.emit(say("path_page", "several"))

    def save_held(self) -> None:
        """Ask for a file and write the copy with held feeds."""
        source = Path(self.state_.program_file)
        proposal = str(source.with_name(f"{source.stem}-held{source.suffix}")) if source.name else ""
        name, _ = QFileDialog.getSaveFileName(
            self.layout, say("path_page", "held_title"), proposal, say("path_page", "copies")
        )
        if name:
            self.write_held(name)

    def write_held(self, name: str) -> bool:
        """Write the copy; a refusal is told and nothing is written."""
        try:
            shown = self.finish_now(self._setup)
            text = write_held_copy(
                shown, name, self.state_.limits.get("chip"), self.view.units, faster=self.state_.faster
            )
        except ChiparcError as error:
            self.workbench.refused.emit(str(error))
            return False
        self.done.emit(text)
        return True

    # What is remembered

    def state(self) -> dict[str, Any]:
        """Source, files, quantity, limits, corner radius."""
        return self.state_.remembered()

    def restore_state(self, state: dict[str, Any]) -> None:
        """Take back what is known of it."""
        self.state_.restore(state)
        self.layout.show_choices()


def _path_of(asked: Asked) -> tuple[object, ...]:
    """What makes it another path, so that the hand cannot stay at its place."""
    return (asked.source, asked.program_file, asked.stock_file)
