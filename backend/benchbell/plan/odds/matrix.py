"""Small symmetric positive definite matrices, as lists of rows."""

from math import sqrt

Matrix = list[list[float]]


def inverse_of(matrix: Matrix) -> Matrix:
    """The inverse, by Gauss-Jordan elimination; a positive definite matrix needs no pivoting."""
    count = len(matrix)
    rows = [[*row, *(float(i == k) for k in range(count))] for i, row in enumerate(matrix)]
    for k in range(count):
        pivot = rows[k][k]
        head = rows[k] = [value / pivot for value in rows[k]]
        for i in range(count):
            factor = rows[i][k]
            if i != k and factor:
                rows[i] = [value - factor * of_head for value, of_head in zip(rows[i], head, strict=True)]
    return [row[count:] for row in rows]


def root_of(matrix: Matrix) -> Matrix:
    """The lower triangle L for which L times its transpose is the matrix (Cholesky), each row up to its diagonal.

    Of the matrix, nothing beyond the diagonal is asked for.
    """
    root: Matrix = []
    for i, row in enumerate(matrix):
        lower: list[float] = []
        for k in range(i):
            lower.append((row[k] - dot(lower, root[k])) / root[k][k])
        lower.append(sqrt(max(0.0, row[i] - dot(lower, lower)) or TINY))
        root.append(lower)
    return root


def dot(a: list[float], b: list[float]) -> float:
    """The sum of products, as far as the shorter one goes; rounded at each step, on the phone as here."""
    total = 0.0
    for x, y in zip(a, b, strict=False):
        total += x * y
    return total


TINY = 1e-12
"""Stands for a variance that rounding made nothing of."""
