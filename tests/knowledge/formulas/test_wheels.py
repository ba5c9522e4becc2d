"""Bolt circle and thread: limits and errors."""

from __future__ import annotations

from math import pi, sin

import pytest
from hypothesis import given
from hypothesis import strategies as st

from knowledge.formulas.wheels import (
    bolt_circle_from_adjacent,
    bolt_circle_from_alternate,
    thread_engagement_ratio,
)
from shared.errors import FormulaError


@given(circle=st.floats(0.08, 0.25), lugs=st.integers(4, 10))
def test_both_ways_of_measuring_agree(circle: float, lugs: int) -> None:
    adjacent, alternate = circle * sin(pi / lugs), circle * sin(2 * pi / lugs)
    assert bolt_circle_from_adjacent(adjacent, lugs) == pytest.approx(circle)
    assert bolt_circle_from_alternate(alternate, lugs) == pytest.approx(circle)


def test_four_holes_alternate_is_the_circle() -> None:
    assert bolt_circle_from_alternate(0.1, 4) == pytest.approx(0.1)


def test_holes_are_whole() -> None:
    with pytest.raises(FormulaError, match="whole number of holes"):
        bolt_circle_from_adjacent(0.07, 5.5)


def test_thread_engagement() -> None:
    assert thread_engagement_ratio(0.040, 0.020, 0.030, 0.012) == pytest.approx(20 / 12)  # stud decides
    assert thread_engagement_ratio(0.060, 0.020, 0.018, 0.012) == pytest.approx(1.5)  # nut decides
    assert thread_engagement_ratio(0.030, 0.035, 0.018, 0.012) == 0.0  # stud does not reach
