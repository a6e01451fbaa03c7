"""Names of steps of undo that tests propose."""

from __future__ import annotations

from app.state.step_name import DIRECTION, TERM, StepName

ANGLE = StepName("plan", "angle_step")
ANOTHER = StepName("window", "another_setup")
FEED = StepName("plan", "feed_step")
MATERIAL = StepName("control", "material_step")
SPEED = StepName(TERM, "spindle_speed")
WIDTH = StepName("plan", "width_step")

__all__ = ["ANGLE", "ANOTHER", "DIRECTION", "FEED", "MATERIAL", "SPEED", "WIDTH"]
