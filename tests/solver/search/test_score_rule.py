"""A limit on the score as a rule, against the score of every build."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from random import Random

import pytest

from shared.goal import Preference
from shared.part import Part
from solver.problem import Problem, build_problem
from solver.relations import Build
from solver.search.possible import Possible
from solver.search.rules import bits
from solver.search.score_rule import ScoreRule, Scores
from tests.solver.random_problems import builds_of, wishing


def scores_of(problem: Problem) -> list[tuple[Build, int]]:
    """Every build with its score."""
    return [(build, problem.scoring.score(build, problem.dearest)) for build in builds_of(problem)]


def within(possible: Possible, masks: list[int], build: Build) -> bool:
    """Whether a build is made of open candidates."""
    return all(mask & possible.mask(at, (build[at],)) for at, mask in zip(possible.positions, masks, strict=True))


def drawn(random: Random, full: list[int]) -> list[int]:
    """Some candidates of every position."""
    share = random.choice((0.2, 0.5, 0.8))
    return [sum(1 << i for i in bits(m) if random.random() < share) or 1 << random.choice(bits(m)) for m in full]


def rule_of(possible: Possible, most: int) -> ScoreRule:
    """A limit on the score made ready."""
    rule = possible.rule(possible.score_limit(most))
    assert isinstance(rule, ScoreRule)
    return rule


@pytest.mark.parametrize("seed", range(7000, 7060))
def test_of_one_build_it_is_the_score(seed: int) -> None:
    problem = wishing(seed)
    possible = Possible(problem)
    limit = possible.score_limit(9_000)
    for build, score in scores_of(problem):
        masks = [possible.mask(at, (build[at],)) for at in possible.positions]
        chosen = [mask.bit_length() - 1 for mask in masks]
        assert possible.scores.whole(masks) == score
        assert limit.holds(build) is (score <= 9_000) is possible.rule(limit).holds(chosen, False)
        assert possible.rule(limit).holds(chosen, True) or score > 9_000
        assert possible.rule(limit).entailed(masks) is (score <= 9_000)
        assert bool(possible.rule(limit).prune(masks, False).kept) is (score > 9_000)


@pytest.mark.parametrize("seed", range(7100, 7200))
def test_what_goes_is_in_no_build_within_the_limit(seed: int) -> None:
    random, problem = Random(seed), wishing(seed)
    possible = Possible(problem)
    builds = scores_of(problem)
    full = [(1 << len(own)) - 1 for own in possible.candidates]
    for _ in range(12):
        most = random.choice(builds)[1] - random.choice((0, 1, 700))
        masks = drawn(random, full)
        good = [b for b, score in builds if score <= most and within(possible, masks, b)]
        for v, left in rule_of(possible, most).prune(masks, False).kept:
            at = possible.positions[v]
            assert left & ~masks[v] == 0
            gone: list[Part | None] = [possible.candidates[v][i] for i in bits(masks[v] & ~left)]
            assert not any(build[at] is part for build in good for part in gone)


def driving(seed: int) -> Problem:
    """A problem in which the ways to donors are what is dear."""
    problem = wishing(seed)
    dear = Preference("donors", "least", 90.0, None, "least donors: 90 per 1")
    return build_problem(replace(problem.goal, prefer=(dear,)), problem.garage)


@pytest.mark.parametrize("draw", [wishing, driving])
@pytest.mark.parametrize("seed", range(7300, 7500))
def test_it_goes_for_the_reason_told(seed: int, draw: Callable[[int], Problem]) -> None:
    """With nothing missing but what is told to be needed, no build within the limit has any that are like what went."""
    random, problem = Random(seed), draw(seed)
    possible = Possible(problem)
    builds = scores_of(problem)
    full = [(1 << len(own)) - 1 for own in possible.candidates]
    for _ in range(12):
        most = random.choice(builds)[1] - random.choice((0, 1, 700))
        rule, masks = rule_of(possible, most), drawn(random, full)
        for v, left in rule.prune(masks, False).kept:
            gone = masks[v] & ~left
            possible.work.generous = random.choice((0, 60))
            needed, like = rule.because(v, gone, masks), rule.like(v, gone)
            assert gone & ~like == 0
            assert v not in needed and all(not mask & masks[u] for u, mask in needed.items())
            wider = [like if u == v else mask & ~needed.get(u, 0) for u, mask in enumerate(full)]
            assert not any(score <= most and within(possible, wider, build) for build, score in builds)


def test_a_reason_leaves_out_what_is_not_needed() -> None:
    """Of what is open only the dear part matters: for what it costs, nothing else has to be missing."""
    problem = wishing(7001)
    possible = Possible(problem)
    scores: Scores = possible.scores
    full = list(scores.full)
    v, i = max(
        ((v, i) for v, own in enumerate(scores.costs) for i in range(len(own))), key=lambda x: scores.costs[x[0]][x[1]]
    )
    masks = [mask & -mask for mask in full]
    masks[v] = 1 << i
    floor = sum(scores.floors)
    rule = rule_of(possible, floor + scores.costs[v][i] - scores.floors[v] - 1)
    assert rule.prune(masks, False).kept
    others = {u: mask for u, mask in rule.because(v, 1 << i, masks).items() if mask}
    assert others == {}
