"""Plain arithmetic: what it gives, and what it refuses."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from knowledge.formulas.arithmetic import (
    absolute,
    difference,
    mismatch_share,
    product,
    quotient,
    relative_change,
    total,
)
from knowledge.formulas.readings import greatest, least, mean, spread
from shared.errors import FormulaError, NoSolution

NUMBERS = st.lists(st.floats(-1e6, 1e6), min_size=1, max_size=8)


def test_nothing_at_all() -> None:
    assert total() == 0.0
    assert product() == 1.0
    for f in (least, greatest, mean, spread):
        with pytest.raises(FormulaError, match="no values were given"):
            f()


@given(NUMBERS)
def test_against_exact_fractions(values: list[float]) -> None:
    exact = sum(map(Fraction, values))
    assert total(*values) == pytest.approx(float(exact), abs=1e-8)
    assert mean(*values) == pytest.approx(float(exact / len(values)), abs=1e-8)


@given(NUMBERS)
def test_extremes_and_spread(values: list[float]) -> None:
    ordered = sorted(values)
    assert (least(*values), greatest(*values)) == (ordered[0], ordered[-1])
    assert spread(*values) == ordered[-1] - ordered[0] >= 0


def test_two_by_two() -> None:
    assert difference(5.0, 7.0) == -2.0
    assert product(2.0, 3.0, -4.0) == -24.0
    assert quotient(7.0, 2.0) == 3.5
    assert absolute(-3.0) == absolute(3.0) == 3.0


def test_shares() -> None:
    assert relative_change(1.05, 1.0) == pytest.approx(0.05)
    assert relative_change(2.0, 2.0) == 0.0
    # 890 mm against 870 mm: 2.3 %.
    assert mismatch_share(0.89, 0.87) == pytest.approx(0.023, abs=0.0001)
    assert mismatch_share(0.85, 0.87) == pytest.approx(mismatch_share(0.89, 0.87))


def test_division_by_zero() -> None:
    for nothing in (0.0, -0.0, 5e-324):
        with pytest.raises(NoSolution, match="1 cannot be divided by"):
            quotient(1.0, nothing)
        with pytest.raises(NoSolution, match="1 cannot be divided by"):
            mismatch_share(1.0, nothing)
    with pytest.raises(NoSolution):
        quotient(0.0, 0.0)
