"""Last step: python-constraint2 searches what is left, with every hard relation whole, under a bound.

What is left after the bounds is a few dozen values.  Here they are searched completely: every build within the
bound that passes every hard relation is found, so that a better one cannot have been missed.

A fresh ``Problem`` is made for every search, values are small integers, and every constraint is an object of
ours: the library's sum and text constraints raise instead of answering *no* in some impossible cases.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Protocol

import constraint

from shared.errors import SwapwrightError
from shared.part import Part
from shared.verdict import Verdict

from ..problem import Problem
from ..relations import Relation
from .completion import Charge, Completion

Domains = Mapping[str, Sequence[Part | None]]


class Spender(Protocol):
    """Anything that counts steps and stops a search."""

    def spend(self) -> None:
        """Count one step; raise :class:`LimitReached` when there were too many."""


class LimitReached(SwapwrightError):
    """The search was stopped by its budget before it was complete.

    ``within`` is the limit it had by then: as many builds as were wanted may have been found to come to no more.
    ``found`` is how many builds it had found.  No build that was looked for scores ``none`` or less.
    """

    def __init__(self, message: str, within: int | None = None, found: int = 0, none: int = -1) -> None:
        super().__init__(message)
        self.within = within
        self.found = found
        self.none = none


@dataclass(frozen=True)
class Found:
    """A build that passes every hard relation."""

    score: int
    doubtful: bool
    parts: tuple[str, ...]
    build: Mapping[str, Part | None] = field(compare=False)

    @property
    def rank(self) -> tuple[bool, int, tuple[str, ...]]:
        """The order of builds: certain first, then by score, then by the ids of the parts."""
        return self.doubtful, self.score, self.parts


@dataclass
class StepsBudget:
    """So many steps, or no end of them: steps are the same on every machine, seconds are not."""

    most: int | None
    count: int = 0

    def spend(self) -> None:
        """Count one step; raise :class:`LimitReached` when there were too many."""
        self.count += 1
        if self.most is not None and self.count > self.most:
            raise LimitReached("the search took too many steps")


class _Holds(constraint.Constraint):  # type: ignore[misc]
    """A hard relation; asked as soon as its open positions are all filled, remembered by their values."""

    def __init__(
        self,
        relation: Relation,
        opened: tuple[str, ...],
        domains: Domains,
        fixed: Mapping[str, Part | None],
        worst: Verdict,
        budget: Spender | None = None,
    ) -> None:
        self.budget = budget
        self.relation = relation
        self.opened = opened
        self.domains = domains
        self.fixed = {p: fixed[p] for p in relation.scope if p in fixed}
        self.worst = worst
        self.memo: dict[tuple[int, ...], bool] = {}

    def __call__(
        self,
        variables: Sequence[str],
        domains: Mapping[str, Any],
        assignments: Mapping[str, int],
        forwardcheck: bool = False,
        _unassigned: object = None,
    ) -> bool:
        if self.budget is not None:
            self.budget.spend()
        values = []
        for at in self.opened:
            value = assignments.get(at)
            if value is None:
                return True
            values.append(value)
        at_values = tuple(values)
        found = self.memo.get(at_values)
        if found is None:
            build = dict(self.fixed)
            for at, value in zip(self.opened, at_values, strict=True):
                build[at] = self.domains[at][value]
            found = self.memo[at_values] = self.relation.verdict(build) <= self.worst
        return found


def holds_for(
    relation: Relation,
    opened: tuple[str, ...],
    domains: Domains,
    fixed: Mapping[str, Part | None],
    worst: Verdict,
    budget: Spender | None = None,
) -> constraint.Constraint:
    """A relation as a constraint on its open positions; the others are ``fixed``."""
    return _Holds(relation, opened, domains, fixed, worst, budget)


class _Within(constraint.Constraint):  # type: ignore[misc]
    """The bound: the least any completion can cost may not pass the limit.  Records complete builds."""

    def __init__(self, search: _Search) -> None:
        self.search = search

    def __call__(
        self,
        variables: Sequence[str],
        domains: Mapping[str, Any],
        assignments: Mapping[str, int],
        forwardcheck: bool = False,
        _unassigned: object = None,
    ) -> bool:
        return self.search.within(assignments)


@dataclass
class _Search:
    """What is found, and the limit, which falls to the last of the best once enough are."""

    problem: Problem
    domains: Mapping[str, tuple[Part | None, ...]]
    limit: int
    certain: bool
    most: int
    budget: Spender
    completion: Completion

    def __post_init__(self) -> None:
        self.fixed = {at: parts[0] for at, parts in self.domains.items() if len(parts) == 1}
        self.opened = tuple(at for at, parts in self.domains.items() if len(parts) > 1)
        self.found: list[Found] = []
        self.ids = {at: ["" if p is None else p.id for p in parts] for at, parts in self.domains.items()}
        self.first_ids = {at: min(ids) for at, ids in self.ids.items()}

    def within(self, assignments: Mapping[str, int]) -> bool:
        """Whether some completion may be among the best within the limit."""
        self.budget.spend()
        least = self.completion.least(assignments, self.limit)
        return least < self.limit or (least == self.limit and not self._too_late(assignments))

    def _too_late(self, assignments: Mapping[str, int]) -> bool:
        """Whether enough builds are found that come before any completion that scores no less, by the ids of parts."""
        if len(self.found) < self.most:
            return False
        chosen = [ids[assignments[at]] if at in assignments else self.first_ids[at] for at, ids in self.ids.items()]
        return tuple(chosen) > self.found[-1].parts

    def take(self, assignments: Mapping[str, int]) -> None:
        """Score a complete build and keep it if it is among the best so far."""
        build: dict[str, Part | None] = {}
        for at, parts in self.domains.items():
            build[at] = self.fixed[at] if at in self.fixed else parts[assignments[at]]
        if not self.certain and all(r.verdict(build) is Verdict.FITS for r in self.problem.hard):
            return
        score = self.problem.scoring.score(build, self.completion.dearest)
        if score > self.limit:
            return
        ids = tuple("" if p is None else p.id for p in build.values())
        self.found.append(Found(score, not self.certain, ids, build))
        self.found.sort(key=lambda f: f.rank)
        del self.found[self.most :]
        if len(self.found) == self.most:
            self.limit = min(self.limit, self.found[-1].score)


def enumerate_builds(
    problem: Problem,
    domains: Domains,
    limit: int,
    certain: bool,
    most: int,
    budget: Spender | None = None,
    charges: Sequence[Charge] = (),
) -> list[Found]:
    """The best ``most`` builds out of ``domains`` whose score is at most ``limit``, in order.

    With ``certain`` only builds of which every hard relation certainly holds; without, only the others that may
    hold.  ``charges`` are parts of the score beside prices, labour and ways to donors; they only save time.
    Complete: no build within the limit is missed.  Raises :class:`LimitReached` if the budget runs out.
    """
    left = {at: tuple(parts) for at, parts in domains.items()}
    if any(not parts for parts in left.values()):
        return []
    completion = Completion(problem, left, certain, charges)
    search = _Search(problem, left, limit, certain, most, budget or StepsBudget(None), completion)
    worst = Verdict.FITS if certain else Verdict.CHECK
    holds = []
    for relation in problem.hard:
        opened = tuple(at for at in relation.scope if at not in search.fixed)
        if not opened:
            if relation.verdict(search.fixed) > worst:
                return []
        else:
            holds.append(_Holds(relation, opened, left, search.fixed, worst))
    if not search.within({}):
        return []
    if not search.opened:
        search.take({})
        return search.found
    csp = constraint.Problem(constraint.OptimizedBacktrackingSolver(forwardcheck=False))
    for at in search.opened:
        # What is beyond the limit by itself would be tried again and again below every choice at another position.
        order = [i for i in range(len(left[at])) if search.within({at: i})]
        if not order:
            return []
        csp.addVariable(at, sorted(order, key=lambda i: (completion.costs[at][i], i), reverse=True))
    # The bound comes first: what is beyond it is no question to the relations, and every value tried is a step.
    csp.addConstraint(_Within(search), list(search.opened))
    for relation_holds in holds:
        csp.addConstraint(relation_holds, list(relation_holds.opened))
    try:
        for solution in csp.getSolutionIter() or ():
            search.take(solution)
    except LimitReached as reached:
        raise LimitReached(str(reached), search.limit, len(search.found)) from None
    return search.found
