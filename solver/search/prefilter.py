"""First step: candidates that cannot be part of any build go, and leave their reason.

A candidate goes when a relation that looks at its position alone says no, when a relation of two or three
positions says no to it with every candidate left elsewhere, or when the bounds of a wider relation say no to it
whatever the rest is.  This is repeated until nothing goes any more.

Invariant: a removed candidate is in no build that passes all hard relations; nothing else is removed.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from itertools import product

from shared.part import Part
from shared.verdict import Verdict

from ..relations import Relation

MOST_TUPLES = 400
Domains = Mapping[str, tuple[Part | None, ...]]


@dataclass
class Filtered:
    """What is left, and for every candidate that went the relation that removed it."""

    domains: dict[str, tuple[Part | None, ...]]
    removed: dict[tuple[str, str], Relation] = field(default_factory=dict)
    empty: str | None = None


def key(part: Part | None) -> str:
    """A candidate's id; an empty position has the empty one."""
    return "" if part is None else part.id


def _supported(relation: Relation, position: str, part: Part | None, domains: Domains) -> bool:
    """Whether some choice of the other positions lets the relation pass."""
    others = [p for p in relation.scope if p != position]
    for parts in product(*(domains[p] for p in others)):
        build = dict(zip(others, parts, strict=True))
        build[position] = part
        if relation.outlook(build, {}).verdict is not Verdict.NO:
            return True
    return False


def _passes(relation: Relation, position: str, part: Part | None, domains: Domains) -> bool:
    size = 1
    for p in relation.scope:
        if p != position:
            size *= len(domains[p])
    if size <= MOST_TUPLES:
        return _supported(relation, position, part, domains)
    if relation.bound is None:
        return True
    narrowed = dict(domains)
    narrowed[position] = (part,)
    return relation.bound(narrowed) is not Verdict.NO


def prefilter(domains: Domains, relations: Sequence[Relation]) -> Filtered:
    """Remove candidates until every one left is supported by every relation on its own."""
    left = {at: tuple(parts) for at, parts in domains.items()}
    result = Filtered(left)
    touching: dict[str, list[Relation]] = {at: [] for at in left}
    for relation in relations:
        for at in relation.scope:
            touching[at].append(relation)
    waiting = sorted(relations, key=lambda r: (len(r.scope), r.name))
    queued = {r.name for r in waiting}
    while waiting:
        relation = waiting.pop(0)
        queued.discard(relation.name)
        if not relation.scope or (len(relation.scope) > 3 and relation.bound is None):
            continue
        for at in relation.scope:
            kept = []
            for part in left[at]:
                if _passes(relation, at, part, left):
                    kept.append(part)
                else:
                    result.removed[(at, key(part))] = relation
            if len(kept) < len(left[at]):
                left[at] = tuple(kept)
                if not kept:
                    result.empty = at
                    return result
                for other in touching[at]:
                    if other.name not in queued and other is not relation:
                        waiting.append(other)
                        queued.add(other.name)
    return result
