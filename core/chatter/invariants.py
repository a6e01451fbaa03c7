"""The coefficients of the characteristic polynomial of M: elementary symmetric functions of its eigenvalues."""

from __future__ import annotations

import numpy as np


def invariants(matrix: np.ndarray) -> np.ndarray:
    """Elementary symmetric functions 1 to n - 1 of the eigenvalues of (n, n, ...) matrices: (n - 1, ...).

    For two and four states by principal minors, otherwise from the eigenvalues.  The last one, the determinant, does
    not depend on kappa: see :func:`determinant`.  Not finite where the matrix is not: a wave that grows by more than
    all floats within one period.
    """
    n = len(matrix)
    if n == 2:
        return (matrix[0, 0] + matrix[1, 1])[None]
    if n == 4:
        return _four_by_four(matrix)
    whole = np.isfinite(matrix).all((0, 1))
    matrix = np.where(whole, matrix, 0.0)
    eigenvalues = np.moveaxis(np.linalg.eigvals(np.moveaxis(matrix, (0, 1), (-2, -1))), -1, 0)
    sums = np.zeros((n + 1, *matrix.shape[2:]), complex)
    sums[0] = 1.0
    for k, value in enumerate(eigenvalues):
        sums[1 : k + 2] = sums[1 : k + 2] + value * sums[: k + 1]
    sums[:, ~whole] = np.nan
    return sums[1:n]


def _four_by_four(m: np.ndarray) -> np.ndarray:
    """The first three invariants by principal minors."""
    first = m[0, 0] + m[1, 1] + m[2, 2] + m[3, 3]
    second = np.zeros_like(first)
    third = np.zeros_like(first)
    for i in range(4):
        for j in range(i + 1, 4):
            pair = m[i, i] * m[j, j] - m[i, j] * m[j, i]
            second += pair
            for k in range(j + 1, 4):
                third += (
                    pair * m[k, k]
                    - (m[i, i] * m[j, k] - m[i, k] * m[j, i]) * m[k, j]
                    + (m[i, j] * m[j, k] - m[i, k] * m[j, j]) * m[k, i]
                )
    return np.array([first, second, third])
