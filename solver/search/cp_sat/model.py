"""A problem as clauses for CP-SAT.

Every candidate is a literal, exactly one a position.  What a relation cannot tell apart (see ``sights``) is one
literal to it.  A relation is written out, clause by clause, where its sights have few enough combinations; else by
way of *cells*: the outcomes of a quantity, in ranges where there are many, each a literal that follows from the
literals below it.  Wide relations wait until a solution breaks them: most never have to be written.  What is not
written out, or only in ranges, ``engine`` judges whole and cuts off.

Invariant: every build that passes the relations is a solution; solutions that are no such builds may be among them.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import product
from math import prod
from typing import Any

from ortools.sat.python import cp_model

from knowledge.layouts import EFFORT
from shared.part import Part
from shared.verdict import Verdict

from ...problem import Problem
from ...relations import Build, Outlook, Relation
from ..sights import Group, Look, Sights
from .cells import ANYTHING, Cells, Outcome

MOST_TUPLES = 4000
FIRST_TUPLES = 400
FEWEST_CELLS = 4
Literal = Any
Domains = Mapping[str, tuple[Part | None, ...]]


@dataclass(frozen=True)
class Axis:
    """Alternatives of which exactly one holds: literals, and what each stands for."""

    literals: tuple[Literal, ...]
    parts: tuple[Mapping[str, Part | None], ...]
    known: tuple[Mapping[str, Outcome], ...]


class Clauses:
    """Writes relations into one CP-SAT model; ``waiting`` are those that are still to be written, none if ``eager``."""

    def __init__(
        self, problem: Problem, domains: Domains, relations: Sequence[Relation], certain: bool, eager: bool
    ) -> None:
        self.problem = problem
        self.domains = domains
        self.certain = certain
        self.model = cp_model.CpModel()
        self.sights = Sights(problem)
        self.cells = Cells(problem)
        self._axes: dict[object, Axis] = {}
        self.x: dict[str, list[Literal]] = {}
        self._either: dict[frozenset[int], Literal] = {}
        for at, parts in domains.items():
            self.x[at] = [self.model.new_bool_var(f"{at} {i}") for i in range(len(parts))]
            self.model.add_exactly_one(self.x[at])
        self.literal_of = {at: dict(zip(parts, self.x[at], strict=True)) for at, parts in domains.items()}
        self.eager = eager
        self.waiting: dict[Relation, None] = {}
        for relation in relations:
            if self.is_first(relation):
                self.write(relation)
            else:
                self.waiting[relation] = None

    # -- literals

    def either(self, at: str, parts: Sequence[Part | None]) -> Literal:
        """A literal that holds exactly where one of these candidates is chosen."""
        own = self.literal_of[at]
        return self._any_of([own[p] for p in parts])

    def _any_of(self, literals: Sequence[Literal]) -> Literal:
        """A literal that holds exactly where one of these does."""
        if len(literals) == 1:
            return literals[0]
        key = frozenset(literal.index for literal in literals)
        if key not in self._either:
            some = self.model.new_bool_var("")
            self.model.add_bool_or([*literals, ~some])
            for literal in literals:
                self.model.add_implication(literal, some)
            self._either[key] = some
        return self._either[key]

    def axis_of(self, at: str, look: Look) -> Axis:
        """The sights of a position."""
        key = (at, look)
        if key not in self._axes:
            groups: tuple[Group, ...] = self.sights.groups(look, at, self.domains[at])
            self._axes[key] = Axis(
                tuple(self.either(at, members) for members in groups),
                tuple({at: members[0]} for members in groups),
                ({},) * len(groups),
            )
        return self._axes[key]

    def axis_of_cells(self, name: str) -> Axis | None:
        """The outcomes of a quantity; ``None`` where they are too many to make."""
        key = ("cells", name)
        if key not in self._axes:
            positions, quantities = self.cells.below(name)
            sights = [self.axis_of(at, paths) for at, paths in sorted(positions.items())]
            axes = self._within(sights, quantities)
            if axes is None:
                return None
            combinations = list(tuples(axes))
            outcomes = [self.cells.outcome(name, parts, known) for _, parts, known in combinations]
            kept, numbers = self.cells.gathered(outcomes)
            literals = [self.model.new_bool_var("") for _ in kept]
            self.model.add_exactly_one(literals)
            for (chosen, _, _), number in zip(combinations, numbers, strict=True):
                self.model.add_bool_or([*(~literal for literal in chosen), literals[number]])
            self._axes[key] = Axis(tuple(literals), ({},) * len(kept), tuple({name: outcome} for outcome in kept))
        return self._axes[key]

    def _within(self, sights: Sequence[Axis], quantities: Sequence[str]) -> list[Axis] | None:
        """Sights, and quantities by their cells, made coarser until there are few enough combinations."""
        fixed = prod(len(axis.literals) for axis in sights)
        cells = []
        for name in quantities:
            axis = self.axis_of_cells(name)
            if axis is None:
                return None
            cells.append((name, axis))
        while fixed * prod(len(axis.literals) for _, axis in cells) > MOST_TUPLES:
            i = max(range(len(cells)), key=lambda i: len(cells[i][1].literals), default=None)
            if i is None or len(cells[i][1].literals) < 2 * FEWEST_CELLS:
                return None
            name, axis = cells[i]
            cells[i] = name, self._coarser(name, axis)
        return [*sights, *(axis for _, axis in cells)]

    def _coarser(self, name: str, axis: Axis) -> Axis:
        """The cells of a quantity in about half as many."""
        most = len(axis.literals) // 2
        key = ("coarse", name, most)
        if key not in self._axes:
            kept, numbers = self.cells.gathered([known[name] for known in axis.known], most)
            members: list[list[Literal]] = [[] for _ in kept]
            for literal, number in zip(axis.literals, numbers, strict=True):
                members[number].append(literal)
            self._axes[key] = Axis(
                tuple(self._any_of(literals) for literals in members),
                ({},) * len(kept),
                tuple({name: outcome} for outcome in kept),
            )
        return self._axes[key]

    def axes_for(self, relation: Relation) -> list[Axis] | None:
        """The smallest way found to write a relation: by the sights of its positions, or by cells."""
        if self._combinations(relation) <= MOST_TUPLES:
            return [self.axis_of(at, relation) for at in relation.scope]
        quantities = [i.name for i in relation.uses if i.source == "quantity"]
        if not quantities or any(name in EFFORT for name in quantities):
            return None
        sights = [self.axis_of(at, relation) for at in relation.parts]
        return self._within(sights, [q for q in dict.fromkeys(quantities) if self.problem.flow.scope[q]])

    def _combinations(self, relation: Relation) -> int:
        """How many combinations the sights of a relation have."""
        return prod(len(self.sights.groups(relation, at, self.domains[at])) for at in relation.scope)

    # -- relations

    def is_first(self, relation: Relation) -> bool:
        """Whether a relation is written before anything is solved."""
        return self.eager or self._combinations(relation) <= FIRST_TUPLES

    def write(self, relation: Relation) -> None:
        """Write a relation out, as far as that can be done."""
        self.waiting.pop(relation, None)
        axes = self.axes_for(relation)
        if axes is None:
            return
        for chosen, parts, known in tuples(axes):
            if self._refused(relation, parts, known):
                self.model.add_bool_or([~literal for literal in chosen])

    def _refused(self, relation: Relation, parts: Build, known: Mapping[str, Outcome]) -> bool:
        """Whether no build with these parts and outcomes can pass."""
        found = outlook(relation, parts, known)
        if found is None or found.verdict is Verdict.NO:
            return found is not None
        exact = all(outcome.single for outcome in known.values())
        return self.certain and found.verdict is Verdict.CHECK and not found.open and exact


def outlook(relation: Relation, parts: Build, known: Mapping[str, Outcome]) -> Outlook | None:
    """The quick answer of a relation on parts and outcomes of quantities; ``None`` where nothing can be told."""
    if not known:
        return relation.outlook(parts)
    if relation.rough is None or any(outcome.result is ANYTHING for outcome in known.values()):
        return None
    return relation.rough(parts, {name: outcome.result for name, outcome in known.items()})


def tuples(axes: Sequence[Axis]) -> Any:
    """Every combination of alternatives: its literals, its parts, its outcomes."""
    for index in product(*(range(len(axis.literals)) for axis in axes)):
        chosen = [axis.literals[i] for axis, i in zip(axes, index, strict=True)]
        parts: dict[str, Part | None] = {}
        known: dict[str, Outcome] = {}
        for axis, i in zip(axes, index, strict=True):
            parts.update(axis.parts[i])
            known.update(axis.known[i])
        yield chosen, parts, known
