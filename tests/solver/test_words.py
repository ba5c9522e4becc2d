"""A refusal in one line: both sides in numbers that differ, and by how much they miss."""

from __future__ import annotations

import re
from fractions import Fraction

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from shared.ranges import Range
from shared.units import System
from shared.verdict import Reason, Side, Verdict
from solver.words import sentence, shown


def missed(value: Range, least: float) -> Reason:
    """A lift that does not reach what was asked for."""
    left = Side("the part", "this build", "lift front", value, "length")
    right = Side("you asked", "you", "at least", Range.exactly(least), "length")
    return Reason("want lift_front", Verdict.NO, "the lift you want", left, right, least - value.hi, "length", "")


def test_four_hundredths_are_not_lost_to_rounding() -> None:
    told = shown(missed(Range.exactly(0.03726), 0.0373), "must", "metric")
    assert sentence(told) == "lift front 37.26 mm (this build), at least 37.30 mm (you asked): 0.04 mm off"


@pytest.mark.parametrize("system", ["metric", "us"])
@example(lift=0.0720456, wide=0.0, places=5.25)  # apart as 72.0 and 72.1 mm, but the gap needs two decimals
@given(lift=st.floats(0.0, 0.2), wide=st.floats(0.0, 0.05), places=st.floats(1.0, 6.5))
def test_two_numbers_of_a_refusal_never_print_alike(system: System, lift: float, wide: float, places: float) -> None:
    """Missed by a decimetre down to a third of a thousandth of a millimetre."""
    told = sentence(shown(missed(Range(lift, lift + wide), lift + wide + 10.0**-places), "must", system))
    *reached, asked, off = (Fraction(n) for n in re.findall(r"-?\d+\.\d+|-?\d+", told))
    assert max(reached) < asked and off > 0, told
