"""A range keeps its bounds true and its ends in order."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared.ranges import Range

numbers = st.floats(-1e12, 1e12)
ranges = st.tuples(numbers, numbers).map(lambda ends: Range(min(ends), max(ends)))


def inside(r: Range) -> st.SearchStrategy[float]:
    return st.floats(r.lo, r.hi)


@pytest.mark.parametrize(
    ("lo", "hi"),
    [(2.0, 1.0), (math.nan, 1.0), (1.0, math.nan), (-math.inf, 0.0), (0.0, math.inf), (math.nan, math.nan)],
)
def test_refuses_what_is_not_a_range(lo: float, hi: float) -> None:
    with pytest.raises(ValueError):
        Range(lo, hi)


def test_exact() -> None:
    assert Range.exactly(3.0) == Range(3.0, 3.0)
    assert Range.exactly(3.0).exact and Range.exactly(3.0).width == 0
    assert not Range(3.0, 3.5).exact and Range(3.0, 3.5).width == 0.5


def test_ends_belong_to_the_range() -> None:
    r = Range(1.0, 2.0)
    assert r.contains(1.0) and r.contains(2.0) and r.contains(1.5)
    assert not r.contains(math.nextafter(1.0, 0)) and not r.contains(math.nextafter(2.0, 3))
    assert not r.contains(math.nan)


def test_within() -> None:
    assert Range(1, 2).within(Range(1, 2)) and Range(1, 2).within(Range(0, 3))
    assert not Range(1, 2).within(Range(1.5, 3)) and not Range(0, 3).within(Range(1, 2))


def test_arithmetic_by_hand() -> None:
    assert Range(1, 2) + Range(10, 20) == Range(11, 22)
    assert Range(1, 2) - Range(10, 20) == Range(-19, -8)
    assert -Range(1, 2) == Range(-2, -1)
    assert Range(1, 2).scaled(3) == Range(3, 6)
    assert Range(1, 2).scaled(-3) == Range(-6, -3)
    assert Range(1, 2).hull(Range(5, 6)) == Range(1, 6)


def test_overflow_is_refused_not_carried_on() -> None:
    with pytest.raises(ValueError):
        Range(1e308, 1e308) + Range(1e308, 1e308)


def test_is_a_value() -> None:
    assert len({Range(1, 2), Range(1, 2), Range(1, 3)}) == 2
    with pytest.raises(AttributeError):
        Range(1, 2).lo = 0.0  # type: ignore[misc]


@given(st.data(), ranges, ranges, st.floats(-1e6, 1e6))
def test_every_value_inside_stays_inside(data: st.DataObject, a: Range, b: Range, k: float) -> None:
    x, y = data.draw(inside(a)), data.draw(inside(b))
    assert (a + b).contains(x + y)
    assert (a - b).contains(x - y)
    assert (-a).contains(-x)
    assert a.scaled(k).contains(k * x)
    assert a.hull(b).contains(x) and a.hull(b).contains(y)


@given(ranges, ranges)
def test_hull_is_the_smallest(a: Range, b: Range) -> None:
    hull = a.hull(b)
    assert a.within(hull) and b.within(hull)
    assert hull.lo in (a.lo, b.lo) and hull.hi in (a.hi, b.hi)
    assert hull == b.hull(a)


@given(ranges)
def test_turning_round_twice_changes_nothing(a: Range) -> None:
    turned = -a
    assert -turned == a
    assert turned.width == a.width
