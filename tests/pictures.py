"""``python3 tests pictures``: makes the README's pictures anew, from today's window."""

from __future__ import annotations

import os
from typing import Any

from core.base.places import ROOT

PICTURES: tuple[tuple[str, str, tuple[int, int], dict[str, Any]], ...] = (
    ("arc-light", "boss", (1280, 800), {"angle_deg": 132.0}),
    ("arc-pair", "boss", (1600, 900), {"angle_deg": 132.0, "pair": True, "theme": "dark"}),
    ("which-way", "slack-table", (1280, 800), {"angle_deg": 161.0, "why": True, "reason": "pull"}),
    ("arc-projector", "facing-cast-iron", (1280, 800), {"angle_deg": 75.0, "theme": "projector", "units": "inch"}),
)
"""Name, example, size, and the view of each picture."""


def main(argv: list[str]) -> int:
    """Make every picture; returns 0."""
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    from PySide6.QtTest import QTest
    from PySide6.QtWidgets import QApplication

    from app.kit.fonts import load_fonts
    from core.documents.setup_examples import EXAMPLES
    from tests.app.windows import settle, window_on

    application = QApplication.instance() or QApplication(["pictures"])
    application.setStyle("Fusion")  # type: ignore[attr-defined]
    load_fonts()
    folder = ROOT / "assets" / "pictures"
    folder.mkdir(exist_ok=True)
    for name, id, size, view in PICTURES:
        setup = next(e for e in EXAMPLES if e.id == id).setup()
        with window_on(setup, size, **view) as window:
            window.arc.plan.clearFocus()
            settle()
            # What would lift a reason is looked for a little later, one change after another.
            for _ in range(40 if window.arc.shown.why else 0):
                QTest.qWait(50)
            file = folder / f"{name}.png"
            window.grab().save(str(file))
            print(f"{file.relative_to(ROOT)}  {size[0]} x {size[1]}")
    return 0
