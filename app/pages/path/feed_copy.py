"""The copy of a program with new F words only, which hold a chip thickness; never the program itself."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np

from app.pages.path.path_work import Shown
from core.base.errors import ChiparcError
from core.base.file_bytes import load_bytes
from core.base.quantities import Units, clear_figure
from core.base.safe_write import write_bytes
from core.base.words import say
from core.cut.chip import chip_summary
from core.cut.engagement import engagement
from core.path.feed_words import with_feeds
from core.path.held_feed import held_feeds
from core.path.open_path import is_drawing
from core.path.program_text import LARGEST_PROGRAM
from core.path.spikes import arc_profile

FASTER = 2.0
"""How many times the program's own a feed is raised at most, where feeds may be raised."""


def write_held_copy(shown: Shown, name: str, thickness: float | None, units: Units, *, faster: bool = False) -> str:
    """Write the copy to ``name``; what was done, in words.

    thickness : to be held, mm; None for the greatest of the setup's own cut.  Feeds are only lowered, or raised too
    where ``faster``.  Raises ChiparcError where there is no program, for the program's own name, or where the file
    cannot be written.
    """
    asked, whole = shown.asked, shown.whole
    where = say("path_page", "held_copy")
    if asked.source != "program" or whole is None or is_drawing(asked.program_file):
        raise ChiparcError(where, say("path_page", "held_none"), say("path_page", "held_allowed"))
    source, target = Path(asked.program_file), Path(name)
    if target.resolve() == source.resolve() or (target.exists() and source.exists() and target.samefile(source)):
        raise ChiparcError(where, say("path_page", "no_copy", file=source.name), say("path_page", "held_name"))
    setup = asked.setup
    chip = chip_summary(setup, engagement(setup), "arc").h_max if thickness is None else thickness
    profile = whole.profile or arc_profile(whole.path, whole.fed)
    feeds = held_feeds(whole.path, whole.fed, profile, setup, chip, FASTER if faster else 1.0)
    count = int(np.isfinite(feeds).sum())
    if not count:
        return say("path_page", "kept", chip=clear_figure(chip, "chip_thickness", units))
    data = load_bytes(str(source), LARGEST_PROGRAM)
    speed = setup.cut.spindle_speed_rpm
    text = with_feeds(data, str(source), feeds, speed_rpm=speed if math.isfinite(speed) else None)
    write_bytes(target, text)
    return say("path_page", "written", file=target.name, count=count, prove=say("path_page", "prove"))
