"""The ledger against plain enumeration, and against the search without the rule."""

from __future__ import annotations

from dataclasses import replace

import pytest

from knowledge.garage import read_goal
from solver import demo_goal
from solver.explain import ledger as ledgers
from solver.explain.ledger import ledger
from solver.explain.questions import Questions
from solver.explain.refusal import refusal
from solver.problem import Problem, build_problem
from solver.search.best import best_builds
from tests.solver.random_problems import Verdicts, random_problem


@pytest.mark.parametrize("most_whole", [0, 10_000])
@pytest.mark.parametrize("seed", range(4100, 4160))
def test_the_ledger_is_what_enumeration_counts(seed: int, most_whole: int) -> None:
    """Counted whole, as small catalogues are, and as large ones are."""
    problem = random_problem(seed)
    verdicts = Verdicts(problem)
    book = ledger(problem, most_whole=most_whole)
    meeting = verdicts.meeting(problem.hard)
    assert book.combinations == len(verdicts.builds)
    assert book.meeting == len(meeting)
    told = {row.relation: row for row in book.rules}
    for relation in problem.hard:
        alone = len(verdicts.builds) - len(verdicts.passing(relation))
        others = verdicts.meeting([r for r in problem.hard if r is not relation])
        row = told.get(relation.name)
        assert (0 if row is None else row.alone) == alone
        assert (0 if row is None else row.beyond) == len(others - meeting)


@pytest.mark.parametrize("seed", range(4100, 4130))
def test_what_is_not_soon_counted_is_counted_whatever_it_takes(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(ledgers, "MOST_NODES", 0)
    problem = random_problem(seed)
    meeting = len(Verdicts(problem).meeting(problem.hard))
    assert ledger(problem, most_whole=0).meeting in (None, meeting)
    book = ledger(problem, most_whole=0, thorough=True)
    sums = all(r.limit is None or r.limit.quantity != "donors" for r in problem.hard)
    assert book.meeting == meeting or (not sums and book.meeting is None and book.not_counted)


def test_counting_each_rule_takes_nothing_from_counting_beyond_the_others() -> None:
    """Of the demo's tight goal few builds are left, so that what a rule rules out beyond the others can be counted."""
    problem = build_problem(*read_goal(demo_goal("tight")))
    book = ledger(problem)
    meeting = len(best_builds(problem, 30).builds)
    assert book.meeting == meeting
    told = {row.relation: row.beyond for row in book.rules if row.beyond is not None}
    assert told
    few = sorted((beyond, name) for name, beyond in told.items() if 0 < beyond < 20)[:3]
    assert few
    for beyond, name in few:
        without = replace(problem, relations=tuple(r for r in problem.relations if r.name != name))
        assert len(best_builds(without, 30).builds) == meeting + beyond


@pytest.mark.parametrize("name", ["impossible", "clash"])
def test_of_a_goal_that_cannot_be_met_everything_beyond_the_others_is_told(name: str) -> None:
    """Two lines have to give way, so that none is met without any one rule: told of all, however wide they are."""
    problem = build_problem(*read_goal(demo_goal(name)))
    questions = Questions(problem)
    refusal(questions, "metric")
    book = ledger(problem, questions)
    assert book.meeting == 0
    assert {row.beyond for row in book.rules} == {0}
    assert any(row.alone is None for row in book.rules)


def test_what_was_asked_before_counts_too() -> None:
    """A rule that alone stands in the way rules out beyond the others what meets them; the others nothing."""
    problem = next(p for seed in range(4100, 4400) if stands_alone(p := random_problem(seed)))
    asked, fresh = Questions(problem), ledger(problem)
    refusal(asked, "metric")
    assert ledger(problem, asked, most_whole=0) == fresh


def stands_alone(problem: Problem) -> bool:
    """Whether no build meets a problem, and some do without one rule."""
    verdicts = Verdicts(problem)
    hard = problem.hard
    return not verdicts.meeting(hard) and any(verdicts.meeting([r for r in hard if r is not one]) for one in hard)


def test_what_lies_beyond_the_others_takes_no_more_work_than_is_allowed(monkeypatch: pytest.MonkeyPatch) -> None:
    """With no reason found before, and no work to look for one, nothing is searched and what is told is true."""
    monkeypatch.setattr(ledgers, "MOST_WORK_BEYOND", 0)
    problem = build_problem(*read_goal(demo_goal("impossible")))
    questions = Questions(problem)
    book = ledger(problem, questions)
    assert book.meeting == 0
    assert {row.beyond for row in book.rules} <= {0, None}
    assert questions.budget.untold == len(book.rules)
