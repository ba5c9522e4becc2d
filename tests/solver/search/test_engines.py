"""Both engines give the same answers as plain enumeration: builds in order, usability, counts, satisfiable or not."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path
from random import Random

import pytest

import solver.search.engines
from knowledge.garage import read_goal
from shared.errors import SwapwrightError
from shared.goal import Limit
from shared.verdict import Verdict
from solver.cli import app
from solver.demo import demo_goal
from solver.planning import plan
from solver.problem import Problem, build_problem
from solver.search.cp_sat.engine import CpSat
from solver.search.engines import ENGINES, Engine, engine
from solver.search.enumeration import LimitReached
from tests.solver.random_problems import Verdicts, random_problem

TRAILER = Path(__file__).parent.parent.parent / "data" / "trailer"
ALL: dict[str, Engine] = {
    **{name: engine(name) for name in ENGINES},
    "everything handed to CP-SAT": CpSat(reduce=False, thin=False),
    "optimum, then everything listed": CpSat(enumerate=True),
    "two workers": CpSat(workers=2),
}
Rank = tuple[bool, int, tuple[str, ...]]


def ranks(problem: Problem, verdicts: Verdicts) -> list[Rank]:
    """Every build that may hold, in order, by enumeration."""
    dearest = problem.dearest
    found = []
    for i in verdicts.meeting(problem.hard):
        build = verdicts.builds[i]
        doubt = any(r.verdict(build) is Verdict.CHECK for r in problem.hard)
        ids = tuple("" if p is None else p.id for p in build.values())
        found.append((doubt, problem.scoring.score(build, dearest), ids))
    return sorted(found)


@pytest.mark.parametrize("seed", range(3000, 3030))
def test_every_question_has_one_answer(seed: int) -> None:
    problem, random = random_problem(seed), Random(seed)
    verdicts = Verdicts(problem)
    expected = ranks(problem, verdicts)
    usable = {
        (at, "" if part is None else part.id)
        for i in verdicts.meeting(problem.hard)
        for at, part in verdicts.builds[i].items()
    }
    some = random.sample(problem.hard, random.randint(0, len(problem.hard)))
    passing = verdicts.meeting(some)
    at = random.choice(list(problem.domains))
    part = random.choice(problem.domains[at])
    with_part = [i for i in passing if verdicts.builds[i][at] is part]
    for name, asked in ALL.items():
        for most in (2, len(expected) + 1):
            best = asked.best(problem, most)
            assert [f.rank for f in best.builds] == expected[:most], name
            assert best.complete == (len(expected) < most), name
        assert asked.usable(problem) == usable, name
        assert asked.count(problem, some) == len(passing), name
        for forced, builds in ((None, passing), ({at: [part]}, with_part)):
            build = asked.satisfying(problem, some, forced)
            assert (build is not None) == bool(builds), name
            assert build is None or all(r.verdict(build) is not Verdict.NO for r in some), name
            assert build is None or forced is None or build[at] is part, name


# At 3127 a goal without a limit is drawn.
@pytest.mark.parametrize("seed", [*range(3100, 3127), *range(3128, 3141)])
def test_a_limit_that_was_moved_is_held_and_not_the_one_of_its_name_in_the_goal(seed: int) -> None:
    drawn, random = random_problem(seed), Random(seed)
    moved = [
        drawn.demands.limit(replace(r.limit, **_moved(r.limit, random))) if r.limit is not None else r
        for r in drawn.relations
    ]
    assert any(r.limit is not None for r in moved), "a goal without a limit was drawn: take another seed"
    problem = replace(drawn, relations=tuple(moved))
    verdicts = Verdicts(problem)
    expected = ranks(problem, verdicts)
    for name, asked in ALL.items():
        assert [f.rank for f in asked.best(problem, 3).builds] == expected[:3], name
        assert asked.count(problem, problem.hard) == len(expected), name
        assert (asked.satisfying(problem, problem.hard) is not None) == bool(expected), name


def _moved(limit: Limit, random: Random) -> dict[str, float]:
    """Another place for every end that a limit has."""
    ends = {"at_least": limit.at_least, "at_most": limit.at_most}
    return {end: at * random.choice((0.5, 1.5, 3.0)) + 0.5 for end, at in ends.items() if at is not None}


def test_the_same_plan_to_the_last_byte() -> None:
    ours, other = (plan(TRAILER / "goal.yaml", most=20, by=name).model_dump_json() for name in ENGINES)
    assert ours == other


def test_the_demo_where_only_springs_may_change() -> None:
    """The real requirements: wide, non-linear, in doubt."""
    goal, garage = read_goal(demo_goal().parent / "goal-tight.yaml")
    ours, other = (engine(name).best(build_problem(goal, garage), 50) for name in ENGINES)
    assert [f.rank for f in ours.builds] == [f.rank for f in other.builds]
    assert ours.builds and ours.complete and other.complete


def test_without_the_extra_a_plain_sentence(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(solver.search.engines, "find_spec", lambda name: None)
    with pytest.raises(SwapwrightError, match=r"not installed.*extra 'engines'.*the answer is the same"):
        plan(TRAILER / "goal.yaml", by="cp-sat")


def test_out_of_time_is_said_never_guessed() -> None:
    goal, garage = read_goal(demo_goal())
    with pytest.raises(LimitReached):
        CpSat(seconds=0.0).best(build_problem(goal, garage), 3)


def test_too_many_to_count_is_said_never_guessed() -> None:
    problem = random_problem(3000)
    with pytest.raises(LimitReached):
        CpSat(most_counted=2).count(problem, [])


def test_the_command_without_the_extra(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    """Bad input, exit 2, one sentence, no traceback."""
    monkeypatch.setattr(solver.search.engines, "find_spec", lambda name: None)
    monkeypatch.setattr(sys, "argv", ["swapwright", "plan", str(TRAILER / "goal.yaml"), "--engine", "cp-sat"])
    with pytest.raises(SystemExit) as stopped:
        app.main()
    told = capsys.readouterr()
    assert stopped.value.code == app.Exit.BAD_INPUT
    assert told.err.startswith("cannot go on: the engine cp-sat needs OR-tools") and not told.out
