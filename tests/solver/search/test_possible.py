"""Whether relations can all hold, and how many builds pass them, against plain enumeration."""

from __future__ import annotations

from random import Random

import pytest

from shared.verdict import Verdict
from solver.search.counts import Counter
from solver.search.enumeration import LimitReached
from solver.search.possible import Possible
from tests.solver.random_problems import Verdicts, number_of, plain_problem, random_problem


@pytest.mark.parametrize("seed", range(120))
def test_yes_with_a_build_no_with_a_core(seed: int) -> None:
    random, problem = Random(seed), random_problem(seed)
    verdicts, possible = Verdicts(problem), Possible(problem)
    for _ in range(12):
        some = [r for r in problem.hard if random.random() < 0.8]
        reply = possible.ask(some)
        if reply.build is None:
            assert not verdicts.meeting(some)
            assert set(reply.core) <= set(some)
            assert not verdicts.meeting(reply.core)
        else:
            assert all(r.verdict(reply.build) is not Verdict.NO for r in some)


@pytest.mark.parametrize("seed", range(120, 200))
def test_candidates_put_in_by_force(seed: int) -> None:
    problem = random_problem(seed)
    verdicts, possible = Verdicts(problem), Possible(problem)
    meeting = [verdicts.builds[i] for i in verdicts.meeting(problem.hard)]
    for at, parts in problem.domains.items():
        for part in parts:
            reply = possible.ask(problem.hard, {at: (part,)})
            assert (reply.build is not None) == any(build[at] is part for build in meeting)
            if reply.build is not None:
                assert reply.build[at] is part
            else:
                assert not any(verdicts.builds[i][at] is part for i in verdicts.meeting(reply.core))


@pytest.mark.parametrize("seed", range(200, 300))
def test_counts_are_exact(seed: int) -> None:
    random, problem = Random(seed), random_problem(seed)
    verdicts, counter = Verdicts(problem), Counter(Possible(problem))
    for _ in range(4):
        some = [r for r in problem.hard if random.random() < 0.7]
        assert counter.count(some) == len(verdicts.meeting(some))
    at = random.choice(list(problem.domains))
    part = random.choice(problem.domains[at])
    with_it = [i for i in verdicts.meeting(problem.hard) if verdicts.builds[i][at] is part]
    assert counter.count(problem.hard, {at: (part,)}) == len(with_it)


def test_a_count_that_no_list_could_hold() -> None:
    """Forty positions of ten candidates and no relation: ten to the fortieth."""
    problem = plain_problem([f"p{i:02}" for i in range(40)], 10)
    assert Counter(Possible(problem)).count(problem.hard) == 10**40


def test_a_limit_on_steps_is_said() -> None:
    """Eleven pigeons in ten holes: nothing but trying shows that they do not fit."""
    from tests.outside.test_search_generated import differing

    problem = plain_problem([f"p{i:02}" for i in range(11)], 10)
    names = list(problem.domains)
    unlike = [differing(one, two) for i, one in enumerate(names) for two in names[i + 1 :]]
    with pytest.raises(LimitReached):
        Possible(problem, most_nodes=50).ask(unlike)
    assert number_of(problem.domains["p00"][3]) == 3
