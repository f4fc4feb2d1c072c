"""Rows times a lower triangle, and back, against a general library."""

import numpy as np
import pytest
from numpy.random import Generator
from scipy.linalg import solve_triangular

from floatbowl.belief.triangle import through_triangle, times_triangle


def triangle(size: int, rng: Generator) -> np.ndarray:
    """Give a lower root of a covariance, as the crowd has it."""
    away = rng.standard_normal((3 * size, size))
    return np.asarray(np.linalg.cholesky(away.T @ away / (3 * size) + 0.1 * np.eye(size)))


@pytest.mark.parametrize("size", [1, 2, 7, 45])
def test_times_is_the_matrix_product(size: int, rng: Generator) -> None:
    """Rows times the triangle are the matrix product with its transpose, to rounding."""
    rows, root = rng.standard_normal((20, size)), triangle(size, rng)
    assert times_triangle(rows, root) == pytest.approx(rows @ root.T, abs=1e-12)


@pytest.mark.parametrize("size", [1, 2, 7, 45])
def test_through_is_the_triangular_solve(size: int, rng: Generator) -> None:
    """Rows through the triangle are what a library's triangular solve gives, to rounding."""
    rows, root = rng.standard_normal((20, size)), triangle(size, rng)
    assert through_triangle(rows, root) == pytest.approx(
        solve_triangular(root, rows.T, lower=True).T, rel=1e-9, abs=1e-9
    )


def test_above_the_diagonal_nothing_counts(rng: Generator) -> None:
    """What stands above the diagonal is not looked at, in either direction."""
    rows, root = rng.standard_normal((4, 5)), triangle(5, rng)
    filled = root + np.triu(rng.standard_normal((5, 5)), 1)
    assert (times_triangle(rows, filled) == times_triangle(rows, root)).all()
    assert (through_triangle(rows, filled) == through_triangle(rows, root)).all()
