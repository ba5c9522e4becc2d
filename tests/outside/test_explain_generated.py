"""Hypothesis looks for a small catalogue on which an explanation is wrong.

Reasons, ways out, what is shown for a part and the ledger are held against plain enumeration, conflicts and
corrections against python-sat, nearest values against CP-SAT.  The usual profile is quick; ``HYPOTHESIS_PROFILE=long``
looks at 4 000 catalogues a property.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import prod

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared.ranges import Range
from shared.verdict import Verdict
from solver.counting.wide import WideCounts
from solver.explain.ledger import ledger
from solver.explain.questions import Line, Questions
from solver.explain.refusal import MOST_SIZE
from solver.explain.relaxing import Relaxation, Relaxing
from solver.problem import Problem
from solver.relations import Build, Relation
from tests.outside.test_explain_oracles import all_sets, clauses, has_unknown, nearest_by_cp_sat
from tests.solver.explain.holding import hold_verdicts
from tests.solver.random_problems import Verdicts, random_problem

catalogues = st.builds(random_problem, st.integers(0, 2**40), st.just(5), st.integers(2, 4))


@given(catalogues)
def test_every_candidate(problem: Problem) -> None:
    """Usable or not as enumeration has it; a reason is true, and none of its members can be spared."""
    hold_verdicts(problem)


@given(catalogues)
def test_every_conflict_and_every_correction(problem: Problem) -> None:
    """All of them, as python-sat finds them; the rules behind a conflict are needed one and all."""
    questions = Questions(problem)
    lines = questions.lines
    sets = questions.sets(lines, len(lines))
    verdicts = Verdicts(problem)
    if not verdicts.meeting(questions.trade):
        assert sets.conflicts == ((),)
        return
    corrections, conflicts = all_sets(clauses(problem, questions, lines), len(lines))
    assert sets.complete
    assert set(sets.conflicts) == conflicts
    assert set(sets.corrections) == corrections
    for members in sets.conflicts:
        found = questions.rules_behind([lines[i] for i in members])
        asked = [r for line in found.lines for r in line.relations]
        assert found.minimal
        assert not verdicts.meeting([*asked, *found.rules])
        for rule in found.rules:
            assert verdicts.meeting([*asked, *(r for r in found.rules if r is not rule)])


def reaches(problem: Problem, line: Line, lower: bool, builds: Sequence[Build]) -> float | None:
    """The end nearest to a limit that any of some builds reaches."""
    assert line.limit is not None
    item = line.relations[0].uses[0]
    values = [v for b in builds if isinstance(v := problem.demands.sharp(item, b).value, Range)]
    if not values:
        return None
    return max(v.hi for v in values) if lower else min(v.lo for v in values)


@given(catalogues)
def test_every_way_out(problem: Problem) -> None:
    """What is said to be enough is met by the build shown, no limit moved last could stay nearer, and the price
    said to be the least is."""
    questions = Questions(problem)
    lines = questions.lines
    verdicts = Verdicts(problem)
    if verdicts.meeting(problem.hard) or not verdicts.meeting(questions.trade):
        return
    relaxing = Relaxing(questions, "metric")
    for members in questions.sets(lines, MOST_SIZE).corrections:
        given_up = [lines[i] for i in members]
        if any(line.limit is not None and has_unknown(problem, line.relations[0]) for line in given_up):
            continue
        for made in relaxing.relax(given_up, lines):
            check_way_out(problem, verdicts, made, [line for line in lines if line not in given_up])


def check_way_out(problem: Problem, verdicts: Verdicts, made: Relaxation, kept: Sequence[Line]) -> None:
    """One way out against enumeration."""
    assert all(r.verdict(made.build) is not Verdict.NO for r in made.relations)
    assert all(r in made.relations for line in kept for r in line.relations)
    passing = [verdicts.builds[i] for i in verdicts.meeting(list(made.relations))]
    prices = [problem.effort.price(build) for build in passing]
    own = problem.effort.price(made.build)
    if made.verified:
        assert own is not None
        assert own.lo <= min(p.lo for p in prices if p is not None) + 0.02
    for moved in made.moved:
        base: list[Relation] = [r for r in made.relations if r.name != f"want {moved.limit.quantity}"]
        if moved.limit.at_least is not None and moved.limit.at_most is not None:
            end = {"at_least": None} if moved.lower else {"at_most": None}
            base.append(problem.demands.limit(replace(moved.limit, **end)))
        builds = [verdicts.builds[i] for i in verdicts.meeting(base)]
        nearest = reaches(problem, moved.line, moved.lower, builds)
        if moved is made.moved[-1] and not made.dropped and moved.proved and nearest is not None:
            assert moved.exact == pytest.approx(nearest, rel=1e-5, abs=1e-6)


@given(catalogues, st.booleans())
def test_nearest_values(problem: Problem, certain: bool) -> None:
    """Each line alone moved: CP-SAT's optimum."""
    questions = Questions(problem, certain=certain)
    worst = Verdict.FITS if certain else Verdict.CHECK
    reply = questions.ask(problem.hard)
    if reply is None or reply.build is not None:
        return
    for line in questions.lines:
        limit = line.limit
        if limit is None or (limit.at_least is None) is (limit.at_most is None):
            continue
        if has_unknown(problem, line.relations[0]):
            continue
        others = [r for r in problem.hard if r not in line.relations]
        lower = limit.at_least is not None
        moved = Relaxing(questions, "metric").nearest(others, line, lower)
        expected = nearest_by_cp_sat(problem, others, line.relations[0], lower, certain)
        assert (moved is None) == (expected is None)
        if moved is not None and expected is not None:
            assert moved.proved and moved.exact == pytest.approx(expected, abs=1e-3)
            relation = questions.problem.demands.limit(moved.limit)
            assert all(r.verdict(moved.build) <= worst for r in (*others, relation))


@given(catalogues, st.sampled_from((0, 10_000)))
def test_every_count(problem: Problem, most_whole: int) -> None:
    """The ledger, counted whole and counted as a large catalogue is, where some may be said not to be counted."""
    verdicts = Verdicts(problem)
    book = ledger(problem, most_whole=most_whole)
    meeting = verdicts.meeting(problem.hard)
    assert book.combinations == len(verdicts.builds)
    assert book.meeting == len(meeting) or (book.meeting is None and book.not_counted and not most_whole)
    told = {row.relation: row for row in book.rules}
    for relation in problem.hard:
        alone = len(verdicts.builds) - len(verdicts.passing(relation))
        beyond = len(verdicts.meeting([r for r in problem.hard if r is not relation]) - meeting)
        row = told.get(relation.name)
        if row is None:
            assert alone == beyond == 0
        else:
            assert row.alone == alone or (row.alone is None and not most_whole)
            assert row.beyond == beyond or (row.beyond is None and not most_whole)


@given(catalogues, st.sampled_from((1, 6, 100)))
def test_wide_counts(problem: Problem, rows: int) -> None:
    """What a rule refuses, counted along the flow of quantities, whatever is put together before boxes are asked."""
    verdicts = Verdicts(problem)
    counts = WideCounts(problem, rows)
    for relation in problem.hard:
        refused = counts.refused(relation, 1_000_000)
        if refused is not None:
            size = prod(len(problem.domains[at]) for at in relation.scope)
            found = len(verdicts.builds) - len(verdicts.passing(relation))
            assert refused * len(verdicts.builds) == found * size, relation.name
