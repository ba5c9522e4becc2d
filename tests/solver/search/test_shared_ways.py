"""Cases of which parts come from one donor: no build is lost, and what they say is more than shares do."""

from __future__ import annotations

from itertools import islice

import pytest

import solver.search.model
from shared.verdict import Verdict
from solver.search.best import best_builds
from solver.search.elimination import Bounds, bounds
from solver.search.factors import Factor
from solver.search.members import Member
from solver.search.model import Tables
from solver.search.shared_ways import least_by_case, pairs
from tests.solver.random_problems import builds_of, random_problem

MOST_CELLS = 200_000


def always(monkeypatch: pytest.MonkeyPatch) -> None:
    """Cases are gone through however few the builds and many the cases."""
    monkeypatch.setattr(solver.search.model, "FEW_BUILDS", 0)
    monkeypatch.setattr(solver.search.model, "MOST_CASES", 10**6)


@pytest.mark.parametrize("seed", range(60))
@pytest.mark.parametrize("certain", [True, False])
def test_no_build_within_the_limit_is_lost(seed: int, certain: bool, monkeypatch: pytest.MonkeyPatch) -> None:
    always(monkeypatch)
    problem = random_problem(seed)
    dearest = problem.dearest
    worst = Verdict.FITS if certain else Verdict.CHECK
    builds = [b for b in islice(builds_of(problem), 400) if all(r.verdict(b) <= worst for r in problem.hard)]
    scores = [problem.scoring.score(build, dearest) for build in builds]
    for limit in {min(scores), sorted(scores)[len(scores) // 2]} if scores else ():
        tables = Tables(problem, problem.domains, certain)
        tables.take(3_000)
        assert tables.part_ways(MOST_CELLS, limit)
        for build, score in zip(builds, scores, strict=True):
            assert score > limit or all(build[at] in parts for at, parts in tables.left.items())


@pytest.mark.parametrize("seed", range(25))
def test_the_answer_is_the_same(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    usual = best_builds(random_problem(seed), 8)
    always(monkeypatch)
    assert best_builds(random_problem(seed), 8) == usual


def member(price: int, *donors: str) -> Member:
    return Member(None, price, price, price, frozenset(donors))


def test_two_parts_pay_one_way_only_where_one_car_carries_both() -> None:
    """By hand: ways at 10; *a* carries the dear ones of both positions, *b* and *c* one cheap one each.

    From one car 7 + 7 + 10 = 24; through the cheap ones 1 + 1 + 20 = 22; one of each 1 + 7 + 20 = 28.
    """
    domains = [[[member(1, "b"), member(7, "a")]], [[member(1, "c")], [member(7, "a")]]]
    assert pairs(domains) == [("a", 0, 1)]

    def plain(factors: list[Factor]) -> Bounds:
        return bounds([1, 2], factors, 100)

    assert least_by_case(domains, 10, pairs(domains), plain) == [[[22, 24]], [[22], [24]]]
