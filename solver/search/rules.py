"""Relations made ready for pruning sets of candidates.

A rule is asked with the open candidates of every position (the bits of integers) and answers which of them it
leaves, and on which positions that hangs.  Answers are remembered by the open candidates of the scope.

Invariant: a candidate is removed only if no build out of the open candidates that has it passes the relation.
When every position of the scope holds one candidate, what is left is exactly what the relation's verdict says.
"""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Protocol

from shared.part import Part

from ..relations import Relation

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
    # What comes first where several have to be asked: about as many positions as a relation as dear to ask looks at.
    dear: int

    def prune(self, masks: Sequence[int], root: bool) -> Pruned:
        """What is left of the open candidates."""

    def holds(self, chosen: Sequence[int], quickly: bool) -> bool:
        """Whether one candidate for each position passes; asked ``quickly``, a no is sure."""

    def because(self, position: int, gone: int, masks: Sequence[int]) -> dict[int, int]:
        """For each position the missing candidates that ``gone`` going from ``position`` hung on."""

    def like(self, position: int, gone: int) -> int:
        """The candidates of a position that would go with ``gone``, for the same reason."""

    def entailed(self, masks: Sequence[int]) -> bool:
        """Whether it is certain that every combination of the open candidates passes."""
