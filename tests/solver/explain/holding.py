"""Explanations held against plain enumeration; used by tests of drawn and of generated catalogues."""

from __future__ import annotations

from shared.verdict import Verdict
from solver.explain.candidacy import Usability
from solver.explain.questions import Questions
from solver.problem import Problem
from tests.solver.random_problems import Verdicts


def hold_verdicts(problem: Problem) -> None:
    """Every candidate is usable or not as enumeration has it; a reason is true, and no member of it can be spared."""
    verdicts = Verdicts(problem)
    meeting = verdicts.meeting(problem.hard)
    for candidacy in Usability(Questions(problem), problem.hard, "metric").everyone(None):
        at, part = candidacy.position, candidacy.part
        having = {i for i, build in enumerate(verdicts.builds) if build[at] is part}
        assert candidacy.usable is bool(having & meeting)
        if not candidacy.relations:
            continue
        assert candidacy.minimal
        assert not having & verdicts.meeting(candidacy.relations)
        for dropped in candidacy.relations:
            rest = [r for r in candidacy.relations if r is not dropped]
            assert having & verdicts.meeting(rest)
            witness = candidacy.witnesses.get(dropped)
            if witness is not None:
                assert witness[at] is part
                assert all(r.verdict(witness) is not Verdict.NO for r in rest)
