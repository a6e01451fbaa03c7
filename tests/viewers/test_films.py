"""Films are encoded by a real encoder and decoded again: the frames are the page's own pictures, in their order."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from PySide6.QtCore import QSize
from PySide6.QtWidgets import QFileDialog, QPushButton

from app.pages import film
from app.pages.arc.arc_page import ArcPage
from app.pages.film import FRAMES_A_SECOND, Film, save_film
from app.shell import save_motion
from app.state.view_state import ViewState
from app.state.workbench import Workbench
from core.base.errors import ChiparcError
from core.documents.setup_examples import example
from tests.app.windows import ArcWindow, settle, until, window_on
from tests.viewers.films import decoded, painted, put_encoder

pytestmark = pytest.mark.usefixtures("window_app")
STEP, COUNT = 40.0, 9
SIZE, SIZE_FROM_WINDOW = QSize(640, 560), QSize(960, 640)
NEAR = 2.0
"""What an encoder's losses make of a page of lines and letters, mean of 255; another page is tens apart."""


@pytest.fixture(autouse=True)
def encoder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A real one on the path; a turn in few frames."""
    folder = tmp_path / "programs"
    folder.mkdir()
    put_encoder(folder)
    monkeypatch.setenv("PATH", str(folder))
    monkeypatch.setattr(film, "DEGREES_A_FRAME", STEP)
    monkeypatch.setattr(save_motion, "PICTURE_SIZE", SIZE_FROM_WINDOW)


@pytest.fixture
def arc() -> ArcPage:
    page = ArcPage(Workbench(example("boss").setup()), ViewState())
    page.show(page.workbench.resolved)
    return page


def apart(one: np.ndarray, other: np.ndarray) -> float:
    """Mean difference of two pictures, of 255."""
    return float(np.abs(one.astype(int) - other.astype(int)).mean())


@pytest.mark.parametrize(("kind", "codec"), [("mp4", "h264"), ("webm", "vp9"), ("gif", "gif")])
def test_every_frame_of_a_film_is_the_page_at_its_angle(kind: str, codec: str, arc: ArcPage, tmp_path: Path) -> None:
    file = tmp_path / f"turn.{kind}"
    # An odd side is made even: encoders want that.
    save_film(arc, file, QSize(SIZE.width() + 1, SIZE.height()), "light", "metric")
    found = decoded(file)
    assert found.codec.startswith(codec) and len(found.frames) == COUNT
    assert found.rate == FRAMES_A_SECOND and found.seconds == pytest.approx(COUNT / FRAMES_A_SECOND, abs=0.03)
    own = [painted(arc, i * STEP, SIZE, "light", "metric") for i in range(COUNT)]
    for i, frame in enumerate(found.frames):
        gap = apart(frame, own[i])
        assert gap < NEAR
        assert gap < apart(frame, own[i - 1]) and gap < apart(frame, own[(i + 1) % COUNT])
    if kind == "gif":
        with Image.open(file) as image:
            count: int = image.n_frames  # type: ignore[attr-defined]
            assert (count, image.info["duration"], image.info["loop"]) == (COUNT, 1000 // FRAMES_A_SECOND, 0)


def test_an_encoder_that_fails_is_told_and_the_old_film_stays(
    arc: ArcPage, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(film._ARGUMENTS, ".webm", ("-c:v", "none_of_that_name"))
    old = tmp_path / "turn.webm"
    old.write_bytes(b"old")
    with pytest.raises(ChiparcError, match=r"ffmpeg did not write \.webm: .*[Ee]ncoder"):
        save_film(arc, old, SIZE, "light", "metric")
    assert old.read_bytes() == b"old"


def test_a_page_that_fails_ends_the_film(arc: ArcPage, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def paint(*_: object) -> None:
        raise ZeroDivisionError("in a paint")

    monkeypatch.setattr(arc, "paint", paint)
    with pytest.raises(ZeroDivisionError):
        save_film(arc, tmp_path / "turn.mp4", SIZE, "light", "metric")
    assert not (tmp_path / "turn.mp4").exists()


# From the window


def made(window: ArcWindow) -> None:
    """Wait until no film is under way."""
    until(lambda: window.motion_files.film is None)


def answer(monkeypatch: pytest.MonkeyPatch, name: str, kind: str) -> list[str]:
    """Stands for the dialog; what it was asked for comes back."""
    asked: list[str] = []

    def dialog(parent: object, title: str, usual: str, kinds: str) -> tuple[str, str]:
        asked.append(kinds)
        return name, next((each for each in kinds.split(";;") if f"*.{kind}" in each), kinds)

    monkeypatch.setattr(QFileDialog, "getSaveFileName", dialog)
    return asked


def test_the_window_saves_the_film_that_it_shows_while_it_goes_on(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    setup = example("boss").setup()
    asked = answer(monkeypatch, str(tmp_path / "turn"), "gif")
    with window_on(setup, theme="dark", pair=True) as window:
        window.menus.by_id["save_film"].trigger()
        assert all(f"*.{kind}" in asked[0] for kind in ("mp4", "webm", "gif"))
        assert window.motion_files.film is not None
        until(lambda: window.notices.notice is not None)
        assert window.notices.isVisible() and f"of {COUNT}" in window.notices.label.text()
        # The window is free meanwhile, and what is done in it is not filmed.
        window.flip()
        window.view.set("pair", False)
        window.menus.by_id["save_film"].trigger()
        assert len(asked) == 1 and "already" in window.sentence.label.text()
        made(window)
        assert not window.notices.isVisible() and "turn.gif" in window.sentence.label.text()
        assert window.workbench.setup != setup
    view = ViewState()
    view.pair = True
    page = ArcPage(Workbench(setup), view)
    page.show(page.workbench.resolved)
    found = decoded(tmp_path / "turn.gif")
    assert len(found.frames) == COUNT
    for i in (0, 4, COUNT - 1):
        assert apart(found.frames[i], painted(page, i * STEP, SIZE_FROM_WINDOW, "dark", "metric")) < NEAR


def test_a_film_is_given_up_and_the_old_one_stays(tmp_path: Path) -> None:
    old = tmp_path / "turn.mp4"
    old.write_bytes(b"old")
    with window_on(example("boss").setup()) as window:
        window.motion_files.save_film(old)
        going = window.motion_files.film
        assert isinstance(going, Film)
        until(lambda: window.notices.buttons)
        button = window.notices.buttons[0]
        window.motion_files._went(2, COUNT)
        # While the pictures go on being counted a hand can press it.
        assert window.notices.buttons == [button]
        button.click()
        assert window.motion_files.film is None and window.notices.notice is None
        assert "given up" in window.sentence.label.text()
        settle()
    assert old.read_bytes() == b"old" and [each.name for each in tmp_path.glob("turn*")] == ["turn.mp4"]


def test_a_window_that_is_closed_gives_its_film_up(tmp_path: Path) -> None:
    with window_on(example("boss").setup()) as window:
        window.motion_files.save_film(tmp_path / "turn.mp4")
        window.close()
        assert window.motion_files.film is None
    assert not (tmp_path / "turn.mp4").exists()


def test_a_film_that_somebody_else_wrote_meanwhile_is_not_replaced(tmp_path: Path) -> None:
    with window_on(example("boss").setup()) as window:
        window.motion_files.save_film(tmp_path / "turn.mp4")
        (tmp_path / "turn.mp4").write_bytes(b"theirs")
        made(window)
        assert window.sentence.label.text().startswith("Not saved: ")
    assert (tmp_path / "turn.mp4").read_bytes() == b"theirs"


def test_without_an_encoder_the_entry_says_what_is_missing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    asked = answer(monkeypatch, str(tmp_path / "turn"), "mp4")
    with window_on(example("boss").setup()) as window:
        entry = window.menus.by_id["save_film"]
        assert entry.text() == "Save film…"
        monkeypatch.setenv("PATH", str(tmp_path))
        window.menus.menus["File"].aboutToShow.emit()
        assert "ffmpeg is missing" in entry.text() and "install it" in entry.statusTip()
        entry.trigger()
        assert asked == [] and "install it" in window.sentence.label.text()
        window.motion_files.save_film(tmp_path / "turn.mp4")
        assert "no ffmpeg" in window.sentence.label.text()
        # The page needs nothing.
        monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(tmp_path / "turn"), ""))
        window.turn_to("lesson")
        window.menus.by_id["save_motion"].trigger()
        assert "Boss" in (tmp_path / "turn.html").read_text("utf-8") and "turn.html" in window.sentence.label.text()


def test_the_lesson_page_offers_film_and_page(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    asked = answer(monkeypatch, "", "mp4")
    with window_on(example("boss").setup()) as window:
        window.turn_to("lesson")
        for word, kinds in (("Motion…", "*.html"), ("Film…", "*.mp4")):
            button = next(b for b in window.page.widget().findChildren(QPushButton) if b.text() == word)
            button.click()
            assert kinds in asked[-1]
    assert len(asked) == 2
