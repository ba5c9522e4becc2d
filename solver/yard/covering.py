"""The smallest set of cars that has everything: exact set cover.

Cars that offer the same are one; a car that offers no more than another is only looked at to settle ties.  The search
deepens one car at a time, always on the thing the fewest cars have, and remembers what it has proved.

Reference: exact hitting set by iterative deepening; Karp, "Reducibility among combinatorial problems", 1972, names the
problem (from memory).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from shared.errors import SwapwrightError

MOST_STEPS = 2_000_000


class _Cover:
    def __init__(self, masks: Sequence[int]) -> None:
        self.masks = masks
        self.steps = 0
        self.failed: set[tuple[int, int, int]] = set()

    def can(self, left: int, cars: int, start: int) -> bool:
        """Whether ``cars`` of the masks from ``start`` on cover all of ``left``."""
        if not left:
            return True
        if cars == 0 or (left, cars, start) in self.failed:
            return False
        self.steps += 1
        if self.steps > MOST_STEPS:
            raise SwapwrightError("the smallest set of cars could not be found in time: shorten the list of cars")
        open_masks = _undominated([m & left for m in self.masks[start:]])
        most = max((m.bit_count() for m in open_masks), default=0)
        if most * cars >= left.bit_count():
            rarest = min(_bits(left), key=lambda b: (sum(bool(m & b) for m in open_masks), b))
            for mask in open_masks:
                if mask & rarest and self.can(left & ~mask, cars - 1, start):
                    return True
        self.failed.add((left, cars, start))
        return False


def _bits(mask: int) -> Iterable[int]:
    while mask:
        low = mask & -mask
        yield low
        mask ^= low


def _undominated(masks: Iterable[int]) -> list[int]:
    """The masks that are not part of another, the largest first."""
    kept: list[int] = []
    for mask in sorted({m for m in masks if m}, key=lambda m: (-m.bit_count(), m)):
        if not any(mask & ~other == 0 for other in kept):
            kept.append(mask)
    return kept


def smallest_cover(choices: Sequence[Iterable[int]]) -> tuple[int, ...]:
    """The smallest set of numbers that meets every choice; among equals the one that comes first in order.

    Each choice lists the cars, by their number in walking order, that have one of the things wanted.

    >>> smallest_cover([{1, 4}, {2, 4}, {4, 7}, {9}])
    (4, 9)

    Raises ``ValueError`` where a choice is empty: that thing is nowhere.
    """
    wanted = [frozenset(c) for c in choices]
    if not all(wanted):
        raise ValueError("a thing that no car has cannot be covered")
    offers: dict[int, int] = {}
    for i, cars in enumerate(wanted):
        for car in cars:
            offers[car] = offers.get(car, 0) | 1 << i
    first: dict[int, int] = {}
    for car in sorted(offers):
        first.setdefault(offers[car], car)
    order = sorted(first.values())
    masks = [offers[car] for car in order]
    everything = (1 << len(wanted)) - 1
    search = _Cover(masks)
    size = next(k for k in range(len(wanted) + 1) if search.can(everything, k, 0))
    chosen: list[int] = []
    left = everything
    for i, mask in enumerate(masks):
        if left and search.can(left & ~mask, size - len(chosen) - 1, i + 1):
            chosen.append(order[i])
            left &= ~mask
    return tuple(chosen)
