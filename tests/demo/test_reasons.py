"""Every part of the demo's catalogue that no build can use: its reason is true, and no member of it can be spared.

A reason is asked again of a search that knows nothing of how it was found; that a member is needed is shown by a
build that has the part and meets all the other members, judged relation by relation.
"""

from __future__ import annotations

import pytest

from knowledge.garage import read_goal
from shared.verdict import Verdict
from solver import demo_goal
from solver.explain.candidacy import Candidacy, Usability
from solver.explain.questions import Questions
from solver.problem import Problem, build_problem
from solver.search.possible import Possible


def verdicts_of(name: str) -> tuple[Problem, list[Candidacy]]:
    goal, garage = read_goal(demo_goal(name))
    problem = build_problem(goal, garage)
    questions = Questions(problem)
    reply = questions.with_lines(questions.lines)
    met = reply is not None and reply.build is not None
    relations = problem.hard if met else questions.trade
    return problem, Usability(questions, relations, "metric").everyone(reply.build if reply else None)


@pytest.mark.parametrize("name", ["trail", "yard", "tight", "impossible"])
def test_every_reason_of_the_demo_is_true_and_minimal(name: str) -> None:
    problem, found = verdicts_of(name)
    afresh = Possible(problem)
    assert all(c.usable is not None for c in found)
    for candidacy in found:
        if candidacy.build is not None:
            assert candidacy.build[candidacy.position] is candidacy.part
            continue
        part = {candidacy.position: (candidacy.part,)}
        assert afresh.ask(candidacy.relations, part, None, 20_000).build is None, candidacy.part
        assert candidacy.minimal, candidacy.part
        for member in candidacy.relations:
            rest = [r for r in candidacy.relations if r is not member]
            build = candidacy.witnesses.get(member) or afresh.ask(rest, part).build
            assert build is not None and build[candidacy.position] is candidacy.part
            assert all(r.verdict(build) is not Verdict.NO for r in rest)
            assert member.verdict(build) is Verdict.NO
