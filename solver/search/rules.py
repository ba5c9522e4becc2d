"""Relations made ready for pruning sets of candidates.

A rule is asked with the open candidates of every position (the bits of integers) and answers which of them it
leaves, and on which positions that hangs.  Answers are remembered by the open candidates of the scope.

Invariant: a candidate is removed only if no build out of the open candidates that has it passes the relation.
When every position of the scope holds one candidate, what is left is exactly what the relation's verdict says.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from itertools import product
from typing import Protocol

from shared.part import Part
from shared.verdict import Verdict

from ..relations import Relation

MOST_TUPLES = 400
MOST_ROOT_TUPLES = 2000

Masks = list[int]
Candidates = Sequence[tuple[Part | None, ...]]


@cache
def bits(mask: int) -> tuple[int, ...]:
    """The numbers of the bits of a mask, lowest first."""
    found = []
    while mask:
        low = mask & -mask
        found.append(low.bit_length() - 1)
        mask ^= low
    return tuple(found)


@dataclass(frozen=True)
class Pruned:
    """What is left at each position that lost something."""

    kept: tuple[tuple[int, int], ...]


NOTHING = Pruned(())


class Rule(Protocol):
    """Anything that prunes."""

    relation: Relation
    scope: tuple[int, ...]
    width: int

    def prune(self, masks: Sequence[int], root: bool) -> Pruned:
        """What is left of the open candidates."""

    def because(self, position: int, gone: int, masks: Sequence[int]) -> dict[int, int]:
        """For each position the missing candidates that ``gone`` going from ``position`` hung on."""

    def entailed(self, masks: Sequence[int]) -> bool:
        """Whether it is certain that every combination of the open candidates passes."""


class RelationRule:
    """Any relation: pruned by listing where it is narrow, by its bound where it is wide."""

    def __init__(
        self, relation: Relation, scope: tuple[int, ...], positions: Sequence[str], candidates: Candidates
    ) -> None:
        self.relation = relation
        self.scope = scope
        self.names = tuple(positions[v] for v in scope)
        self.candidates = tuple(candidates[v] for v in scope)
        self.width = len(scope)
        self.full = tuple(len(c) for c in self.candidates)
        self.rough: dict[tuple[int, ...], bool] = {}
        self.exact: dict[tuple[int, ...], bool] = {}
        self.certain: dict[tuple[int, ...], bool] = {}
        self.memo: dict[tuple[bool, tuple[int, ...]], Pruned] = {}

    def may_pass(self, values: tuple[int, ...]) -> bool:
        """The quick answer to one candidate for each of its positions: a no is sure."""
        found = self.rough.get(values)
        if found is None:
            build = {at: c[i] for at, c, i in zip(self.names, self.candidates, values, strict=True)}
            outlook = self.relation.outlook(build, {})
            found = self.rough[values] = outlook.verdict is not Verdict.NO
            if not outlook.open:
                self.exact[values] = found
        return found

    def passes(self, values: tuple[int, ...]) -> bool:
        """Whether the relation does not say no to one candidate for each of its positions."""
        if not self.may_pass(values):
            return False
        found = self.exact.get(values)
        if found is None:
            build = {at: c[i] for at, c, i in zip(self.names, self.candidates, values, strict=True)}
            found = self.exact[values] = self.relation.verdict(build) is not Verdict.NO
        return found

    def prune(self, masks: Sequence[int], root: bool) -> Pruned:
        """What is left of the open candidates."""
        key = (root, tuple([masks[v] for v in self.scope]))
        found = self.memo.get(key)
        if found is None:
            found = self.memo[key] = self._prune(key[1], root)
        return found

    def _prune(self, opened: tuple[int, ...], root: bool) -> Pruned:
        lists = [bits(mask) for mask in opened]
        count = 1
        for values in lists:
            count *= len(values)
        if count == 1:
            left = list(opened) if self.passes(tuple(values[0] for values in lists)) else [0] * len(lists)
        elif count <= (MOST_ROOT_TUPLES if root else MOST_TUPLES):
            left = self._supported(lists)
        elif self.relation.bound is None:
            return NOTHING
        else:
            left = self._bounded(lists, root)
        kept = tuple((v, new) for v, old, new in zip(self.scope, opened, left, strict=True) if new != old)
        return Pruned(kept) if kept else NOTHING

    def because(self, position: int, gone: int, masks: Sequence[int]) -> dict[int, int]:
        """For each position the missing candidates that ``gone`` going from ``position`` hung on."""
        axis = self.scope.index(position)
        missing = [((1 << size) - 1) & ~masks[v] for v, size in zip(self.scope, self.full, strict=True)]
        values = bits(gone)
        count = len(values)
        for i, size in enumerate(self.full):
            count *= 1 if i == axis else size
        if count > MOST_TUPLES:
            return {v: mask for v, mask in zip(self.scope, missing, strict=True) if mask}
        needed = [0] * len(self.scope)
        for combination in product(*(values if i == axis else range(size) for i, size in enumerate(self.full))):
            if not self.may_pass(combination):
                continue
            absent = [i for i, chosen in enumerate(combination) if i != axis and missing[i] >> chosen & 1]
            if not absent:
                return {v: mask for v, mask in zip(self.scope, missing, strict=True) if mask}
            if not any(needed[i] >> combination[i] & 1 for i in absent):
                needed[absent[0]] |= 1 << combination[absent[0]]
        return {v: mask for v, mask in zip(self.scope, needed, strict=True) if mask}

    def entailed(self, masks: Sequence[int]) -> bool:
        """Whether it is certain that every combination of the open candidates passes."""
        key = tuple([masks[v] for v in self.scope])
        found = self.certain.get(key)
        if found is None:
            lists = [bits(mask) for mask in key]
            count = 1
            for values in lists:
                count *= len(values)
            found = count <= MOST_TUPLES and all(self.passes(c) for c in product(*lists))
            self.certain[key] = found
        return found

    def _supported(self, lists: Sequence[tuple[int, ...]]) -> list[int]:
        """The candidates that are in some combination the relation passes."""
        left = [0] * len(lists)
        for axis, values in enumerate(lists):
            for value in values:
                if left[axis] >> value & 1:
                    continue
                narrowed = [(value,) if i == axis else other for i, other in enumerate(lists)]
                for combination in product(*narrowed):
                    if self.may_pass(combination):
                        for i, chosen in enumerate(combination):
                            left[i] |= 1 << chosen
                        break
        return left

    def _bounded(self, lists: Sequence[tuple[int, ...]], root: bool) -> list[int]:
        """The candidates the relation's bound does not refuse; one by one only at the root of a search."""
        bound = self.relation.bound
        assert bound is not None
        domains: dict[str, tuple[Part | None, ...]] = {
            at: tuple(c[i] for i in values) for at, c, values in zip(self.names, self.candidates, lists, strict=True)
        }
        full = [sum(1 << i for i in values) for values in lists]
        if bound(domains) is Verdict.NO:
            return [0 for _ in full]
        if not root:
            return full
        left = []
        for at, c, values in zip(self.names, self.candidates, lists, strict=True):
            mask = 0
            for i in values:
                if len(values) == 1 or bound({**domains, at: (c[i],)}) is not Verdict.NO:
                    mask |= 1 << i
            left.append(mask)
        return left
