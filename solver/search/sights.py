"""Sights: candidates that show a relation, or a computation, the same.

A relation tells by itself what it looks at (:meth:`solver.relations.Relation.alike`); a computation reads figures.
Here candidates are put into groups by that.

Invariant: in any build a candidate can be put in place of another of its group, and whatever looked sees the same.
"""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass, field

from shared.part import Part

from ..problem import Problem
from ..relations import Relation

Group = tuple[Part | None, ...]
# What looks: a relation, or a computation that reads these attributes.
Look = Relation | tuple[str, ...]


@dataclass
class Sights:
    """The sights of one problem's candidates; groups once made are remembered."""

    problem: Problem
    _groups: dict[tuple[Look, str, Group], tuple[Group, ...]] = field(default_factory=dict)

    def sight(self, look: Look, at: str, part: Part | None) -> Hashable:
        """What is seen of a candidate; figures below the goal's trust are told from those above it."""
        if isinstance(look, Relation):
            return look.alike(at, part)
        trust = self.problem.goal.trust
        seen = (self.problem.flow.sight(at, part, path) for path in look)
        return part is None, *((value, evidence >= trust, owner) for value, evidence, owner in seen)

    def groups(self, look: Look, at: str, parts: Group) -> tuple[Group, ...]:
        """Candidates in groups of equal sight, in the order given."""
        key = (look, at, parts)
        if key not in self._groups:
            found: dict[Hashable, list[Part | None]] = {}
            for part in parts:
                found.setdefault(self.sight(look, at, part), []).append(part)
            self._groups[key] = tuple(tuple(members) for members in found.values())
        return self._groups[key]

    def group_of(self, look: Look, at: str, parts: Group, part: Part | None) -> Group:
        """The group a candidate is in."""
        return next(g for g in self.groups(look, at, parts) if any(p is part for p in g))
