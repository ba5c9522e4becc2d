"""Money, work and donors as clauses for CP-SAT, and what a build is worth: the sum that is minimised.

Limits are rounded so that nothing that passes is lost; costs that cannot be written out are left out or counted at
their least, so that the sum is never above a build's score.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from math import floor, prod
from typing import Any

from knowledge.layouts import EFFORT
from shared.goal import Limit, Preference
from shared.layout import Input
from shared.part import Part
from shared.verdict import Verdict

from ...problem import Problem
from ...relations import Build, Relation
from ...scoring import cents
from ..sights import Look
from .model import MOST_TUPLES, Axis, Clauses, Literal, outlook, tuples


class PricedClauses(Clauses):
    """A problem's relations, limits on effort among them, and its costs when asked."""

    def __init__(
        self,
        problem: Problem,
        domains: Mapping[str, tuple[Part | None, ...]],
        relations: Sequence[Relation],
        certain: bool,
        eager: bool = False,
    ) -> None:
        own = {r: r.limit for r in relations if r.limit is not None and r.limit.quantity in EFFORT}
        super().__init__(problem, domains, [r for r in relations if r not in own], certain, eager)
        self.costs: list[tuple[int, Literal]] = []
        self._donors: dict[str, Literal] = {}
        self._touched: dict[str, Literal] = {}
        self._tasks: dict[str, Literal] = {}
        # What is owed for each preference and piece of advice, by its name; advice that waits to be written.
        self._owed: dict[str, list[tuple[int, Literal]]] = {}
        self._unpaid: dict[Relation, None] = {}
        for limit in own.values():
            self._limit(limit)

    # -- work and donors

    def donor(self, key: str) -> Literal:
        """Whether a donor car is visited."""
        if key not in self._donors:
            self._donors[key] = self.model.new_bool_var(f"visit {key}")
        return self._donors[key]

    def visits(self) -> list[Literal]:
        """A literal for each donor car; every used part that is chosen comes from one of its donors."""
        if not self._donors:
            for at, parts in self.domains.items():
                for part, literal in zip(parts, self.x[at], strict=True):
                    carriers = sorted(self.problem.effort.carriers(at, part))
                    if carriers:
                        self.model.add_bool_or([~literal, *map(self.donor, carriers)])
        return list(self._donors.values())

    def new(self, at: str) -> list[Literal]:
        """The candidates that are not what is fitted now."""
        pairs = zip(self.domains[at], self.x[at], strict=True)
        return [literal for part, literal in pairs if self.problem.effort.is_new(at, part)]

    def touched(self) -> dict[str, Literal]:
        """For every position whether somebody has to work there."""
        if not self._touched:
            layout, effort = self.problem.garage.layout, self.problem.effort
            for at, parts in self.domains.items():
                some = self._touched[at] = self.model.new_bool_var(f"work at {at}")
                why: list[Literal] = []
                host = layout.positions[at].host
                for part, literal in zip(parts, self.x[at], strict=True):
                    if part is not None and part.host is not None:
                        continue
                    if effort.is_new(at, part):
                        why.append(literal)
                    elif part is not None and host is not None:
                        moved = self.model.new_bool_var("")
                        stock = [self.literal_of[host][p] for p in self.domains[host] if not effort.is_new(host, p)]
                        self.model.add_bool_or([~literal, *stock, moved])
                        self.model.add_implication(moved, literal)
                        for other in stock:
                            self.model.add_implication(moved, ~other)
                        why.append(moved)
                self._exactly_if(some, why)
        return self._touched

    def tasks(self) -> dict[str, Literal]:
        """For every task whether it is called for."""
        if not self._tasks:
            touched = self.touched()
            for name, positions in sorted(self.problem.effort.callers.items()):
                if positions:
                    self._tasks[name] = self.model.new_bool_var(f"task {name}")
                    self._exactly_if(self._tasks[name], [touched[at] for at in self.domains if at in positions])
        return self._tasks

    def _exactly_if(self, some: Literal, why: Sequence[Literal]) -> None:
        self.model.add_bool_or([*why, ~some])
        for literal in why:
            self.model.add_implication(literal, some)

    def _limit(self, limit: Limit) -> None:
        """A limit on effort from above, in whole cents or seconds rounded so that nothing that passes is lost."""
        if limit.at_most is None:
            return
        effort, name = self.problem.effort, limit.quantity
        tasks = self.problem.garage.layout.tasks
        if name == "donors":
            self.model.add(sum(self.visits()) <= floor(limit.at_most))
        elif name == "parts_changed":
            self.model.add(sum(x for at in self.domains for x in self.new(at)) <= floor(limit.at_most))
        elif name == "skill":
            for at, parts in self.domains.items():
                for part, literal in zip(parts, self.x[at], strict=True):
                    if part is not None and effort.is_new(at, part) and part.skill > limit.at_most:
                        self.model.add_bool_and([~literal])
            for task, literal in self.tasks().items():
                if tasks[task].skill > limit.at_most:
                    self.model.add_bool_and([~literal])
        else:
            terms: list[Any] = []
            for at, parts in self.domains.items():
                for part, literal in zip(parts, self.x[at], strict=True):
                    spent = effort.part_price(at, part) if name == "price" else effort.part_hours(at, part)
                    if spent is None:
                        if self.certain:
                            self.model.add_bool_and([~literal])
                    elif amount := _down(spent.hi if self.certain else spent.lo, name):
                        terms.append(amount * literal)
            for task, literal in self.tasks().items():
                used = tasks[task].consumables
                spent_on = (
                    sum(c.high if self.certain else c.low for c in used) if name == "price" else tasks[task].hours
                )
                if amount := _down(spent_on, name):
                    terms.append(amount * literal)
            self.model.add(sum(terms) <= _down(limit.at_most, name) + 1)

    # -- what a build is worth

    def add_costs(self) -> None:
        """Everything the score adds up, as far as it can be written out."""
        problem, scoring = self.problem, self.problem.scoring
        for at, parts in self.domains.items():
            for part, literal in zip(parts, self.x[at], strict=True):
                self.cost(scoring.part_cents(at, part, problem.dearest), literal)
        for name, literal in self.tasks().items():
            task = problem.garage.layout.tasks[name]
            self.cost(scoring.task_cents(task.hours, sum(c.high for c in task.consumables)), literal)
        donor = cents(scoring.worth("donors"))
        for literal in self.visits() if donor else ():
            self.cost(donor, literal)
        worth = cents(scoring.worth("advice"))
        for relation in problem.advice if worth else ():
            if self.is_first(relation):
                self._pay(relation)
            else:
                self._unpaid[relation] = None
        for term in scoring.terms:
            self._term(term)

    def settle(self, build: Build, value: Callable[[Literal], bool]) -> bool:
        """Write out what a solution costs more than was written so far; tell whether there was anything.

        Advice that waits and is broken is written now.  Where a cost is written in ranges and comes out higher than
        the range's least, the difference is owed by every build in which the same is seen.
        """
        scoring, more = self.problem.scoring, False
        for advice in [r for r in self._unpaid if r.verdict(build) is Verdict.NO]:
            self._pay(advice)
            more = True
        if more:
            return True
        worth = cents(scoring.worth("advice"))
        costs: list[tuple[str, int, Mapping[str, Look]]] = [
            (t.quantity, scoring.term(t, build, {}), self._sights_of(t)) for t in scoring.terms
        ]
        for advice in self.problem.advice if worth else ():
            if advice not in self._unpaid and advice.verdict(build) is Verdict.NO:
                costs.append((advice.name, worth, dict.fromkeys(advice.scope, advice)))
        for name, cost, sights in costs:
            written = sum(amount for amount, literal in self._owed.get(name, ()) if value(literal))
            if cost > written:
                seen = {at: self.sights.group_of(k, at, self.domains[at], build[at]) for at, k in sights.items()}
                self._cost_if_any(name, cost - written, [[self.either(at, g) for at, g in seen.items()]])
                more = True
        return more

    def _pay(self, advice: Relation) -> None:
        """Write out what breaking an advice costs, as far as that can be done."""
        self._unpaid.pop(advice, None)
        axes = self.axes_for(advice)
        broken: list[list[Literal]] = []
        for chosen, parts, known in tuples(axes) if axes else ():
            found = outlook(advice, parts, known)
            if found is not None and found.verdict is Verdict.NO:
                broken.append(list(chosen))
        self._cost_if_any(advice.name, cents(self.problem.scoring.worth("advice")), broken)

    def _sights_of(self, term: Preference) -> dict[str, Look]:
        """What a preference looks at, by position."""
        paths = self.problem.flow.paths([Input("quantity", term.quantity)])
        return {at: paths.get(at, ()) for at in self.problem.flow.scope.get(term.quantity, ())}

    def _term(self, term: Preference) -> None:
        axes: list[Axis] | None = [self.axis_of(at, look) for at, look in self._sights_of(term).items()]
        if axes is not None and prod(len(a.literals) for a in axes) > MOST_TUPLES:
            axes = self._within((), [term.quantity])
        by_cost: dict[int, list[list[Literal]]] = {}
        for chosen, parts, known in tuples(axes) if axes else ():
            if known:
                cost = self.cells.least_cost(term, known[term.quantity])
            else:
                cost = self.problem.scoring.term(term, parts, {})
            by_cost.setdefault(cost, []).append(list(chosen))
        for cost, ways in sorted(by_cost.items()):
            self._cost_if_any(term.quantity, cost, ways)

    def _cost_if_any(self, name: str, cost: int, ways: Sequence[Sequence[Literal]]) -> None:
        """A cost that is owed where all literals of any of these ways hold."""
        if not ways or not cost:
            return
        owed = self.model.new_bool_var("")
        for chosen in ways:
            self.model.add_bool_or([*(~literal for literal in chosen), owed])
        self.cost(cost, owed)
        self._owed.setdefault(name, []).append((cost, owed))

    def cost(self, amount: int, literal: Literal) -> None:
        """Add to what is minimised."""
        if amount:
            self.costs.append((amount, literal))

    def total(self) -> Any:
        """What is minimised."""
        return sum(amount * literal for amount, literal in self.costs)


def _down(amount: float, name: str) -> int:
    """Money in whole cents, time in whole seconds, downward."""
    return floor(amount * (100 if name == "price" else 1) + 1e-6)
