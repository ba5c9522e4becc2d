"""Whether any build fits for certain, asked before the best one is looked for.

Certain builds come first whatever they cost, so as long as one may exist every doubtful one has to wait.  Where the
list of cars leaves doubts and money is short there often is none, and proving that while looking for the cheapest
takes minutes.  Asked by itself it takes seconds: every price and every hour at its dearer end, every doubt a *no*.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from knowledge.garage import Garage
from shared.goal import Goal
from shared.ranges import Range
from shared.verdict import Verdict

from ..problem import Problem, build_problem
from ..relations import Build, Known, Outlook, Relation
from ..search.enumeration import LimitReached
from ..search.possible import Possible


def no_certain_build(goal: Goal, garage: Garage, narrow: Callable[[Problem], Problem]) -> bool:
    """Whether it is proved that no build out of what ``narrow`` leaves fits for certain; false where it is not told."""
    problem = narrow(build_problem(goal, _at_its_dearest(garage)))
    strict = replace(problem, relations=tuple(_strict(r) if r.severity == "must" else r for r in problem.relations))
    try:
        return Possible(strict).ask(strict.hard).build is None
    except LimitReached:
        return False


def none_certain(problem: Problem) -> Problem:
    """The problem with it said that nothing fits for certain, so that it is not looked for again."""
    at = next(iter(problem.domains))

    def judge(build: Build, known: Known) -> Verdict:
        return Verdict.CHECK

    says = "no build fits without a check"
    told = Relation(says, "requirement", (at,), judge, lambda build: (), says=says, source="proved before", parts=(at,))
    return replace(problem, relations=(*problem.relations, told))


def _at_its_dearest(garage: Garage) -> Garage:
    """The same parts and tasks with every price and labour at the upper end."""
    parts = {
        name: replace(
            part,
            price=None if part.price is None else Range.exactly(part.price.hi),
            hours=Range.exactly(part.hours.hi),
        )
        for name, part in garage.parts.items()
    }
    tasks = {
        name: replace(task, consumables=tuple(replace(c, low=c.high) for c in task.consumables))
        for name, task in garage.layout.tasks.items()
    }
    return Garage(replace(garage.layout, tasks=tasks), garage.vehicle, parts)


def _strict(relation: Relation) -> Relation:
    """The relation with every settled doubt a *no*."""

    def judge(build: Build, known: Known) -> Verdict:
        return Verdict.NO if relation.judge(build, known) is not Verdict.FITS else Verdict.FITS

    def rough(build: Build, known: Known) -> Outlook:
        found = relation.outlook(build, known)
        if found.verdict is Verdict.CHECK and not found.open:
            return Outlook(Verdict.NO, False)
        return found

    return replace(relation, judge=judge, rough=rough)
