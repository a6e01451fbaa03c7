"""A document opens with the view that shows its lesson, and gives the person's own back when it goes."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QImage
from PySide6.QtTest import QTest

from app.commands.picture import run as picture
from app.state.settings import load_settings
from core.documents.setup_document import load_setup
from core.documents.setup_examples import example
from core.documents.setup_writing import write_setup
from core.setup.show import Show, Shown
from tests.app.windows import boss, laid_out_on, settle

pytestmark = pytest.mark.usefixtures("window_app")


def test_an_example_opens_with_its_strips_its_angle_and_its_panel_and_undo_brings_the_view_before() -> None:
    with laid_out_on(boss()) as window:
        state, before = window.arc.shown, window.arc.shown.angle_deg
        window.files.open_example("slack-table")
        settle()
        show = example("slack-table").setup().show
        assert state.strips == show.curves and state.why and state.angle_deg == show.angle_deg
        # The question first.
        assert window.arc.which_way.ask.isVisible() and not window.view.shown.verdict
        window.files.open_example("long-reach")
        settle()
        assert window.view.pair and state.strips == ("chip", "movement") and state.charts == ("wall",)
        assert not state.why
        window.workbench.undo()
        window.workbench.undo()
        settle()
        assert not window.view.pair and not state.why and state.angle_deg == before
        assert state.strips == ("chip", "force") and state.charts == ("loop", "wall")


def test_what_a_person_chose_comes_back_and_is_what_is_remembered(tmp_path: Path) -> None:
    shown = replace(boss(), title="Asked", show=Show(strips=("chip", "torque"), hidden=("figures", "sentence")))
    asked, plain = tmp_path / "asked.toml", tmp_path / "plain.toml"
    asked.write_text(write_setup(shown), "utf-8")
    plain.write_text(write_setup(replace(shown, title="Plain", show=Show())), "utf-8")
    with laid_out_on(boss()) as window:
        arc = window.arc
        window.view.set("shown", Shown(callouts=False))
        arc.shown.set("strips", ("chip", "movement"))
        window.files.open_path(asked)
        settle()
        assert arc.shown.strips == ("chip", "torque") and arc.shown.charts == ()
        assert window.view.shown == Shown(figures=False, sentence=False)
        # Changed meanwhile, this one is the person's own from now on.
        QTest.keyClick(window, Qt.Key.Key_H)
        window.files.open_path(plain)
        settle()
        assert window.view.shown == Shown(callouts=False, chip=False)
        assert arc.shown.strips == ("chip", "movement") and arc.shown.charts == ("loop", "wall")
        window.files.open_path(asked)
        settle()
        window.close()
        kept = load_settings()
        assert kept.hidden == ["callouts", "chip"] and kept.pages["arc"]["strips"] == ["chip", "movement"]


def test_remember_this_view_writes_it_into_the_document_and_it_opens_so(tmp_path: Path) -> None:
    file = tmp_path / "mine.toml"
    file.write_text("# mine\n" + write_setup(replace(boss(), show=Show(line="My line."))), "utf-8")
    with laid_out_on(boss()) as window:
        window.files.open_path(file)
        arc = window.arc
        arc.shown.set("strips", ("chip", "torque"))
        arc.shown.set("charts", ("marks",))
        arc.shown.set("angle_deg", 123.44)
        arc.shown.set("why", True)
        window.view.set("pair", True)
        window.view.set("shown", Shown(sentence=False))
        window.menus.by_id["remember_view"].trigger()
        settle()
        assert window.isWindowModified() and window.menus.by_id["undo"].text() == "Undo view of the document"
        assert window.files.save()
        wanted = Show(
            line="My line.",
            strips=("chip", "torque", "marks"),
            pair=True,
            frame=load_setup(file).show.frame,
            angle_deg=123.4,
            panel="which way",
            hidden=("sentence",),
        )
        assert load_setup(file).show == wanted and file.read_text("utf-8").startswith("# mine\n")
        window.files.open_example("boss")
        settle()
        window.view.set("pair", False)
        arc.shown.set("why", False)
        arc.shown.set("strips", ("chip", "force"))
        window.files.open_path(file)
        settle()
        assert window.view.pair and arc.shown.why and arc.shown.angle_deg == 123.4
        assert arc.shown.strips == ("chip", "torque") and arc.shown.charts == ("marks",)


def test_a_document_turns_to_its_page_and_back(tmp_path: Path) -> None:
    file = tmp_path / "figures.toml"
    file.write_text(write_setup(replace(boss(), title="Figures first", show=Show(page="figures"))), "utf-8")
    with laid_out_on(boss()) as window:
        window.files.open_path(file)
        settle()
        assert window.page.id == "figures"
        window.workbench.undo()
        settle()
        assert window.page.id == "arc"


def test_a_picture_is_as_the_document_wants_to_be_looked_at(tmp_path: Path) -> None:
    setup, named = example("long-reach").setup(), list[QImage]()
    asked: tuple[tuple[Show, list[str]], ...] = (
        (setup.show, []),
        (Show(), ["--pair", "--strips", "chip,movement", "--charts", "wall", "--angle", "150"]),
        (Show(), []),
    )
    for show, options in asked:
        file, out = tmp_path / f"{len(named)}.toml", tmp_path / f"{len(named)}.png"
        file.write_text(write_setup(replace(setup, show=show)), "utf-8")
        assert picture([str(file), "--out", str(out), *options]) == 0
        named.append(QImage(str(out)))
    assert named[0] == named[1] != named[2]


def test_motion_is_started_by_the_document_and_stops_with_the_next(tmp_path: Path) -> None:
    file = tmp_path / "moving.toml"
    file.write_text(write_setup(replace(boss(), title="Moving", show=Show(motion="slow"))), "utf-8")
    with laid_out_on(boss()) as window:
        window.files.open_path(file)
        settle()
        assert window.arc.shown.playing and window.arc.shown.slow and window.arc.shown.loop
        window.workbench.undo()
        settle()
        assert not window.arc.shown.playing and not window.arc.shown.slow and not window.arc.shown.loop
