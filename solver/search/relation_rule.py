"""Any relation made ready for pruning: listed where it is narrow, asked through its bound where it is wide."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import accumulate, product
from math import prod

from shared.part import Part
from shared.verdict import Verdict

from ..holding import plain
from ..relations import Build, Relation
from .rules import NOTHING, Candidates, Classes, Pruned, Work, bits

MOST_TUPLES = 400
# With no more than this the bound is not worth asking first.
FEW_TUPLES = 16
MOST_ROOT_TUPLES = 2000
# With more left open than this a bound hardly ever refuses anything.
MOST_BOUND_TUPLES = 20_000
MOST_ROOT_BOUND_TUPLES = 1_000_000
MOST_ASKED_ONE_BY_ONE = 9
QUICK, EXACT, BOUND = 1, 5, 10


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
        # For each position the class of each candidate.
        self.number = tuple(
            (v, {i: n for n, group in enumerate(groups) for i in group})
            for v, groups in zip(scope, classes, strict=True)
        )
        self.candidates = tuple(
            tuple(candidates[v][group[0]] for group in groups) for v, groups in zip(scope, classes, strict=True)
        )
        self.width = len(scope)
        self.dear = len(scope)
        self.full = tuple(len(c) for c in self.candidates)
        # Whether its bound is worth asking of each candidate by itself: hardly, where others make it speak.
        rule = relation.rule
        self.one_by_one = self.width <= MOST_ASKED_ONE_BY_ONE and (rule is None or plain(rule) is not None)
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
            found = self.exact[values] = self._lets_pass(build)
        return found

    def _lets_pass(self, build: Build) -> bool:
        """Whether the verdict on a build is no worse than may pass."""
        return self.relation.holds(build) if self.worst is Verdict.CHECK else self.relation.verdict(build) <= self.worst

    def _fails(self, build: Build) -> bool:
        """Whether a build may not pass, asked of one that is not asked again: the quick answer is not remembered."""
        quick = None if self.relation.rough is None else self.relation.rough(build, {})
        if quick is None or (quick.open and quick.verdict is Verdict.CHECK):
            return not self._lets_pass(build)
        return quick.verdict > self.worst

    def refused(self) -> int:
        """How many combinations of the candidates of the scope the relation refuses."""
        sizes = [[len(group) for group in groups] for groups in self.classes]
        found = 0
        for parts, many in zip(product(*self.candidates), product(*sizes), strict=True):
            # Each is asked once, so that nothing is gained by remembering it here too.
            self.work.spent += QUICK
            if self._fails(dict(zip(self.names, parts, strict=True))):
                found += prod(many)
        return found

    def holds(self, chosen: Sequence[int], quickly: bool) -> bool:
        """Whether one candidate for each position passes; asked ``quickly``, a no is sure."""
        values = tuple([own[chosen[v]] for v, own in self.number])
        return self.may_pass(values) if quickly else self.passes(values)

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
            if count > FEW_TUPLES and self.relation.bound is not None and self._beyond(self._open(lists)):
                return (0,) * len(lists)
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

    def like(self, position: int, gone: int) -> int:
        """The candidates of a position that would go with ``gone``, for the same reason."""
        axis = self.scope.index(position)
        return self._spread(axis, self._gather(axis, gone))

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
        last = self.longest
        others = [i for i in range(len(lists)) if i != last]
        # The classes at all other positions are the bits of one number, each position's beside the one before.
        shift = list(accumulate((self.full[i] for i in others), initial=0))
        seen, passed, whole = 0, 0, sum(opened[i] << at for i, at in zip(others, shift, strict=False))
        combinations = product(*(lists[i] for i in others))
        as_bits = product(*([1 << at + c for c in lists[i]] for i, at in zip(others, shift, strict=False)))
        for chosen, own in zip(combinations, map(sum, as_bits), strict=True):
            new = own & ~seen != 0
            wanted = opened[last] & ~passed
            passing = self._row(chosen, opened[last], wanted, new) if new or wanted else 0
            if passing:
                passed |= passing
                seen |= own
                if seen == whole and passed == opened[last]:
                    break
        left = [0] * len(lists)
        left[last] = passed
        for i, at in zip(others, shift, strict=False):
            left[i] = seen >> at & ((1 << self.full[i]) - 1)
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
        if not root or not self.one_by_one:
            return opened
        left = []
        for at, c, values in zip(self.names, self.candidates, lists, strict=True):
            mask = 0
            for i in values:
                if len(values) == 1 or not self._beyond({**domains, at: (c[i],)}):
                    mask |= 1 << i
            left.append(mask)
        return tuple(left)
