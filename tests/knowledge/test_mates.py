"""Mate rules on exact values, ranges and unknowns; a tolerance belongs to the rule."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from knowledge.layouts import layouts_folder, read_layout
from knowledge.mates import compare
from shared.evidence import UNKNOWN, Evidence, Value
from shared.interface import MateRule, Rule
from shared.ranges import Range
from shared.verdict import Verdict

FITS, CHECK, NO = Verdict.FITS, Verdict.CHECK, Verdict.NO


def rule(kind: Rule, low: float = 0.0, high: float = 0.0, measure: str = "length") -> MateRule:
    return MateRule(kind, "a", "b", low, high, measure, "because", "common practice, no source")


def value(lo: float, hi: float | None = None) -> Value:
    return Value(Range(lo, lo if hi is None else hi), "", Evidence.MEASURED)


@pytest.mark.parametrize(
    ("kind", "low", "high", "left", "right", "verdict"),
    [
        ("equal", 0, 0.1, (125.0,), (125.1,), FITS),
        ("equal", 0, 0.1, (125.0,), (127.0,), NO),
        ("equal", 0, 0.1, (114.3,), (4.5 * 25.4,), FITS),  # NIST SP 811: 1 in is 25.4 mm exactly
        ("equal", 0, 0.1, (125.0,), (124.0, 126.0), CHECK),
        ("goes_into", 0, 0.2, (71.0,), (71.1,), FITS),
        ("goes_into", 0, 0.2, (71.0,), (70.9,), NO),
        ("goes_into", 0, 0.2, (71.0,), (71.3,), NO),
        ("at_least", 2, 2, (10.0,), (8.0,), FITS),
        ("at_least", 2, 2, (10.0,), (8.1,), NO),
        ("at_most", 0, 0, (10.0,), (10.0,), FITS),
        ("at_most", 0, 0, (10.0,), (9.0, 11.0), CHECK),
        ("at_most", 0, 0, (10.1,), (10.0,), NO),
    ],
)
def test_rules(
    kind: Rule, low: float, high: float, left: tuple[float, ...], right: tuple[float, ...], verdict: Verdict
) -> None:
    assert compare(rule(kind, low, high), value(*left), value(*right)).verdict is verdict


def test_by_how_much() -> None:
    assert compare(rule("equal", 0, 0.1), value(125.0), value(127.0)).gap == pytest.approx(1.9)


def test_unknown_is_doubt_not_a_no() -> None:
    assert compare(rule("equal"), UNKNOWN, value(1.0)).verdict is CHECK


def test_words_do_not_mind_case_and_space() -> None:
    one, two = Value("M12 x1.5", ""), Value("m12  X1.5", "")
    assert compare(rule("same", measure="word"), one, two).verdict is FITS
    assert compare(rule("same", measure="word"), one, Value("M10x1.0", "")).verdict is NO


numbers = st.floats(-1e3, 1e3, allow_nan=False)
spans = st.tuples(numbers, st.floats(0, 10)).map(lambda t: (t[0], t[0] + t[1]))


@given(spans, spans, st.floats(0, 5), st.floats(0, 1), st.floats(0, 1))
def test_a_range_answers_for_every_value_in_it(
    left: tuple[float, float], right: tuple[float, float], tolerance: float, s: float, t: float
) -> None:
    """A point of a range that certainly fits must fit, and one of a range that certainly fails must fail."""
    whole = compare(rule("equal", 0, tolerance), value(*left), value(*right)).verdict
    point = compare(
        rule("equal", 0, tolerance),
        value(min(max(left[0] + s * (left[1] - left[0]), left[0]), left[1])),
        value(min(max(right[0] + t * (right[1] - right[0]), right[0]), right[1])),
    ).verdict
    if whole is not CHECK:
        assert point is whole


@given(spans, spans, st.floats(0, 5), st.floats(0, 5))
def test_a_wider_tolerance_never_refuses_more(
    left: tuple[float, float], right: tuple[float, float], one: float, more: float
) -> None:
    narrow = compare(rule("equal", 0, one), value(*left), value(*right)).verdict
    wide = compare(rule("equal", 0, one + more), value(*left), value(*right)).verdict
    assert wide <= narrow


def test_where_one_side_of_a_fit_may_point_both_ways_so_may_the_other() -> None:
    """A piston that stands out of its master cylinder meets a push rod that stays behind the booster's face."""
    for kind in read_layout(layouts_folder() / "solid-axle-4x4").interfaces.values():
        for fit in (r for r in kind.rules if r.rule in ("equal", "goes_into")):
            left, right = kind.attributes[fit.left].valid, kind.attributes[fit.right].valid
            if left is not None and right is not None:
                assert (left.value.lo < 0) == (right.value.lo < 0), (kind.name, fit.left, fit.right)
