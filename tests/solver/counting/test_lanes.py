"""Sums in lanes against adding up."""

from __future__ import annotations

from collections import Counter
from itertools import product

from hypothesis import given
from hypothesis import strategies as st

from solver.counting.lanes import Lanes

MOST = (5, 2)
SPENT = st.lists(st.tuples(st.integers(0, 6), st.integers(0, 3)), min_size=1, max_size=6)


@given(st.lists(SPENT, min_size=1, max_size=4))
def test_products_count_what_is_spent_in_all(positions: list[list[tuple[int, int]]]) -> None:
    """A way to fill each position out of some, each spending two things, of which so much is allowed."""
    builds = list(product(*positions))
    lanes = Lanes(MOST, len(builds))
    ways = lanes.spending((0, 0))
    for spent in positions:
        ways = lanes.product(ways, sum(lanes.spending(s) for s in spent))
    kept = sum(
        all(sum(of) <= most for of, most in zip(zip(*build, strict=True), MOST, strict=True)) for build in builds
    )
    assert lanes.counted(ways) == kept


@given(SPENT, st.integers(0, 3))
def test_what_all_spend_can_be_taken_out(spent: list[tuple[int, int]], least: int) -> None:
    """One thing is spent: counts by sum stay when all sums and the limit come down by what all spend."""
    sums = [one + least for one, _ in spent]
    lanes = Lanes([8], len(sums))
    ways = sum(lanes.spending([s]) for s in sums)
    least = lanes.least([ways])
    assert least == min((s for s in sums if s <= 8), default=0)
    lower = lanes.without(least)
    assert lower.counted(lanes.lowered(ways, least)) == sum(s <= 8 for s in sums)
    by_sum = Counter(s for s in sums if s <= 8)
    assert lanes.lowered(ways, least) == sum(lower.spending([s - least]) * n for s, n in by_sum.items())


def test_of_several_sums_none_is_taken_out() -> None:
    lanes = Lanes(MOST, 3)
    assert lanes.least([lanes.spending((3, 1))]) == 0


def test_without_sums_ways_are_numbers() -> None:
    lanes = Lanes([], 100)
    assert lanes.counted(lanes.product(lanes.spending([]) * 6, 7)) == 42
