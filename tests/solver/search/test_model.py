"""Tables: what they say of a build is never more than the build scores."""

from __future__ import annotations

from itertools import product

import pytest

from shared.verdict import Verdict
from solver.search.factors import NEVER
from solver.search.model import Tables
from tests.solver.random_problems import random_problem

SEEDS = range(12)
MOST_BUILDS = 3_000
MOST_CELLS = 200_000


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("certain", [True, False])
def test_no_build_scores_less_than_the_tables_say(seed: int, certain: bool) -> None:
    problem = random_problem(seed)
    tables = Tables(problem, problem.domains, certain)
    tables.take(MOST_BUILDS)
    dearest = problem.scoring.dearest_known(problem.domains)
    worst = Verdict.FITS if certain else Verdict.CHECK
    low = tables.bounds(MOST_CELLS)
    for number, values in enumerate(product(*(range(size) for size in tables.sizes[: len(tables.positions)]))):
        if number > 400:
            break
        build = {at: tables.domains[v][values[v]] for v, at in enumerate(tables.positions)}
        if all(r.verdict(build) <= worst for r in problem.hard):
            score = problem.scoring.score(build, dearest)
            assert low.total <= score
            assert all(low.through[v][value] <= score for v, value in enumerate(values))


def test_what_is_kept_is_within_the_limit_and_the_copy_is_apart() -> None:
    looked_at = 0
    for seed in range(40):
        problem = random_problem(seed)
        tables = Tables(problem, problem.domains, False)
        tables.take(MOST_BUILDS)
        low = tables.bounds(MOST_CELLS)
        if low.total >= NEVER:
            continue
        looked_at += 1
        before = tables.left
        narrow = tables.copy()
        kept = narrow.keep(low, low.total)
        assert tables.left == before
        assert all((table <= low.total).all() and len(table) for table in kept.through)
        assert narrow.bounds(MOST_CELLS).total >= low.total, (
            "the ways to donors are shared by fewer, so they may cost more"
        )
    assert looked_at > 10
