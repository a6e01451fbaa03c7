"""What the words and marks of the strips mean: told to who hovers over one, never over the curves themselves."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from PySide6.QtCore import QPointF, QRectF

from app.kit.hover_help import HoverHelp
from app.kit.look import Look
from app.pages.arc.strip_head import strip_head
from app.pages.arc.strip_layers import limit_labels
from app.pages.arc.strip_lines import end_marks
from app.pages.arc.strip_places import StripFrame
from app.pages.arc.strips_scene import StripsScene
from core.base.glossary import explained
from core.base.words import say

TERM_OF_LIMIT = {
    "force": "table_hold",
    "torque": "spindle_torque",
    "movement": "wall_tolerance",
    "temperature": "model_end",
}
"""What the level of a strip is, by the strip's id."""

TERM_OF_BAND = {"rub": "rubbing", "skin": "skin", "end": "model_end"}
"""What a band of a strip is, by its kind."""


def strips_help(point: QPointF, scene: StripsScene, frames: Sequence[StripFrame], look: Look) -> HoverHelp | None:
    """What is told of the part under a pixel; None where the curves are, which a hint would hide."""
    return next((part for part in _parts(scene, frames, look) if part.box.contains(point)), None)


def _parts(scene: StripsScene, frames: Sequence[StripFrame], look: Look) -> Iterator[HoverHelp]:
    for i, (strip, frame) in enumerate(zip(scene.own.strips, frames, strict=True)):
        head = strip_head(scene, strip, frame, look)
        # The hint stands over the head: below it would hide the curves that it explains.
        yield HoverHelp(head.title_box, explained(strip.quantity), above=True)
        for item in head.items:
            box = (
                item.box if item.sample is None else item.box.adjusted(item.sample[0].x() - item.box.left(), 0, 0, 0)
            )
            yield HoverHelp(box, explained(item.term), above=True)
        for mark, _, box in end_marks(scene, i, frame, look):
            curve = next(c for c in strip.curves if c.mark == mark)
            yield HoverHelp(box, explained(curve.term))
        for _, _, box in limit_labels(scene, strip, frame, look):
            yield HoverHelp(box, explained(TERM_OF_LIMIT[strip.id]))
        for trace in scene.traces:
            for band in next(s for s in trace.strips if s.id == strip.id).bands:
                if band.kind != "cut":
                    left, right = frame.x(band.from_deg), frame.x(band.to_deg)
                    box = QRectF(left, frame.plot.top(), right - left, frame.plot.height())
                    yield HoverHelp(box, explained(TERM_OF_BAND[band.kind]))
    if frames:
        first, last = frames[0], frames[-1]
        dial = QRectF(first.plot.left() - 20.0, first.head.top() - 30.0, first.plot.width() + 40.0, 28.0)
        yield HoverHelp(dial, f"{explained('clock')}\n{say('drag', 'line')}")
        degrees = QRectF(last.plot.left() - 20.0, last.plot.bottom() + 1.0, last.plot.width() + 40.0, 20.0)
        yield HoverHelp(degrees, explained("angle"), above=True)
