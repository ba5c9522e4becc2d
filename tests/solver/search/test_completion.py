"""Completions: what some choices cost at the least is never more than what any build with them scores."""

from __future__ import annotations

from dataclasses import replace
from itertools import islice
from random import Random

import pytest

from shared.goal import Preference
from shared.verdict import Verdict
from solver.problem import build_problem
from solver.search.completion import Completion
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
    completion = Completion(problem, domains, False)
    completion.money = None
    number = {(at, part): i for at, parts in domains.items() for i, part in enumerate(parts)}
    seen = 0
    for build in islice((b for b in builds_of(problem) if all((at, p) in number for at, p in b.items())), 60):
        seen += 1
        score = problem.scoring.score(build, completion.dearest)
        for share in (0.0, 0.3, 0.7, 1.0):
            chosen = {at: number[at, build[at]] for at in domains if len(domains[at]) > 1 and random.random() <= share}
            assert completion.least(chosen, score) <= score
    assert seen


@pytest.mark.parametrize("certain", [True, False])
def test_a_build_within_the_money_is_never_taken_for_too_dear(certain: bool) -> None:
    """And of those beyond it by parts and tasks alone none is priced whole."""
    within = beyond = 0
    for seed in range(60):
        problem = random_problem(seed)
        limit = next((r for r in problem.hard if r.limit is not None and r.limit.quantity == "price"), None)
        if limit is None:
            continue
        completion = Completion(problem, problem.domains, certain)
        number = {(at, part): i for at, parts in problem.domains.items() for i, part in enumerate(parts)}
        for build in islice(builds_of(problem), 60):
            price = problem.effort.price(build)
            chosen = {at: number[at, part] for at, part in build.items() if len(problem.domains[at]) > 1}
            worst = Verdict.FITS if certain else Verdict.CHECK
            if limit.verdict(build) <= worst:
                within += 1
                assert completion.least(chosen, NEVER - 1) < NEVER
            elif price is not None:
                beyond += 1
                assert completion.least(chosen, NEVER - 1) == NEVER
    assert within and beyond
