"""What tables are made of: relations that refuse, preferences and advice that cost.

A source says what a build costs by it (:data:`NEVER` where it refuses), which candidates are alike to it, and, where
it asks something of one quantity alone, what a range of that quantity costs at the least.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache, partial

from knowledge.computing.dataflow import Dataflow
from knowledge.computing.quantities import Domains
from shared.layout import Input, Requirement
from shared.part import Part
from shared.ranges import Range
from shared.verdict import Verdict

from ..holding import plain, verdict_on
from ..problem import Problem
from ..relations import Build, Relation
from ..scoring import cents
from .blur import limit_cost, preference_cost
from .factors import NEVER
from .sights import Sights

Cost = Callable[[Build], int]
Alike = Callable[[str, Part | None], Hashable]


@dataclass(frozen=True, eq=False)
class Asked:
    """What is asked of one quantity, by the goal or by a rule: the least that a range of it costs."""

    quantity: str
    cost: Callable[[Range], int]
    of_goal: bool = True


def _asked(relation: Relation, rules: Mapping[str, Requirement]) -> Asked | None:
    """What a relation asks of one quantity against numbers; ``None`` where it asks anything else."""
    limit = relation.limit
    if limit is not None:
        return Asked(limit.quantity, limit_cost(_exactly(limit.at_least), _exactly(limit.at_most)))
    rule = rules.get(relation.name) if relation.kind == "requirement" else None
    held = None if rule is None else plain(rule)
    return None if held is None else Asked(held[0], limit_cost(held[1], held[2]), of_goal=False)


def _exactly(number: float | None) -> Range | None:
    return None if number is None else Range.exactly(number)


@dataclass(frozen=True, eq=False)
class Source:
    """Something a table can be made of; ``scope`` are the numbers of the positions it looks at, ascending."""

    name: str
    scope: tuple[int, ...]
    cost: Cost
    alike: Alike
    asked: Asked | None = None

    @property
    def of_goal(self) -> bool:
        """Whether the goal asks something of one quantity."""
        return self.asked is not None and self.asked.of_goal

    @property
    def of_rule(self) -> bool:
        """Whether a rule, not the goal, asks something of one quantity."""
        return self.asked is not None and not self.asked.of_goal


def _refused(relation: Relation, certain: bool, build: Build) -> int:
    """Never, where a relation says no or, with ``certain``, cannot come to certainly fit.

    Asked once for each combination of what the relation sees, so that it need not remember.
    """
    found = relation.outlook(build) if relation.rough is None else relation.rough(build, {})
    if found.verdict is Verdict.NO:
        return NEVER
    return NEVER if certain and found.verdict is Verdict.CHECK and not found.open else 0


def _broken(relation: Relation, worth: int, build: Build) -> int:
    """What a broken *should* costs."""
    found = relation.outlook(build) if relation.rough is None else relation.rough(build, {})
    return worth if found.verdict is Verdict.NO else 0


def _seen(sights: Sights, paths: Mapping[str, tuple[str, ...]], at: str, part: Part | None) -> Hashable:
    """What a computation that reads some attributes sees of a candidate."""
    return sights.sight(paths.get(at, ()), at, part)


@dataclass(frozen=True, eq=False)
class Wish:
    """What a build pays for missing a preference or breaking advice, where some quantity or rule tells.

    ``scope`` are the numbers of the positions it hangs on, ascending.  ``least`` is the least that any build out of
    some candidates pays, ``of`` what a build pays; candidates of whom ``alike`` says the same are interchangeable.
    """

    scope: tuple[int, ...]
    least: Callable[[Domains], int]
    of: Cost
    alike: Alike


def _least(flow: Dataflow, quantity: str, cost: Callable[[Range], int], domains: Domains) -> int:
    """The least that what is asked of a quantity costs any build out of some candidates."""
    hull = flow.hull(quantity, domains)
    return 0 if hull is None else cost(hull)


def _least_broken(relation: Relation, worth: int, domains: Domains) -> int:
    """What advice costs that every build out of some candidates breaks."""
    return worth if relation.bound is not None and relation.bound(domains) is Verdict.NO else 0


def _told_broken(relation: Relation, worth: int, build: Build) -> int:
    """What a broken *should* costs, told for certain."""
    return worth if relation.verdict(build) is Verdict.NO else 0


def wishes_of(problem: Problem) -> tuple[Wish, ...]:
    """Every preference on a quantity and every advice of a problem."""
    number = {at: i for i, at in enumerate(problem.domains)}
    scoring, sights = problem.scoring, Sights(problem)
    rules = {rule.id: rule for rule in problem.garage.layout.requirements}
    # Bounds that have to be searched for take longer than what they tell of open candidates is worth.
    flow = replace(problem.flow, most_turning=0)

    def numbers(positions: Iterable[str]) -> tuple[int, ...]:
        return tuple(sorted(number[p] for p in positions))

    found = []
    for term in scoring.terms:
        alike = cache(partial(_seen, sights, flow.paths([Input("quantity", term.quantity)])))
        least = partial(_least, flow, term.quantity, preference_cost(term))
        scope = numbers(flow.scope.get(term.quantity, ()))
        found.append(Wish(scope, least, partial(scoring.term, term, known={}), alike))
    worth = cents(scoring.worth("advice"))
    for r in problem.advice if worth else ():
        held = plain(rules[r.name]) if r.name in rules else None
        least = partial(_least_broken, r, worth)
        if held is not None:
            least = partial(_least, flow, held[0], partial(_refusing, held[1], held[2], worth))
        found.append(Wish(numbers(r.scope), least, partial(_told_broken, r, worth), r.alike))
    return tuple(found)


def _refusing(at_least: Range | None, at_most: Range | None, worth: int, value: Range) -> int:
    """What a value costs that lies beyond limits for certain."""
    return worth if verdict_on(value, at_least, at_most) is Verdict.NO else 0


def sources_of(problem: Problem, certain: bool) -> tuple[Source, ...]:
    """Every hard relation, preference and advice of a problem, but those that count money or work."""
    number = {at: i for i, at in enumerate(problem.domains)}
    scoring, flow, sights = problem.scoring, problem.flow, Sights(problem)
    rules = {rule.id: rule for rule in problem.garage.layout.requirements}

    def numbers(positions: Sequence[str]) -> tuple[int, ...]:
        return tuple(sorted(number[p] for p in positions))

    found = [
        Source(r.name, numbers(r.scope), partial(_refused, r, certain), r.alike, _asked(r, rules))
        for r in problem.hard
        if not r.of_effort
    ]
    for term in scoring.terms:
        scope = numbers(flow.scope.get(term.quantity, ()))
        alike = cache(partial(_seen, sights, flow.paths([Input("quantity", term.quantity)])))
        wanted = Asked(term.quantity, preference_cost(term))
        found.append(Source(f"prefer {term.quantity}", scope, partial(scoring.term, term, known={}), alike, wanted))
    worth = cents(scoring.worth("advice"))
    for r in problem.advice if worth else ():
        found.append(Source(r.name, numbers(r.scope), partial(_broken, r, worth), r.alike))
    return tuple(s for s in found if s.scope)
