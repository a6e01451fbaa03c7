"""Before a class: full screen with the pictures alone, type by the screen's height, black, and the walk."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QFontMetricsF
from PySide6.QtTest import QTest

from app.kit.look import LEAST_CAPITALS, at_hand, look, theme_of, themed
from app.pages.page_list import PAGES
from app.shell.gallery import GalleryDialog
from core.base.errors import DocumentError
from core.documents.setup_examples import EXAMPLES
from core.documents.setup_writing import write_setup
from core.documents.show_list import GALLERY, Stop, load_show_list, read_show_list
from core.setup.show import EVERYTHING, Show
from tests.app.windows import ArcWindow, at_rest, boss, keep, laid_out_on, settle, window_on

pytestmark = pytest.mark.usefixtures("window_app")


def full_screen(window: ArcWindow, size: tuple[int, int]) -> None:
    """Full screen by its key, on a screen of that size."""
    QTest.keyClick(window, Qt.Key.Key_F11)
    settle()
    window.resize(*size)
    at_rest(window)


@pytest.mark.parametrize("height", [720, 768, 800, 1080, 1440])
def test_the_projectors_capitals_are_two_per_cent_of_the_screen(height: int) -> None:
    name = themed("projector", height)
    theme = look(name)
    for size in ("small", "text", "title", "figure"):
        assert QFontMetricsF(theme.font(size)).capHeight() >= LEAST_CAPITALS * height - 0.5
    # Lines with it.
    assert theme.line / theme.small == pytest.approx(look("projector").line / look("projector").small, rel=0.05)
    assert at_hand(name) == look("projector") and theme_of(name) == "projector"
    assert themed("light", height) == "light"


def test_the_window_takes_the_theme_of_its_screen_and_its_controls_stay_as_they_are() -> None:
    with laid_out_on(boss()) as window:
        height = window.screen().size().height()
        window.choose_theme("projector")
        settle()
        assert window.view.theme == f"projector:{height}" and window.settings.theme == "projector"
        assert window.header.theme.text() == "Projector"
        assert window.story.label.font().pixelSize() == round(look(window.view.theme).text)
        assert window.header.gallery.font().pixelSize() == look("projector").text
        QTest.keyClick(window, Qt.Key.Key_T)
        assert window.view.theme == "light"


@pytest.mark.parametrize("size", [(1024, 768), (1280, 720), (960, 540)], ids=str)
@pytest.mark.parametrize("name", ["boss", "slack-table"])
def test_in_full_screen_the_pictures_have_it_all_and_nothing_is_cut(size: tuple[int, int], name: str) -> None:
    setup = next(e for e in EXAMPLES if e.id == name).setup()
    with laid_out_on(setup, size) as window:
        window.opened_view.take()
        window.view.set("theme", themed("projector", size[1]))
        full_screen(window, size)
        assert (window.width(), window.height()) == size
        for bar in (window.menuBar(), window.header, window.hand_rail, window.sentence):
            assert not bar.isVisible()
        assert window.story.isVisible() and window.pages.height() > 0.8 * size[1]
        page = window.page.widget()
        assert page.mapTo(window, page.rect().bottomRight()).y() < size[1]
        assert page.minimumSizeHint().width() <= size[0] and page.minimumSizeHint().height() <= page.height()
        panel = window.arc.which_way
        if panel.isVisible():
            # Its words have the width that they need, beside the plan or in its place.
            assert panel.width() >= panel.minimumSizeHint().width()
        QTest.keyClick(window, Qt.Key.Key_Escape)
        settle()
        assert window.menuBar().isVisible() and window.hand_rail.isVisible() and window.sentence.isVisible()


def test_the_bars_come_at_a_touch_of_the_edge_and_by_a_key() -> None:
    with laid_out_on(boss(), (1280, 800)) as window:
        full_screen(window, (1280, 800))
        ground = window.centralWidget()
        assert ground is not None
        QTest.mouseMove(ground, QPoint(600, ground.height() - 2))
        settle()
        assert window.hand_rail.isVisible() and window.sentence.isVisible() and not window.header.isVisible()
        QTest.mouseMove(ground, QPoint(600, 1))
        settle()
        assert window.header.isVisible() and window.menuBar().isVisible()
        # Back among the pictures they are gone.
        QTest.mouseMove(window.arc.plan, QPoint(200, 200))
        settle()
        assert not window.header.isVisible() and not window.hand_rail.isVisible()
        QTest.keyClick(window, Qt.Key.Key_F10)
        settle()
        QTest.mouseMove(window.arc.plan, QPoint(210, 210))
        settle()
        assert window.header.isVisible() and window.hand_rail.isVisible()
        QTest.keyClick(window, Qt.Key.Key_F10)
        settle()
        assert not window.header.isVisible() and not window.hand_rail.isVisible()


def test_b_blacks_out_and_any_key_or_click_brings_the_picture_back() -> None:
    with window_on(boss()) as window:
        black = window.presenting.black
        QTest.keyClick(window, Qt.Key.Key_B)
        settle()
        assert black.isVisible() and black.size() == window.size()
        picture = window.grab().toImage()
        assert {picture.pixelColor(x, y).lightness() for x in (3, 640, 1276) for y in (3, 400, 796)} == {0}
        QTest.keyClick(black, Qt.Key.Key_X)
        assert not black.isVisible()
        QTest.keyClick(window, Qt.Key.Key_B)
        QTest.mouseClick(black, Qt.MouseButton.LeftButton)
        assert not black.isVisible()
        QTest.keyClick(window, Qt.Key.Key_B)
        QTest.keyClick(window, Qt.Key.Key_B)
        assert not black.isVisible()


def test_a_clicker_walks_a_list_and_shows_what_is_hidden_before_it_goes_on(tmp_path: Path) -> None:
    asked = replace(boss(), title="Asked", show=Show(hidden=("figures", "sentence"), strips=("chip", "torque")))
    (tmp_path / "asked.toml").write_text(write_setup(asked), "utf-8")
    file = tmp_path / "today.txt"
    file.write_text("# today\nslot-steel\n\nasked.toml   # mine\nboss\n", "utf-8")
    stops = load_show_list(file)
    assert stops == (Stop("slot-steel"), Stop(file=tmp_path / "asked.toml"), Stop("boss"))
    with laid_out_on(boss()) as window:
        assert not window.menus.by_id["walk_forward"].isEnabled()
        full_screen(window, (1280, 800))
        window.presenting.begin(stops)
        window.offer_walk()
        settle()

        def titled(key: Qt.Key) -> str:
            QTest.keyClick(window, key)
            settle()
            return window.workbench.setup.title

        on, back = Qt.Key.Key_PageDown, Qt.Key.Key_PageUp
        assert window.workbench.setup.title == "Slot for the clamp, in steel"
        assert titled(on) == "Asked" and not window.view.shown.figures
        assert titled(on) == "Asked" and window.view.shown == EVERYTHING
        assert titled(back) == "Asked" and not window.view.shown.figures
        assert titled(on) == "Asked" and window.view.shown.figures
        assert titled(on) == "Boss on a pump bracket" and window.view.shown.figures
        # No farther than to the end.
        assert titled(on) == "Boss on a pump bracket"
        assert titled(back) == "Asked" and not window.view.shown.figures
        assert titled(back) == "Slot for the clamp, in steel"


def test_without_a_list_full_screen_walks_the_gallery_from_where_one_is() -> None:
    assert tuple(stop.example for stop in GALLERY) == tuple(each.id for each in EXAMPLES)
    with laid_out_on(EXAMPLES[2].setup()) as window:
        full_screen(window, (1280, 800))
        QTest.keyClick(window, Qt.Key.Key_PageDown)
        settle()
        assert window.workbench.setup.title == EXAMPLES[3].title
        QTest.keyClick(window, Qt.Key.Key_PageUp)
        settle()
        assert window.workbench.setup.title == EXAMPLES[2].title
        QTest.keyClick(window, Qt.Key.Key_F11)
        settle()
        assert not window.menus.by_id["walk_forward"].isEnabled()


def test_a_list_is_refused_with_every_fault_and_its_line(tmp_path: Path) -> None:
    (tmp_path / "bad.toml").write_text(write_setup(boss()).replace("teeth = 4", "teeth = 0"), "utf-8")
    text = "boss\nbos\nbad.toml\n"
    with pytest.raises(DocumentError) as refused:
        read_show_list(text, tmp_path / "today.txt")
    assert [fault.line for fault in refused.value.faults] == [2, 3]
    assert '"bos"' in refused.value.faults[0].found and "slot-steel" in refused.value.faults[0].allowed
    assert "refused at its line" in refused.value.faults[1].found
    with pytest.raises(DocumentError, match="found no setup"):
        read_show_list("# nothing\n", tmp_path / "today.txt")


def test_the_walk_leaves_its_keys_to_a_page_that_has_them() -> None:
    with laid_out_on(boss()) as window:
        full_screen(window, (1280, 800))
        for kind in PAGES:
            window.turn_to(kind.id)
            settle()
            own = {key for action in window.page.actions() for key in action.keys}
            assert window.menus.by_id["walk_forward"].isEnabled() == ("PgDown" not in own)


@pytest.mark.parametrize("theme", ["light", "projector"])
def test_the_gallery_fits_the_screen_and_tells_of_each_example(theme: str) -> None:
    dialog = GalleryDialog(theme)
    dialog.show()
    settle()
    room = dialog.screen().availableGeometry().size()
    assert dialog.width() <= room.width() and dialog.height() <= room.height()
    for row, each in enumerate(EXAMPLES):
        dialog.cards.setCurrentRow(row)
        assert dialog.told.text() == each.sentence
        assert dialog.told.heightForWidth(dialog.told.width()) <= dialog.told.height()
    dialog.close()
    dialog.deleteLater()


LESSONS = {
    "slack-table": "Conventional: the machine decides",
    "flame-cut-plate": "breaks out through it",
    "long-reach": "The wall is off by up to",
    "worn-finish": "lifts no chip",
    "facing-cast-iron": "Straddling: meets the work",
    "finishing-aluminium": "the thickest chip is a third of the feed per tooth",
}
"""What a class is asked, and words that tell the answer."""


@pytest.mark.parametrize("size", [(1024, 768), (1280, 720)], ids=str)
def test_with_keys_alone_a_class_is_asked_first_and_each_answer_is_read_from_the_back(
    tmp_path: Path, size: tuple[int, int], output: Path
) -> None:
    file = tmp_path / "lesson.txt"
    file.write_text("\n".join(LESSONS), "utf-8")
    with window_on(boss(), size) as window:
        window.view.set("theme", themed("projector", size[1]))
        full_screen(window, size)
        window.presenting.begin(load_show_list(file))
        window.offer_walk()
        QTest.keyClick(window, Qt.Key.Key_F10)
        for key in (Qt.Key.Key_E, Qt.Key.Key_N, Qt.Key.Key_C):
            QTest.keyClick(window, key)
        for i, (name, answer) in enumerate(LESSONS.items()):
            if i:
                QTest.keyClick(window, Qt.Key.Key_PageDown)
            at_rest(window)
            assert window.workbench.setup.title == next(e.title for e in EXAMPLES if e.id == name)
            # Asked: no word and no figure of the picture tells it.
            assert not window.story.isVisible() and not window.sentence.isVisible()
            shown = window.view.shown
            assert not (shown.sentence or shown.figures or shown.callouts or shown.verdict)
            panel = window.arc.which_way
            assert not panel.isVisible() or not panel.decision.isVisible()
            assert not any(line.climb.text() or line.conventional.text() for line in panel.lines.values())
            keep(window.grab(), output / f"class-{size[0]}-{name}-asked.png")
            QTest.keyClick(window, Qt.Key.Key_PageDown)
            at_rest(window)
            assert window.view.shown == EVERYTHING and window.story.isVisible() and window.sentence.isVisible()
            told = " ".join((window.sentence.label.text(), window.story.text(), panel.decision.text()))
            assert answer in told, name
            assert (window.width(), window.height()) == size, name
            label = window.sentence.label
            assert len(label.lines()) * label.fontMetrics().lineSpacing() <= label.height(), name
            for read in (label, window.story.label):
                assert read.fontMetrics().capHeight() >= LEAST_CAPITALS * size[1] - 0.5
            keep(window.grab(), output / f"class-{size[0]}-{name}-told.png")
