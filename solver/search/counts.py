"""How many builds pass some relations: exact whole numbers, however large.

The count branches on candidates like the search, but it multiplies instead of listing: a relation that every
open combination passes is done with, positions that no open relation joins are counted apart, and what has been
counted once is remembered.

Reference: Bayardo and Pehoushek, "Counting models using connected components", AAAI 2000 (from memory).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from shared.part import Part

from ..relations import Relation
from .enumeration import LimitReached
from .possible import Possible
from .rules import Rule, bits

MOST_NODES = 20_000


@dataclass
class Counter:
    """Counts builds of one problem; raises ``LimitReached`` past ``nodes`` branchings, or ``work``, in all."""

    possible: Possible
    nodes: int = MOST_NODES
    work: int | None = None
    _memo: dict[tuple[object, ...], int] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self._until = None if self.work is None else self.possible.work.spent + self.work

    def count(self, relations: Sequence[Relation], forced: Mapping[str, Sequence[Part | None]] | None = None) -> int:
        """How many builds pass these relations with ``forced`` candidates only."""
        masks = [(1 << len(c)) - 1 for c in self.possible.candidates]
        for at, parts in (forced or {}).items():
            masks[self.possible.number[at]] &= self.possible.mask(at, parts)
        rules = tuple(self.possible.rule(r) for r in relations)
        return self._count(masks, tuple(range(len(masks))), rules)

    def _pruned(self, masks: list[int], rules: Sequence[Rule]) -> bool:
        """Prune until nothing changes; false if nothing is left somewhere."""
        if not all(masks):
            return False
        waiting = list(rules)
        while waiting:
            rule = waiting.pop(0)
            for v, left in rule.prune(masks, False).kept:
                if left == masks[v]:
                    continue
                masks[v] = left
                if not left:
                    return False
                waiting += [r for r in rules if v in r.scope and r not in waiting]
        return True

    def _count(self, masks: list[int], positions: tuple[int, ...], rules: Sequence[Rule]) -> int:
        """The product over groups of positions that open rules join; ``masks`` may be changed."""
        if not self._pruned(masks, rules):
            return 0
        opened = [r for r in rules if not r.entailed(masks)]
        total = 1
        for group, joined in _groups(masks, positions, opened):
            total *= self._group(masks, group, joined) if joined else masks[group[0]].bit_count()
            if not total:
                return 0
        return total

    def _group(self, masks: list[int], group: tuple[int, ...], rules: Sequence[Rule]) -> int:
        scope = sorted({v for r in rules for v in r.scope})
        key = (tuple(id(r) for r in rules), tuple((v, masks[v]) for v in scope))
        found = self._memo.get(key)
        if found is None:
            branch = min(
                (v for v in group if masks[v].bit_count() > 1),
                key=lambda v: (-sum(v in r.scope for r in rules), masks[v].bit_count(), v),
                default=None,
            )
            found = 0
            if branch is not None:
                for value in bits(masks[branch]):
                    self.nodes -= 1
                    if self.nodes < 0 or (self._until is not None and self.possible.work.spent > self._until):
                        raise LimitReached("there are too many builds to count")
                    below = list(masks)
                    below[branch] = 1 << value
                    found += self._count(below, group, rules)
            self._memo[key] = found
        return found


def _groups(
    masks: Sequence[int], positions: Sequence[int], rules: Sequence[Rule]
) -> list[tuple[tuple[int, ...], list[Rule]]]:
    """The open positions in groups that rules join, each with its rules; settled positions are left out."""
    home = {v: v for v in positions if masks[v] & (masks[v] - 1)}

    def root(v: int) -> int:
        while home[v] != v:
            v = home[v]
        return v

    for rule in rules:
        joined = [v for v in rule.scope if v in home]
        for v in joined[1:]:
            one, two = sorted((root(joined[0]), root(v)))
            home[two] = one
    found: dict[int, tuple[list[int], list[Rule]]] = {}
    for v in home:
        found.setdefault(root(v), ([], []))[0].append(v)
    for rule in rules:
        joined = [v for v in rule.scope if v in home]
        if joined:
            found[root(joined[0])][1].append(rule)
    return [(tuple(members), own) for members, own in found.values()]
