"""Bounds of formulas: ends where they are monotonic, inside where they turn."""

from __future__ import annotations

from itertools import pairwise
from math import pi, sin

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import minimize_scalar

from knowledge.bounds import extreme, formula_bounds
from knowledge.formulas import Formula, formulas
from shared.errors import FormulaError
from shared.ranges import Range


def test_monotonic_bounds_are_at_the_ends() -> None:
    coil = formulas()["coil_rate"]
    found = formula_bounds(coil, [Range(0.0138, 0.0142), Range(0.125, 0.125), Range(9, 9), Range(78.5e9, 78.5e9)])
    assert found.lo == coil.function(0.0138, 0.125, 9, 78.5e9)
    assert found.hi == coil.function(0.0142, 0.125, 9, 78.5e9)


def test_a_peak_inside_is_found() -> None:
    """Tyre swing peaks at 31.2 deg, before full lock at 33 (the reference car); corners alone miss it."""
    swing = formulas()["tyre_lock_swing"]
    exact = swing.function(0.35175, 0.105, 0.215, np.radians(33))
    assert exact > 0.35175 * np.cos(np.radians(33)) + 0.2125 * np.sin(np.radians(33))


def test_outside_the_valid_range_is_refused_with_the_number() -> None:
    with pytest.raises(FormulaError, match="wire"):
        formula_bounds(formulas()["coil_rate"], [Range(5, 5), Range(0.1, 0.1), Range(9, 9), Range(78e9, 78e9)])


@given(st.floats(0.2, 3.0), st.floats(0.1, 6.0), st.floats(-3, 3))
@settings(max_examples=60, deadline=None)
def test_extreme_against_scipy(frequency: float, width: float, start: float) -> None:
    """scipy.optimize.minimize_scalar on a fine partition is the outside reference."""

    def function(x: float) -> float:
        return sin(frequency * x) + 0.05 * x

    box = Range(start, start + width)
    edges = np.linspace(box.lo, box.hi, 40)
    best = min(
        min(function(a), function(b), minimize_scalar(function, bounds=(a, b), method="bounded").fun)
        for a, b in pairwise(edges)
    )
    assert extreme(lambda p: function(p[0]), [box], 1) == pytest.approx(best, abs=1e-6)
    greatest = extreme(lambda p: function(p[0]), [box], -1)
    assert greatest >= max(function(x) for x in np.linspace(box.lo, box.hi, 500)) - 1e-6


def test_two_turning_inputs() -> None:
    def saddle(x: float, y: float) -> float:
        return sin(pi * x) * sin(pi * y)

    formula = Formula("saddle", "test", saddle, {}, frozenset(), frozenset())
    found = formula_bounds(formula, [Range(0, 1), Range(0, 1)])
    assert found.hi == pytest.approx(1.0, abs=1e-9)
    assert found.lo == pytest.approx(0.0, abs=1e-9)
