"""A range held against one limit or two, which may be ranges themselves."""

from __future__ import annotations

from hypothesis import assume, given
from hypothesis import strategies as st

from shared.ranges import Range
from shared.verdict import Verdict
from solver.holding import hold, verdict_on

WHOLE = st.integers(-3, 3).map(float)
RANGES = st.tuples(WHOLE, WHOLE).map(lambda ends: Range(min(ends), max(ends)))


def points(of: Range) -> list[float]:
    """Whole numbers, as all ends are: nothing changes between them."""
    return [float(x) for x in range(int(of.lo), int(of.hi) + 1)]


@given(RANGES, st.none() | RANGES, st.none() | RANGES)
def test_every_point_against_every_point(value: Range, at_least: Range | None, at_most: Range | None) -> None:
    """One limit by itself fits if all points pass, and is a no if none does; of two the worse counts."""
    passes = [
        {(x >= y if lower else x <= y) for x in points(value) for y in points(limit)}
        for limit, lower in ((at_least, True), (at_most, False))
        if limit is not None
    ]
    worst = [Verdict.CHECK if len(p) == 2 else Verdict.FITS if True in p else Verdict.NO for p in passes]
    assert verdict_on(value, at_least, at_most) is max(worst, default=Verdict.FITS)


@given(RANGES, st.none() | RANGES, st.none() | RANGES)
def test_what_decided_it_gives_that_verdict_by_itself(
    value: Range, at_least: Range | None, at_most: Range | None
) -> None:
    assume(at_least or at_most)
    held = hold(value, at_least, at_most)
    assert held.limit is (at_least if held.lower else at_most)
    alone = (held.limit, None) if held.lower else (None, held.limit)
    assert held.verdict is verdict_on(value, at_least, at_most) is verdict_on(value, *alone)
    assert (held.gap > 0) == (held.verdict is Verdict.NO)
