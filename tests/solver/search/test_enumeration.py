"""The enumeration: what some choices cost at the least is never more than what any build with them scores."""

from __future__ import annotations

from dataclasses import replace
from itertools import islice
from random import Random

import pytest

from shared.goal import Preference
from solver.problem import build_problem
from solver.search.enumeration import StepsBudget, _Search
from solver.search.factors import NEVER
from tests.solver.random_problems import builds_of, random_problem
from tests.solver.search.test_interchange import copied


@pytest.mark.parametrize("seed", range(30))
@pytest.mark.parametrize("way", [2.0, 40.0])
def test_no_choices_cost_more_than_a_build_with_them(seed: int, way: float) -> None:
    """With the way to a donor worth little, and worth more than most parts."""
    problem = copied(random_problem(seed), seed)
    prefer = (Preference("donors", "least", way, None, "drawn"),)
    problem = build_problem(replace(problem.goal, prefer=prefer), problem.garage)
    random = Random(seed)
    domains = {at: parts[: random.randint(1, len(parts))] for at, parts in problem.domains.items()}
    search = _Search(problem, domains, NEVER, False, 1, StepsBudget(None))
    search.money = None
    number = {(at, part): i for at, parts in domains.items() for i, part in enumerate(parts)}
    seen = 0
    for build in islice((b for b in builds_of(problem) if all((at, p) in number for at, p in b.items())), 60):
        seen += 1
        search.limit = problem.scoring.score(build, search.dearest)
        for share in (0.0, 0.3, 0.7, 1.0):
            chosen = {at: number[at, build[at]] for at in search.opened if random.random() <= share}
            assert search.within(chosen)
    assert seen
