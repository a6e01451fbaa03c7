"""Matrices are worked out on the thread that asks: set before numpy is loaded."""

from __future__ import annotations

import os

THREADS = "OPENBLAS_NUM_THREADS"
"""Read by the linear algebra that numpy and scipy bring with them, at the moment they are loaded."""


def one_thread_for_matrices() -> None:
    """No helping threads in linear algebra, unless the person has set their number.

    Our matrices have some dozens to some hundreds of rows.  From about 100 on, the library splits them over all
    processors, and threads without work turn on the spot and wait: measured here beside busy neighbours, 16 times
    the processor time and 16 times as long for the eigenvalues of 100 rows.  Beside the window it also takes the
    processor on which that paints.
    """
    os.environ.setdefault(THREADS, "1")
