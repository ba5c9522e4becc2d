"""Relations made ready for pruning sets of candidates.

A rule is asked with the open candidates of every position (the bits of integers) and answers which of them it
leaves, and on which positions that hangs.  Answers are remembered by the open candidates of the scope.

Invariant: a candidate is removed only if no build out of the open candidates that has it passes the relation.
When every position of the scope holds one candidate, what is left is exactly what the relation's verdict says.
"""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import product
from math import prod
from typing import Protocol

from shared.part import Part
from shared.verdict import Verdict

from ..relations import Relation

MOST_TUPLES = 400
MOST_ROOT_TUPLES = 2000
# With more left open than this a bound hardly ever refuses anything.
MOST_BOUND_TUPLES = 20_000
MOST_ROOT_BOUND_TUPLES = 1_000_000
MOST_ASKED_ONE_BY_ONE = 9

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


@dataclass
class Work:
    """What working out the rules has cost so far, in quick answers: the same on every machine, as seconds are not.

    ``nodes`` counts the choices tried, which cost time of their own.  ``generous`` is how many more bounds may be
    asked only to make a reason smaller.
    """

    spent: int = 0
    nodes: int = 0
    generous: int = 0


QUICK, EXACT, BOUND = 1, 5, 10


Classes = tuple[tuple[int, ...], ...]
"""The interchange classes of a position, each the numbers of its candidates; ordered by their first member."""


def classes_of(relation: Relation, names: Sequence[str], candidates: Candidates) -> list[Classes]:
    """For some positions their candidates in classes that a relation cannot tell apart."""
    found = []
    for at, parts in zip(names, candidates, strict=True):
        groups: dict[Hashable, list[int]] = {}
        for number, part in enumerate(parts):
            groups.setdefault(relation.alike(at, part), []).append(number)
        found.append(tuple(tuple(members) for members in groups.values()))
    return found


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
    """Any relation: pruned by listing where it is narrow, by its bound where it is wide.

    A combination passes whose verdict is no worse than ``worst``.  Inside, each position counts in interchange
    classes (see :meth:`solver.relations.Relation.alike`); only what comes in and what goes out counts in candidates.
    """

    def __init__(
        self,
        relation: Relation,
        scope: tuple[int, ...],
        positions: Sequence[str],
        candidates: Candidates,
        classes: Sequence[Classes],
        work: Work | None = None,
        worst: Verdict = Verdict.CHECK,
    ) -> None:
        self.worst = worst
        self.work = work or Work()
        self.relation = relation
        self.scope = scope
        self.names = tuple(positions[v] for v in scope)
        self.classes = tuple(classes)
        self.members = tuple(tuple(sum(1 << i for i in group) for group in groups) for groups in classes)
        self.candidates = tuple(
            tuple(candidates[v][group[0]] for group in groups) for v, groups in zip(scope, classes, strict=True)
        )
        self.width = len(scope)
        self.full = tuple(len(c) for c in self.candidates)
        self.longest = max(range(self.width), key=lambda i: (self.full[i], -i), default=0)
        self.gathered: list[dict[int, int]] = [{} for _ in scope]
        self.rows: dict[tuple[int, ...], tuple[int, int]] = {}
        self.rough: dict[tuple[int, ...], bool] = {}
        self.exact: dict[tuple[int, ...], bool] = {}
        self.certain: dict[tuple[int, ...], bool] = {}
        self.memo: dict[tuple[bool, tuple[int, ...]], tuple[int, ...]] = {}
        self.reasons: dict[tuple[int, tuple[int, ...]], tuple[int, ...]] = {}

    # -- between candidates and classes

    def _gather(self, axis: int, mask: int) -> int:
        """The classes any of some candidates belong to."""
        known = self.gathered[axis]
        found = known.get(mask)
        if found is None:
            found = known[mask] = sum(1 << i for i, group in enumerate(self.members[axis]) if group & mask)
        return found

    def _spread(self, axis: int, classes: int) -> int:
        """The candidates of some classes."""
        return sum(self.members[axis][i] for i in bits(classes))

    # -- single combinations

    def may_pass(self, values: tuple[int, ...]) -> bool:
        """The quick answer to one class for each of its positions: a no is sure."""
        found = self.rough.get(values)
        if found is None:
            build = {at: c[i] for at, c, i in zip(self.names, self.candidates, values, strict=True)}
            self.work.spent += QUICK
            outlook = self.relation.outlook(build)
            found = outlook.verdict is not Verdict.NO
            if not outlook.open:
                found = self.exact[values] = outlook.verdict <= self.worst
            self.rough[values] = found
        return found

    def passes(self, values: tuple[int, ...]) -> bool:
        """Whether the relation lets one class for each of its positions pass."""
        if not self.may_pass(values):
            return False
        found = self.exact.get(values)
        if found is None:
            build = {at: c[i] for at, c, i in zip(self.names, self.candidates, values, strict=True)}
            self.work.spent += EXACT
            found = self.exact[values] = self.relation.verdict(build) <= self.worst
        return found

    def refused(self) -> int:
        """How many combinations of the candidates of the scope the relation refuses."""
        sizes = [[len(group) for group in groups] for groups in self.classes]
        found = 0
        for values in product(*(range(size) for size in self.full)):
            # Each is asked once, so that nothing is gained by remembering it here too.
            build = {at: c[i] for at, c, i in zip(self.names, self.candidates, values, strict=True)}
            self.work.spent += QUICK
            outlook = self.relation.outlook(build)
            doubted = outlook.open and outlook.verdict is Verdict.CHECK
            if (self.relation.verdict(build) if doubted else outlook.verdict) > self.worst:
                found += prod([row[i] for row, i in zip(sizes, values, strict=True)])
        return found

    # -- pruning

    def prune(self, masks: Sequence[int], root: bool) -> Pruned:
        """What is left of the open candidates."""
        opened = tuple([self._gather(i, masks[v]) for i, v in enumerate(self.scope)])
        key = (root, opened)
        left = self.memo.get(key)
        if left is None:
            left = self.memo[key] = self._prune(opened, root)
        if left == opened:
            return NOTHING
        return Pruned(
            tuple(
                (v, masks[v] & self._spread(i, new))
                for i, (v, old, new) in enumerate(zip(self.scope, opened, left, strict=True))
                if new != old
            )
        )

    def _prune(self, opened: tuple[int, ...], root: bool) -> tuple[int, ...]:
        lists = [bits(mask) for mask in opened]
        count = prod(map(len, lists))
        if count == 1:
            return opened if self.passes(tuple(values[0] for values in lists)) else (0,) * len(lists)
        if count <= (MOST_ROOT_TUPLES if root else MOST_TUPLES):
            return self._supported(lists, opened)
        if self.relation.bound is None or count > (MOST_ROOT_BOUND_TUPLES if root else MOST_BOUND_TUPLES):
            return opened
        return self._bounded(lists, opened, root)

    def because(self, position: int, gone: int, masks: Sequence[int]) -> dict[int, int]:
        """For each position the missing candidates that ``gone`` going from ``position`` hung on."""
        axis = self.scope.index(position)
        opened = tuple(self._gather(i, gone if i == axis else masks[v]) for i, v in enumerate(self.scope))
        key = (axis, opened)
        found = self.reasons.get(key)
        if found is None:
            found = self.reasons[key] = self._because(axis, opened)
        return {
            v: self._spread(i, needed) for i, (v, needed) in enumerate(zip(self.scope, found, strict=True)) if needed
        }

    def _because(self, axis: int, opened: tuple[int, ...]) -> tuple[int, ...]:
        missing = [0 if i == axis else ((1 << self.full[i]) - 1) & ~mask for i, mask in enumerate(opened)]
        values = bits(opened[axis])
        if len(values) * prod(size for i, size in enumerate(self.full) if i != axis) > MOST_TUPLES:
            return self._widened(axis, list(opened), missing)
        needed = [0] * len(self.scope)
        for combination in product(*(values if i == axis else range(size) for i, size in enumerate(self.full))):
            if not self.may_pass(combination):
                continue
            absent = [i for i, chosen in enumerate(combination) if missing[i] >> chosen & 1]
            if not absent:
                return tuple(missing)
            if not any(needed[i] >> combination[i] & 1 for i in absent):
                needed[absent[0]] |= 1 << combination[absent[0]]
        return tuple(needed)

    def _widened(self, axis: int, opened: list[int], missing: list[int]) -> tuple[int, ...]:
        """Give the missing classes back, position by position, wherever the relation refuses all the same."""
        for i in sorted(range(self.width), key=lambda i: (self.full[i], i)):
            if missing[i] and self.work.generous > 0:
                before = opened[i]
                opened[i] |= missing[i]
                if self._refuses(axis, opened):
                    missing[i] = 0
                else:
                    opened[i] = before
        return tuple(missing)

    def _refuses(self, axis: int, opened: Sequence[int]) -> bool:
        """Whether the relation surely refuses each open class of one position with whatever else is open."""
        lists = [bits(mask) for mask in opened]
        if prod(map(len, lists)) <= MOST_TUPLES:
            return not any(self.may_pass(combination) for combination in product(*lists))
        if self.relation.bound is None:
            return False
        self.work.generous -= 1
        domains = self._open(lists)
        return self._beyond(domains) or (
            len(lists[axis]) > 1
            and all(self._beyond({**domains, self.names[axis]: (self.candidates[axis][i],)}) for i in lists[axis])
        )

    def _beyond(self, domains: Mapping[str, tuple[Part | None, ...]]) -> bool:
        """Whether the bound refuses everything out of some candidates."""
        assert self.relation.bound is not None
        self.work.spent += BOUND
        return self.relation.bound(domains) is Verdict.NO

    def _open(self, lists: Sequence[tuple[int, ...]]) -> dict[str, tuple[Part | None, ...]]:
        """One candidate of each open class by position."""
        return {
            at: tuple(c[i] for i in values) for at, c, values in zip(self.names, self.candidates, lists, strict=True)
        }

    def entailed(self, masks: Sequence[int]) -> bool:
        """Whether it is certain that every combination of the open candidates passes."""
        key = tuple([self._gather(i, masks[v]) for i, v in enumerate(self.scope)])
        found = self.certain.get(key)
        if found is None:
            lists = [bits(mask) for mask in key]
            found = prod(map(len, lists)) <= MOST_TUPLES and all(self.passes(c) for c in product(*lists))
            self.certain[key] = found
        return found

    def _supported(self, lists: Sequence[tuple[int, ...]], opened: Sequence[int]) -> tuple[int, ...]:
        """The classes that are in some combination the relation passes.

        The position with most classes is asked a row at a time: the bits of all of them at once.
        """
        left = [0] * len(lists)
        last = self.longest
        others = [i for i in range(len(lists)) if i != last]
        for chosen in product(*(lists[i] for i in others)):
            new = any(not left[i] >> c & 1 for i, c in zip(others, chosen, strict=True))
            passing = self._row(chosen, opened[last], opened[last] & ~left[last], new)
            if passing:
                left[last] |= passing
                for i, c in zip(others, chosen, strict=True):
                    left[i] |= 1 << c
        return tuple(left)

    def _row(self, chosen: tuple[int, ...], opened: int, wanted: int, any_of: bool) -> int:
        """Those of ``opened`` at the longest position that pass with the others chosen.

        All of ``wanted`` are asked; with ``any_of`` also others until one passes.
        """
        known, passing = self.rows.get(chosen, (0, 0))
        if (wanted & ~known) or (any_of and not passing & opened and opened & ~known):
            last = self.longest
            for i in bits(opened & ~known):
                if wanted >> i & 1 or (any_of and not passing & opened):
                    known |= 1 << i
                    if self.may_pass((*chosen[:last], i, *chosen[last:])):
                        passing |= 1 << i
            self.rows[chosen] = (known, passing)
        return passing & opened

    def _bounded(self, lists: Sequence[tuple[int, ...]], opened: tuple[int, ...], root: bool) -> tuple[int, ...]:
        """The classes the relation's bound does not refuse; one by one only at the root of a search."""
        domains = self._open(lists)
        if self._beyond(domains):
            return (0,) * len(lists)
        if not root or self.width > MOST_ASKED_ONE_BY_ONE:
            return opened
        left = []
        for at, c, values in zip(self.names, self.candidates, lists, strict=True):
            mask = 0
            for i in values:
                if len(values) == 1 or not self._beyond({**domains, at: (c[i],)}):
                    mask |= 1 << i
            left.append(mask)
        return tuple(left)
