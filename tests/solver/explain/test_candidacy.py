"""Every candidate's verdict and reason against plain enumeration: true, and minimal by dropping each member."""

from __future__ import annotations

import pytest

import solver.explain.candidacy
from solver.explain.candidacy import Usability
from solver.explain.questions import Questions
from tests.solver.explain.holding import hold_verdicts
from tests.solver.random_problems import Verdicts, random_problem


@pytest.mark.parametrize("seed", range(4000, 4080))
def test_verdicts_and_minimal_reasons(seed: int) -> None:
    hold_verdicts(random_problem(seed))


def test_a_reason_that_was_not_proved_smallest_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    """Without patience nothing is proved: what is shown is still true, and is not called minimal."""
    monkeypatch.setattr(solver.explain.candidacy, "MOST_UNTOLD", 0)
    flags = set()
    for seed in range(4000, 4080):
        problem = random_problem(seed)
        verdicts = Verdicts(problem)
        meeting = verdicts.meeting(problem.hard)
        hasty = Usability(Questions(problem), problem.hard, "metric", spare=0)
        found = hasty.everyone(None)
        for candidacy in found:
            if candidacy.relations:
                having = {i for i, b in enumerate(verdicts.builds) if b[candidacy.position] is candidacy.part}
                assert not having & verdicts.meeting(candidacy.relations)
                assert not having & meeting
        for group in hasty.grouped(found):
            flags.add(group.minimal)
    assert flags == {True, False}
