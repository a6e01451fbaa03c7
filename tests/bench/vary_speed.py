"""Rows of a table over two figures, against a report for each row."""

from __future__ import annotations

import time

from core.documents.setup_examples import EXAMPLES
from core.report.report import report
from core.report.vary import Table, varied, with_figure
from tests.bench.timing import Timed

SAMPLE = 20
"""Rows that the plain peer reports; its time is scaled up to all."""


def table_rows() -> list[Timed]:
    """Two thousand rows with the usual columns, forces included; the peer makes the whole report of each row."""
    setup, ours, peer = EXAMPLES[0].setup(), [], []
    for turn in range(3):
        figures = [varied(f"radial_engagement_mm=0.1:10:{0.01 + 1e-5 * turn}"), varied("feed_per_tooth_mm=0.03,0.06")]
        table = Table(setup, figures)
        start = time.perf_counter()
        rows = list(table.rows())
        ours.append((time.perf_counter() - start) * 1e3)
        start = time.perf_counter()
        for row in rows[:: len(rows) // SAMPLE][:SAMPLE]:
            report(with_figure(with_figure(setup, figures[0].key, row[0]), figures[1].key, row[1]))
        peer.append((time.perf_counter() - start) * 1e3 * len(rows) / SAMPLE)
    rate = len(rows) / min(ours) * 1e3
    return [
        Timed("vary", f"a report for each of {len(rows)} rows, scaled from {SAMPLE}; {rate:.0f} rows/s", ours, peer)
    ]
