"""The problem: candidates at every position, and every relation among them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from knowledge.computing.dataflow import Dataflow
from knowledge.garage import Garage
from shared.goal import Goal
from shared.layout import Requirement
from shared.part import Part

from .choices import belonging_relations, choice_relations, factory_fit_relations
from .demands import Demands
from .effort import Effort
from .lookalikes import Lookalikes
from .mating import Mating
from .relations import Build, Relation
from .scoring import Scoring
from .wear import wear_relations

Domain = tuple[Part | None, ...]


@dataclass(frozen=True)
class Problem:
    """Everything the search needs.

    ``domains`` holds for every position its candidates: what is fitted now first, then the rest by id, and
    ``None`` last where the position may be empty.
    """

    garage: Garage
    goal: Goal
    stock: Build
    domains: Mapping[str, Domain]
    flow: Dataflow
    effort: Effort
    mating: Mating
    demands: Demands
    scoring: Scoring
    relations: tuple[Relation, ...]

    @cached_property
    def hard(self) -> tuple[Relation, ...]:
        """The relations that refuse."""
        return tuple(r for r in self.relations if r.severity == "must")

    @cached_property
    def dearest(self) -> Mapping[str, int]:
        """For every position the dearest known price in cents, the stand-in for an unknown one."""
        return self.scoring.dearest_known(self.domains)

    @cached_property
    def lookalikes(self) -> Lookalikes:
        """Tells candidates apart by what is said of them."""
        return Lookalikes(self.relations, self.effort, self.goal.trust, self.flow.repeated)

    @cached_property
    def advice(self) -> tuple[Relation, ...]:
        """The relations that advise."""
        return tuple(r for r in self.relations if r.severity == "should")

    @cached_property
    def looks(self) -> tuple[Relation, ...]:
        """The relations that send someone to look."""
        return tuple(r for r in self.relations if r.severity == "check")

    @cached_property
    def rules_on(self) -> Mapping[str, list[Requirement]]:
        """The layout's requirements on each quantity."""
        found: dict[str, list[Requirement]] = {}
        for rule in self.garage.layout.requirements:
            if rule.subject is not None and rule.subject.source == "quantity":
                found.setdefault(rule.subject.name, []).append(rule)
        return found

    def named(self, name: str) -> Relation:
        """The relation of a name."""
        return next(r for r in self.relations if r.name == name)


def domains_of(garage: Garage) -> dict[str, Domain]:
    """Every candidate of every position."""
    found: dict[str, Domain] = {}
    fitting: dict[str, list[Part]] = {at: [] for at in garage.layout.positions}
    for part in garage.parts.values():
        for at in dict.fromkeys(part.positions):
            if at in fitting:
                fitting[at].append(part)
    for at, position in garage.layout.positions.items():
        fitted = garage.vehicle.fitted.get(at)
        stock = garage.parts.get(fitted) if fitted else None
        others = [p for p in fitting[at] if p is not stock]
        first: list[Part | None] = [] if stock is None and not position.optional else [stock]
        empty: list[Part | None] = [None] if position.optional and stock is not None else []
        found[at] = (*first, *others, *empty)
    return found


def repeated(domains: Mapping[str, Domain], stock: Build) -> frozenset[str]:
    """The parts of which a build may have two, alterations and what comes with assemblies counted as the parts they
    are, and those on the car now."""
    places: dict[str, str] = {part.base or part.id: "" for part in stock.values() if part is not None}
    found = set(places)
    for at, parts in domains.items():
        for part in parts:
            if part is not None:
                name = part.base or part.id
                if places.setdefault(name, at) != at:
                    found.add(name)
    return frozenset(found)


def build_problem(goal: Goal, garage: Garage) -> Problem:
    """The problem of a goal on a car and a catalogue."""
    stock = garage.fitted()
    domains = domains_of(garage)
    flow = Dataflow(garage.layout, garage.vehicle, stock, goal.loads, repeated=repeated(domains, stock))
    effort = Effort(garage.layout, stock)
    mating = Mating(garage, goal.trust)
    demands = Demands(flow, effort, goal)
    rules = [demands.requirement(rule) for rule in garage.layout.requirements]
    relations = (
        *choice_relations(garage, goal, effort),
        *factory_fit_relations(garage, goal, effort),
        *belonging_relations(domains),
        *wear_relations(garage, domains),
        *mating.relations(),
        *rules,
        *(demands.limit(limit) for limit in goal.limits),
    )
    advice = tuple(r for r in rules if r.severity == "should")
    scoring = Scoring(goal, demands, effort, advice)
    return Problem(garage, goal, stock, domains, flow, effort, mating, demands, scoring, relations)
