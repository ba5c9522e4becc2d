"""What is learnt from choices that failed follows from the relations it names, whatever else is asked."""

from __future__ import annotations

from random import Random

import pytest

from shared.part import Part
from shared.verdict import Verdict
from solver.relations import Build, Relation
from solver.search.effort_rule import EffortRule
from solver.search.possible import Possible
from solver.search.rules import bits
from tests.solver.random_problems import Verdicts, number_of, plain_problem, random_problem


def drawn(random: Random, scope: tuple[str, ...]) -> Relation:
    """A relation that lets some combinations of numbers pass, drawn one by one; it looks at odd and even alone, or
    at every number."""
    alike = random.random() < 0.3
    draws: dict[tuple[int, ...], Verdict] = {}

    def sight(part: Part | None) -> int:
        return number_of(part) % 2 if alike else number_of(part)

    def judge(build: Build) -> Verdict:
        key = tuple(sight(build[at]) for at in scope)
        if key not in draws:
            draws[key] = Verdict.NO if random.random() < 0.45 else Verdict.FITS
        return draws[key]

    def looks_at(at: str, part: Part | None) -> int:
        return sight(part)

    return Relation("drawn", "requirement", scope, judge, lambda build: (), parts=scope, looks_at=looks_at)


@pytest.mark.parametrize("seed", range(6000, 6040))
def test_every_answer_and_every_lesson_is_right(seed: int) -> None:
    """A build that meets the relations of a lesson holds one of the candidates it names; each question is answered as
    enumeration does, whatever was learnt from the ones before."""
    random = Random(seed)
    problem = plain_problem([f"p{i}" for i in range(6)], 4)
    names = list(problem.domains)
    relations = [drawn(random, tuple(random.sample(names, 3))) for _ in range(10)]
    verdicts, possible = Verdicts(problem), Possible(problem)
    for _ in range(25):
        some = [r for r in relations if random.random() < 0.85]
        at = random.choice(names)
        parts = random.sample(problem.domains[at], 2)
        reply = possible.ask(some, {at: parts})
        meeting = [verdicts.builds[i] for i in verdicts.meeting(some)]
        assert (reply.build is not None) == any(build[at] in parts for build in meeting)
        if reply.build is not None:
            assert reply.build in meeting and reply.build[at] in parts
        else:
            assert not any(verdicts.builds[i][at] in parts for i in verdicts.meeting(reply.core))
    assert possible.memory.lessons, "nothing was learnt"
    for lesson in possible.memory.lessons:
        for i in verdicts.meeting(tuple(lesson.relations)):
            build = verdicts.builds[i]
            assert any(mask >> number_of(build[names[v]]) & 1 for v, mask in lesson.any_of.items())


@pytest.mark.parametrize("seed", range(6200, 6260))
def test_what_is_spent_goes_for_the_reason_told(seed: int) -> None:
    """With nothing missing but what is told to be needed, all that is alike to what went still goes."""
    random, problem = Random(seed), random_problem(seed)
    possible = Possible(problem)
    full = [(1 << len(own)) - 1 for own in possible.candidates]
    for relation in problem.hard:
        rule = possible.rule(relation)
        if not isinstance(rule, EffortRule) or rule.name == "donors":
            continue
        for _ in range(20):
            masks = [sum(1 << i for i in bits(mask) if random.random() < 0.5) or mask for mask in full]
            for v, left in rule.prune(masks, False).kept:
                gone = masks[v] & ~left
                needed = rule.because(v, gone, masks)
                like = rule.like(v, gone)
                assert gone & ~like == 0
                wider = [mask & ~needed.get(u, 0) for u, mask in enumerate(full)]
                for i in bits(like):
                    wider[v] = 1 << i
                    assert any(not kept for _, kept in rule.prune(wider, False).kept)
