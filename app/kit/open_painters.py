"""Painters that an error has left at work, ended before what they paint on is gone.

An error keeps the frames that it came through, and with them their painters, for as long as somebody holds the error.
A painter that is destroyed after its picture or widget takes the process with it.
"""

from __future__ import annotations

from types import TracebackType

from PySide6.QtGui import QPainter


def end_painters(trace: TracebackType | None) -> None:
    """End every painter in the frames of an error, innermost first."""
    frames = []
    while trace is not None:
        frames.append(trace.tb_frame)
        trace = trace.tb_next
    for frame in reversed(frames):
        for value in list(frame.f_locals.values()):
            if isinstance(value, QPainter) and value.isActive():
                value.end()
