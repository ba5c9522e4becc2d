"""Sources of which no table is made yet, and how often they would have to be asked.

To a source the values of a position are alike that show it the same; it is asked once for each combination of those.

Invariant: values with the same number at a position cost the same in every build that is else the same.
"""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from dataclasses import dataclass, field, replace
from math import prod

import numpy as np
from numpy.typing import NDArray

from shared.part import Part

from .sources import Source

# What the goal asks makes builds dear, rules mostly do not: its tables are worth so many times the questions.  This
# changes the time, never the answer.
GOAL_TELLS = 4

Numbers = NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class Waiting:
    """A source; for each position of its scope the number of what it sees of every value; the answers it has given,
    by such numbers; and how often it would have to be asked at the most."""

    source: Source
    seen: tuple[Numbers, ...]
    told_apart: tuple[int, ...]
    answers: dict[tuple[int, ...], int] = field(default_factory=dict)

    @property
    def often(self) -> int:
        """How often it would have to be asked at the most."""
        return prod(self.told_apart)

    @property
    def dear(self) -> float:
        """How often it would have to be asked, for what its table is worth: less where the goal asks."""
        return self.often / (GOAL_TELLS if self.source.of_goal else 1)

    def kept(self, values: Sequence[Numbers]) -> Waiting:
        """The same source when of every variable only some values are left."""
        if all(len(values[v]) == len(own) for v, own in zip(self.source.scope, self.seen, strict=True)):
            return self
        seen = [
            own if len(values[v]) == len(own) else own[values[v]]
            for v, own in zip(self.source.scope, self.seen, strict=True)
        ]
        told = [
            count if new is old else different(new)
            for new, old, count in zip(seen, self.seen, self.told_apart, strict=True)
        ]
        return replace(self, seen=tuple(seen), told_apart=tuple(told))


def waiting_for(source: Source, positions: Sequence[str], firsts: Sequence[Sequence[Part | None]]) -> Waiting:
    """A source that waits; ``firsts`` are for each position the parts that stand for its values."""
    seen = []
    for v in source.scope:
        numbers: dict[Hashable, int] = {}
        at = positions[v]
        seen.append(np.array([numbers.setdefault(source.alike(at, part), len(numbers)) for part in firsts[v]]))
    return Waiting(source, tuple(seen), tuple(map(different, seen)))


def different(numbers: Numbers) -> int:
    """How many different numbers there are, none below 0."""
    return int(np.count_nonzero(np.bincount(numbers)))
