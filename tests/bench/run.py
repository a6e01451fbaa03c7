"""``python3 tests bench``: one line a benchmark, ours against a plain implementation in the same run.

``NAME ratio N x (ours …, peer …)``; ``--json FILE`` writes the same as data: ``name``, ``against``, ``p50`` and
``p99`` (ratios peer/ours), ``ours_ms`` and ``peer_ms`` (medians), ``size`` where it is run for several.
``--frames N`` for a shorter or longer run.
"""

from __future__ import annotations

import argparse
import json
from pathlib import Path

import numpy as np

from tests.bench.timing import Timed


def line(found: Timed) -> str:
    """The line of a benchmark."""
    size = "" if found.size is None else f" {found.size}"
    return (
        f"{found.name}{size} ratio {found.p50:.1f} x "
        f"(ours {found.ours_ms:.2f} ms, peer {found.peer_ms:.2f} ms, {found.against}; "
        f"p99 {found.p99:.1f} x, ours {np.percentile(found.ours, 99):.2f} ms)"
    )


def main(argv: list[str]) -> int:
    """Run the benchmarks; returns 0."""
    from tests.bench import core_speed, frame, path, stability_chart, vary_speed

    parser = argparse.ArgumentParser("python3 tests bench", description=__doc__)
    parser.add_argument("--json", metavar="FILE", help="write the figures as data too")
    parser.add_argument("--frames", type=int, default=240, help="frames of each kind in `frame` and `hand` (240)")
    known = "frame, hand, report-100, trochoid-1e6, force-turn-6, many-cuts-1000, path, stability-chart, vary"
    parser.add_argument("names", nargs="*", help=f"only these: {known}")
    asked = parser.parse_args(argv)
    found: list[Timed] = []
    for names, measure in (
        (("frame",), lambda: frame.measure("frame", asked.frames)),
        (("hand",), lambda: frame.measure("hand", asked.frames)),
        (("report-100",), core_speed.report_hundred),
        (("trochoid-1e6",), core_speed.trochoid_million),
        (("force-turn-6",), core_speed.force_turn_six),
        (("many-cuts-1000",), core_speed.many_cuts_thousand),
        (("path",), path.measure),
        (("stability-chart",), stability_chart.measure),
        (("vary",), vary_speed.table_rows),
    ):
        if not asked.names or set(names) & set(asked.names):
            for timed in measure():
                print(line(timed), flush=True)
                found.append(timed)
    if asked.json:
        Path(asked.json).write_text(json.dumps([t.data() for t in found], indent=2) + "\n", "utf-8")
    return 0
