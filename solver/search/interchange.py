"""Interchange classes: candidates that are the same part, but for price, labour of their own and where they come from.

Two candidates of a position are in one class when every relation that does not count money or work, every
preference and every quantity sees the same in both.  A person is told so (*the same part also from ...*); a search
need not tell them apart but by what they cost.  Parts with a figure in doubt are never in one class: two ranges that
read the same may be two different parts.

Invariants.  In any build a member can be put in place of another of its class, and no verdict changes but those on
price, hours and donors.  What :func:`thinned` leaves out is in none of the ``most`` best builds.
"""

from __future__ import annotations

from collections.abc import Hashable, Mapping
from dataclasses import dataclass, field
from functools import cached_property

from knowledge.layouts import EFFORT
from shared.layout import Input
from shared.part import Part
from shared.ranges import Range

from ..problem import Problem
from ..relations import Relation
from ..scoring import cents
from .sights import Group, Look, Sights

Domains = Mapping[str, tuple[Part | None, ...]]


@dataclass
class Interchange:
    """The classes of one problem."""

    problem: Problem
    sights: Sights = field(init=False)
    _looks: dict[str, tuple[Look, ...]] = field(init=False, default_factory=dict)
    _alone: dict[str, tuple[Relation, ...]] = field(init=False, default_factory=dict)

    def __post_init__(self) -> None:
        self.sights = Sights(self.problem)

    @cached_property
    def _paths(self) -> Mapping[str, tuple[str, ...]]:
        """For every position what any quantity or rule reads of its part."""
        flow, rules = self.problem.flow, [r.rule for r in self.problem.relations if r.rule is not None]
        quantities = [Input("quantity", name) for name in flow.scope]
        asked = [item for rule in rules for item in (rule.subject, rule.at_least, rule.at_most, *dict(rule.when.words))]
        return flow.paths([*quantities, *(item for item in asked if item is not None and item.name not in EFFORT)])

    def _look(self, at: str) -> None:
        """Find everything that looks at a position's part, and the relations that judge that part alone."""
        looking: list[Look] = []
        alone = []
        for relation in self.problem.relations:
            if at not in relation.scope or relation.of_effort:
                continue
            if relation.scope == (at,) and relation.looks_at is None:
                alone.append(relation)
            else:
                looking.append(relation)
        looking.append(self._paths.get(at, ()))
        self._looks[at], self._alone[at] = tuple(looking), tuple(alone)

    def key(self, at: str, part: Part | None) -> Hashable:
        """Equal for the members of a class."""
        if part is None:
            return None
        if at not in self._looks:
            self._look(at)
        new = self.problem.effort.is_new(at, part)
        seen = tuple(self.sights.sight(look, at, part) for look in self._looks[at])
        chosen = tuple(r.verdict({at: part}) for r in self._alone[at])
        return new, part.skill, self._doubted(at, part), seen, chosen

    def _doubted(self, at: str, part: Part) -> str | None:
        """Which part it is, where a figure of it is a range, or unknown."""
        if any(not part.attribute(path).known for path in self._paths.get(at, ())):
            return part.base or part.id
        stated = [*part.properties.values(), *(v for port in part.ports.values() for v in (port or {}).values())]
        sure = all(isinstance(v.value, str) or (v.value is not None and v.value.exact) for v in stated)
        return None if sure else part.id

    def classes(self, at: str, parts: Group | None = None) -> tuple[Group, ...]:
        """The candidates of a position in classes, in the order of their first members."""
        found: dict[Hashable, list[Part | None]] = {}
        for part in self.problem.domains[at] if parts is None else parts:
            found.setdefault(self.key(at, part), []).append(part)
        return tuple(tuple(members) for members in found.values())

    def others(self, at: str, part: Part) -> tuple[Part, ...]:
        """The other members of a part's class: the cheapest first, those of unknown price last."""
        mine = self.key(at, part)
        parts = self.problem.domains[at]
        return tuple(
            sorted((p for p in parts if p is not None and p is not part and self.key(at, p) == mine), key=_by_money)
        )


def thinned(problem: Problem, domains: Domains, most: int) -> dict[str, tuple[Part | None, ...]]:
    """The candidates without those that ``most`` others of their class are better than in every build.

    Better: no dearer and no more work, in whole cents and at both ends of their ranges, even when it costs one more
    donor car; among equals the smaller id.  Nothing goes where a goal's limits ask for *at least* so much effort.
    """
    limits = [relation.limit for relation in problem.hard if relation.limit is not None]
    if any(limit.quantity in EFFORT and limit.at_least is not None for limit in limits):
        return dict(domains)
    interchange = Interchange(problem)
    dearest = problem.dearest
    few_donors = any(limit.quantity == "donors" for limit in limits)
    donor = cents(problem.scoring.worth("donors"))

    def better(at: str, one: Part, two: Part) -> bool:
        same = problem.effort.carriers(at, one) == problem.effort.carriers(at, two)
        if few_donors and not same:
            return False
        money = problem.scoring.part_cents(at, one, dearest) + (0 if same else donor)
        if (money, one.id) >= (problem.scoring.part_cents(at, two, dearest), two.id):
            return False
        if (one.price is None) != (two.price is None):
            return False
        if one.price is not None and two.price is not None and not _below(one.price, two.price):
            return False
        return _below(one.hours, two.hours)

    left = {}
    for at, parts in domains.items():
        dropped = set()
        for members in interchange.classes(at, parts):
            ranked = sorted((p for p in members if p is not None and problem.effort.is_new(at, p)), key=_by_money)
            for i, part in enumerate(ranked):
                count = 0
                for other in ranked[:i]:
                    count += better(at, other, part)
                    if count >= most:
                        dropped.add(part.id)
                        break
        left[at] = tuple(p for p in parts if p is None or p.id not in dropped)
    return left


def _by_money(part: Part) -> tuple[bool, float, str]:
    return part.price is None, 0.0 if part.price is None else part.price.hi, part.id


def _below(one: Range, two: Range) -> bool:
    return one.lo <= two.lo and one.hi <= two.hi
