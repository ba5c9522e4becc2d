"""Whether any build fits for certain, asked by itself.

Certain builds come first whatever they cost, so as long as one may exist every doubtful one has to wait.  Where much
is in doubt and money is short there often is none, and proving that while looking for the cheapest can take minutes.
Asked by itself it takes a fixed number of steps: every price and every hour at its dearer end, every doubt a *no*.
"""

from __future__ import annotations

from dataclasses import replace

from shared.verdict import Verdict

from ..problem import Problem
from ..relations import Build, Relation
from .enumeration import LimitReached
from .possible import Possible

MOST_NODES = 2_000


def certain_build(problem: Problem, near: Build | None = None, possible: Possible | None = None) -> Build | None:
    """A build that fits for certain, looked for beginning with what ``near`` has; ``None`` if it is proved none does.

    Asked of ``possible``, which answers what can certainly hold, where more is to be asked of it afterwards.  Raises
    :class:`LimitReached` where that could not be told.
    """
    possible = possible or Possible(problem, certain=True)
    return possible.ask(problem.hard, hint=near, most_nodes=MOST_NODES).build


def no_certain_build(problem: Problem) -> bool:
    """Whether it is proved that no build fits for certain; false where one does and where it could not be told.

    >>> from knowledge.garage import read_goal
    >>> from solver import demo_goal
    >>> from solver.problem import build_problem
    >>> no_certain_build(build_problem(*read_goal(demo_goal("tight"))))
    False
    """
    try:
        return certain_build(problem) is None
    except LimitReached:
        return False


def none_certain(problem: Problem) -> Problem:
    """The problem with it said that nothing fits for certain, so that it is not looked for again."""
    at = next(iter(problem.domains))

    def judge(build: Build) -> Verdict:
        return Verdict.CHECK

    says = "no build fits without a check"
    told = Relation(says, "requirement", (at,), judge, lambda build: (), says=says, source="proved before", parts=(at,))
    return replace(problem, relations=(*problem.relations, told))
