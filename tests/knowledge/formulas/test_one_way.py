"""Arguments declared to move the result one way, or to turn it at one point: along them it turns nowhere else, and
bounds at corners and at that point are the true ones."""

from __future__ import annotations

import re
from itertools import pairwise

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from knowledge.computing.bounds import formula_bounds
from knowledge.formulas import Formula, formulas
from shared.errors import FormulaError
from shared.ranges import Range

DECLARED = {name: f for name, f in formulas().items() if f.one_way}
TURNING = {name: f for name, f in formulas().items() if f.turns_at}


def choices(formula: Formula, argument: str) -> st.SearchStrategy[float | str]:
    """Any value of an argument: a number of its valid range, or one of the words its description quotes."""
    if argument in formula.valid:
        return st.floats(*formula.valid[argument])
    about = next(a.about for a in formula.arguments if a.name == argument)
    return st.sampled_from(re.findall(r'"(\w+)"', about))


@pytest.mark.parametrize("formula", DECLARED.values(), ids=DECLARED)
def test_never_turns_along_them(formula: Formula) -> None:
    points = st.fixed_dictionaries({name: choices(formula, name) for name in formula.names})
    along = st.fixed_dictionaries(
        {name: st.lists(st.floats(*formula.valid[name]), min_size=3, max_size=6) for name in sorted(formula.one_way)}
    )

    @settings(max_examples=150, deadline=None, derandomize=True, database=None, suppress_health_check=list(HealthCheck))
    @given(points, along)
    def check(point: dict[str, float | str], others: dict[str, list[float]]) -> None:
        looked = False
        for name, values in others.items():
            found = []
            for value in sorted(values):
                try:
                    found.append(formula.function(**{**point, name: value}))
                except FormulaError:
                    found.clear()
            if len(found) < 3:
                continue
            looked = True
            rounding = 1e-9 * (1 + max(map(abs, found)))
            steps = [after - before for before, after in pairwise(found)]
            assert not (max(steps) > rounding and min(steps) < -rounding), (name, found)
        assume(looked)

    check()


@pytest.mark.parametrize("formula", TURNING.values(), ids=TURNING)
def test_turns_nowhere_but_where_it_says(formula: Formula) -> None:
    points = st.fixed_dictionaries({name: choices(formula, name) for name in formula.names})
    along = st.fixed_dictionaries(
        {name: st.lists(st.floats(*formula.valid[name]), min_size=6, max_size=9) for name in sorted(formula.turns_at)}
    )

    @settings(max_examples=150, deadline=None, derandomize=True, database=None, suppress_health_check=list(HealthCheck))
    @given(points, along)
    def check(point: dict[str, float | str], others: dict[str, list[float]]) -> None:
        looked = False
        for name, values in others.items():
            try:
                turn = formula.turns_at[name](*(point[n] for n in formula.names))
                sides = [[v for v in (*values, turn) if v <= turn], [v for v in (*values, turn) if v >= turn]]
                found = [[formula.function(**{**point, name: v}) for v in sorted(side)] for side in sides]
            except FormulaError:
                continue
            looked = True
            for side in found:
                rounding = 1e-9 * (1 + max(map(abs, side)))
                steps = [after - before for before, after in pairwise(side)]
                assert not (steps and max(steps) > rounding and min(steps) < -rounding), (name, side)
        assume(looked)

    check()


@pytest.mark.parametrize("formula", (DECLARED | TURNING).values(), ids=DECLARED | TURNING)
def test_no_value_inside_is_beyond_the_bounds(formula: Formula) -> None:
    numbers = [n for n in formula.names if n in formula.valid]
    boxes = st.fixed_dictionaries({name: choices(formula, name) for name in formula.names})
    # Wide ones where it turns, so that many hold the point at which it does.
    widest = 1.0 if formula.turns_at else 0.05
    widths = st.fixed_dictionaries({name: st.floats(0.0, widest) for name in numbers})
    inside = st.lists(st.fixed_dictionaries({name: st.floats(0.0, 1.0) for name in numbers}), min_size=8, max_size=8)

    @settings(max_examples=40, deadline=None, derandomize=True, database=None, suppress_health_check=list(HealthCheck))
    @given(boxes, widths, inside)
    def check(point: dict[str, float | str], width: dict[str, float], shares: list[dict[str, float]]) -> None:
        box = dict(point)
        for name in numbers:
            low, high = formula.valid[name]
            start = float(point[name])
            box[name] = Range(start, min(high, start + width[name] * (high - low)))
        try:
            found = formula_bounds(formula, [box[n] for n in formula.names])
            values = [
                formula.function(
                    **{n: box[n].lo + share[n] * box[n].width if n in share else box[n] for n in formula.names}
                )
                for share in shares
            ]
        except FormulaError:
            return
        rounding = 1e-9 * (1 + abs(found.lo) + abs(found.hi))
        assert all(found.lo - rounding <= value <= found.hi + rounding for value in values)

    check()


def test_they_are_no_other_kind_and_have_a_valid_range() -> None:
    for formula in (DECLARED | TURNING).values():
        kinds = (formula.one_way, formula.rises, formula.falls, frozenset(formula.turns_at))
        assert sum(map(len, kinds)) == len(frozenset().union(*kinds))
        assert formula.one_way | formula.turns_at.keys() <= set(formula.valid)
