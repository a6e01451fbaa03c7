"""What a step of a slider costs on the Arc page, in calls of the program's own functions: no clock is asked."""

from __future__ import annotations

import sys
from pathlib import Path
from types import FrameType
from typing import Any

import numpy as np
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication

import app as app_package
import core as core_package
from app.kit.debounce import SETTLE_MS
from tests.app import steps
from tests.app.windows import PATIENCE_MS, at_rest, boss, settle, window_on

MOST = 1037
"""Calls of a step, from the proposal through the paint, that the page may cost."""

OWN = tuple(str(Path(str(package.__file__)).parent) for package in (app_package, core_package))


def test_a_step_of_the_width_costs_few_calls(window_app: QApplication) -> None:
    counts = []
    with window_on(boss(), (1280, 800)) as window:
        at_rest(window)
        # The hand does not rest between the steps, however long a busy machine takes for one.
        for timer in (*window.findChildren(QTimer), *window.workbench.findChildren(QTimer)):
            if timer.isSingleShot() and timer.interval() >= SETTLE_MS:
                timer.setInterval(PATIENCE_MS)
        setups = [window.workbench.setup.with_values(cut__radial_engagement_mm=3.0 + 0.02 * k) for k in range(24)]
        calls = 0

        def profile(frame: FrameType, event: str, _: Any) -> None:
            nonlocal calls
            if event == "call" and frame.f_code.co_filename.startswith(OWN):
                calls += 1

        for setup in setups:
            calls = 0
            sys.setprofile(profile)
            try:
                window.workbench.propose(setup, steps.WIDTH)
                settle()
            finally:
                sys.setprofile(None)
            counts.append(calls)
    # Work that a busy machine has ready only now is not of this step: the middle one has none of it.
    assert float(np.median(counts[4:])) <= MOST
