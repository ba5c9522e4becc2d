"""Sources that wait: what is alike to them, and how often they would be asked, as values go."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.search.sources import sources_of
from solver.search.waiting import different, waiting_for
from tests.solver.random_problems import random_problem


@given(st.lists(st.integers(0, 9), min_size=1))
def test_different_numbers_are_counted(numbers: list[int]) -> None:
    assert different(np.array(numbers)) == len(set(numbers))


@pytest.mark.parametrize("seed", range(8))
@pytest.mark.parametrize("every", [1, 2])
def test_values_with_the_same_number_cost_the_same(seed: int, every: int) -> None:
    """Also when only every second value is left; and there are no more questions than combinations of numbers."""
    problem = random_problem(seed)
    positions = tuple(problem.domains)
    firsts = [list(parts) for parts in problem.domains.values()]
    kept = [np.arange(0, len(parts), every) for parts in firsts]
    for source in sources_of(problem, True):
        waiting = waiting_for(source, positions, firsts).kept(kept)
        answers: dict[tuple[int, ...], set[int]] = {}
        for values in product(*(range(len(own)) for own in waiting.seen)):
            numbers = tuple(int(own[i]) for own, i in zip(waiting.seen, values, strict=True))
            build = {positions[v]: firsts[v][int(kept[v][i])] for v, i in zip(source.scope, values, strict=True)}
            answers.setdefault(numbers, set()).add(source.cost(build))
        assert len(answers) == waiting.often
        assert all(len(costs) == 1 for costs in answers.values())


def test_what_the_goal_asks_comes_before_rules_asked_as_often() -> None:
    problem = random_problem(3)
    positions = tuple(problem.domains)
    firsts = [list(parts) for parts in problem.domains.values()]
    sources = sources_of(problem, True)
    assert {source.of_goal for source in sources} == {True, False}
    for source in sources:
        waiting = waiting_for(source, positions, firsts)
        assert (waiting.dear < waiting.often) is source.of_goal
