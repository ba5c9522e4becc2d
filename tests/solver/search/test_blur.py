"""Blurred candidates: a build of members never costs less than the build of their groups."""

from __future__ import annotations

from collections.abc import Iterable
from random import Random

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from knowledge.garage import read_goal
from shared.goal import Preference
from shared.ranges import Range
from solver.demo import demo_goal
from solver.problem import Problem, build_problem
from solver.search.blur import Blurs, limit_cost, preference_cost
from solver.search.factors import NEVER, gathered, spread
from tests.solver.random_problems import random_problem

RANGES = st.tuples(st.floats(-100, 100), st.floats(-100, 100)).map(lambda ends: Range(min(ends), max(ends)))
SHARES = st.floats(0, 1)


@pytest.fixture(scope="module")
def demo() -> Problem:
    return build_problem(*read_goal(demo_goal()))


def held(problem: Problem, quantities: Iterable[str], most: int, random: Random) -> int:
    """Random builds against the tables of some quantities; how many quantities had one."""
    blurs, tables = Blurs(problem), 0
    for quantity in quantities:
        scope = problem.flow.scope[quantity]
        stock = problem.flow.value(quantity, problem.stock).value
        near = stock.lo * random.uniform(0.8, 1.2) if isinstance(stock, Range) else random.uniform(0.0, 5.0)
        cost = preference_cost(Preference(quantity, "near", 1_000.0, near, "near"))
        found = blurs.table(quantity, cost, problem.domains, most, 1_000_000) if scope else None
        if found is None:
            continue
        tables += 1
        assert found.costs.size <= most
        table = spread(found.costs, found.groups)
        for _ in range(60):
            numbers = {at: random.randrange(len(problem.domains[at])) for at in scope}
            value = problem.flow.value(quantity, {at: problem.domains[at][i] for at, i in numbers.items()}).value
            if isinstance(value, Range):
                # A cent more where rounding in the last place falls on the other side.
                assert table[tuple(numbers[at] for at in found.positions)] <= cost(value) + 1, quantity
    return tables


@pytest.mark.parametrize("most", [40, 300])
def test_no_build_of_the_demo_costs_less_than_its_groups(demo: Problem, most: int) -> None:
    numbers = [q for q in demo.flow.scope if demo.garage.layout.quantities[q].measure != "word"]
    assert held(demo, numbers, most, Random(most)) > 60


@pytest.mark.parametrize("seed", range(40))
def test_no_build_costs_less_than_its_groups(seed: int) -> None:
    problem = random_problem(seed)
    held(problem, problem.flow.scope, 30, Random(seed))


@given(RANGES, SHARES, SHARES, st.floats(-100, 100), st.sampled_from(["least", "most", "near"]))
def test_a_preference_costs_no_less_inside_a_range(whole: Range, a: float, b: float, to: float, aim: str) -> None:
    one, two = (min(whole.hi, whole.lo + share * whole.width) for share in (a, b))
    cost = preference_cost(Preference("x", aim, 3.7, to, "x"))  # type: ignore[arg-type]
    assert cost(whole) <= cost(Range(min(one, two), max(one, two))) + 1


@given(RANGES, SHARES, st.floats(-100, 100), st.floats(0, 50))
def test_a_limit_refuses_a_range_only_if_it_refuses_all_of_it(
    whole: Range, share: float, low: float, wide: float
) -> None:
    cost = limit_cost(Range.exactly(low), Range.exactly(low + wide))
    inside = min(whole.hi, whole.lo + share * whole.width)
    if cost(whole) == NEVER:
        assert cost(Range.exactly(inside)) == NEVER


@given(
    st.lists(st.integers(0, 3), min_size=1, max_size=6), st.lists(st.integers(0, 2), min_size=1, max_size=5), st.data()
)
def test_spreading_and_gathering(rows: list[int], columns: list[int], data: st.DataObject) -> None:
    groups = []
    for kinds in (rows, columns):
        own: dict[int, list[int]] = {}
        for i, kind in enumerate(kinds):
            own.setdefault(kind, []).append(i)
        groups.append(tuple(map(tuple, own.values())))
    small = np.array([[data.draw(st.integers(0, 9)) for _ in groups[1]] for _ in groups[0]], dtype=np.int64)
    wide = spread(small, groups)
    for g, members in enumerate(groups[0]):
        for h, others in enumerate(groups[1]):
            assert {int(wide[i, j]) for i in members for j in others} == {int(small[g, h])}
    true = wide > 4
    assert (gathered(true, groups) == (small > 4)).all()
