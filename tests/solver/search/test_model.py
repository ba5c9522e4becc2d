"""Tables: what they say of a build is never more than the build scores."""

from __future__ import annotations

from itertools import islice

import pytest

from shared.verdict import Verdict
from solver.search.factors import NEVER
from solver.search.model import Counted, Tables
from tests.solver.random_problems import builds_of, random_problem
from tests.solver.search.test_interchange import copied
from tests.solver.search.test_steps import without_visits

SEEDS = range(12)
MOST_BUILDS = 3_000
MOST_CELLS = 200_000


@pytest.mark.parametrize("seed", SEEDS)
@pytest.mark.parametrize("certain", [True, False])
def test_no_build_scores_less_than_the_tables_say(seed: int, certain: bool) -> None:
    problem = random_problem(seed)
    tables = Tables(problem, problem.domains, certain)
    tables.take(MOST_BUILDS)
    dearest = problem.dearest
    worst = Verdict.FITS if certain else Verdict.CHECK
    low = tables.bounds(MOST_CELLS)
    through = [
        {m.part: int(low.through[v][i]) + m.cost - own[0].cost for i, own in enumerate(classes) for m in own}
        for v, classes in enumerate(tables.domains)
    ]
    for build in islice(builds_of(problem), 400):
        if all(r.verdict(build) <= worst for r in problem.hard):
            score = problem.scoring.score(build, dearest)
            assert low.total <= score
            assert all(through[v][build[at]] <= score for v, at in enumerate(tables.positions))


@pytest.mark.parametrize("seed", range(40))
@pytest.mark.parametrize("counted", [Counted(0, 1), Counted(1, 1), Counted(1, 10)])
def test_what_is_spent_too_much_refuses_no_build_within_the_money(seed: int, counted: Counted) -> None:
    problem = random_problem(seed)
    for certain in (True, False):
        tables = Tables(problem, problem.domains, certain)
        tables.take(MOST_BUILDS)
        dearest = problem.dearest
        worst = Verdict.FITS if certain else Verdict.CHECK
        if tables.money is None:
            continue
        low = tables.bounds(MOST_CELLS, counted)
        for build in islice(builds_of(problem), 300):
            if all(r.verdict(build) <= worst for r in problem.hard):
                assert low.total <= (problem.scoring.score(build, dearest) if counted.score else 0)


@pytest.mark.parametrize("seed", SEEDS)
def test_members_of_a_class_cannot_be_told_apart(seed: int) -> None:
    """Judged afresh: a verdict that is kept is the same for candidates that look the same."""
    problem = copied(random_problem(seed), seed)
    tables = Tables(problem, problem.domains, True)
    every = [(at, own) for at, classes in zip(tables.positions, tables.domains, strict=True) for own in classes]
    larger = [(at, own) for at, own in every if len(own) > 1]
    assert larger
    for at, own in larger:
        relations = [r for r in problem.relations if at in r.scope and not r.of_effort]
        for build in islice(builds_of(problem), 40):
            for relation in relations:
                assert len({relation.judge({**build, at: m.part}) for m in own}) == 1


@pytest.mark.parametrize("ways", [True, False])
def test_what_is_kept_is_within_the_limit_and_the_copy_is_apart(ways: bool, monkeypatch: pytest.MonkeyPatch) -> None:
    """The bound of what is kept is the same but for the ways to donors: fewer parts share them, so each pays more."""
    if not ways:
        without_visits(monkeypatch)
    looked_at = same = 0
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
        after = narrow.bounds(MOST_CELLS).total
        assert after >= low.total
        same += after == low.total
    assert looked_at > 10 and (same == looked_at or ways)
