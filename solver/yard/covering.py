"""The smallest set of cars that has everything, and enough of it: exact set cover, with how often each thing is wanted.

The search deepens one car at a time, always on the thing the fewest cars have, and remembers what it has proved.  A car
that offers no more than another is taken only once that other is: exchanged for it, a set would be as good.  Where the
work it is given ends first, a set that has everything is given all the same, with how few cars are proved not to do.

References: exact hitting set by iterative deepening; Karp, "Reducibility among combinatorial problems", 1972, names the
problem; the greedy set is Chvatal's, "A greedy heuristic for the set-covering problem", 1979 (from memory).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass

MOST_LOOKED_AT = 4_000_000  # cars looked at in all steps of the search together
Needs = tuple[int, ...]


@dataclass(frozen=True)
class Cover:
    """A set of cars that has everything wanted, and how few could: as many as there are where it is proved smallest."""

    cars: tuple[int, ...]
    at_least: int


class _OutOfWork(Exception):
    """The work a search was given has ended."""


class _Search:
    """``offers`` tells of each car which things it has, as bits; so do ``free`` sets of cars, by their places here."""

    def __init__(self, offers: Sequence[int], work: int) -> None:
        self.offers = offers
        self.left = work
        self.failed: set[tuple[Needs, int, int]] = set()

    def without(self, needs: Needs, car: int) -> Needs:
        """What is still needed when a car is taken."""
        return tuple(n - (n > 0 and self.offers[car] >> i & 1) for i, n in enumerate(needs))

    def found(self, needs: Needs, cars: int, free: int) -> tuple[int, ...] | None:
        """Some ``cars`` of the free ones, or fewer, that have all that is needed; ``None`` where no so many have it."""
        if not any(needs):
            return ()
        if cars == 0 or (needs, cars, free) in self.failed:
            return None
        for car, rest in self._worth(needs, cars, free):
            others = self.found(self.without(needs, car), cars - 1, rest)
            if others is not None:
                return (car, *others)
        self.failed.add((needs, cars, free))
        return None

    def _worth(self, needs: Needs, cars: int, free: int) -> Iterator[tuple[int, int]]:
        """The cars worth trying next, each with the ones left after it; none where there cannot be enough of them."""
        wanted = _wanted(needs)
        open_offers = {car: offer for car in _bits(free) if (offer := self.offers[car] & wanted)}
        self.left -= len(open_offers)
        if self.left < 0:
            raise _OutOfWork
        having = [sum(offer >> i & 1 for offer in open_offers.values()) for i in range(len(needs))]
        most = sorted((offer.bit_count() for offer in open_offers.values()), reverse=True)
        if sum(most[:cars]) < sum(needs) or any(n > min(cars, h) for n, h in zip(needs, having, strict=True)):
            return
        rarest = min(_bits(wanted), key=lambda i: (having[i], i))
        for car in _undominated({car: offer for car, offer in open_offers.items() if offer >> rarest & 1}):
            free &= ~(1 << car)
            yield car, free

    def greedy(self, needs: Needs) -> tuple[int, ...]:
        """A set that has everything: each time the car that has most of what is needed; then what is spare goes."""
        taken: list[int] = []
        left = needs
        while any(left):
            wanted = _wanted(left)
            free = (car for car in range(len(self.offers)) if car not in taken)
            taken.append(max(free, key=lambda car: ((self.offers[car] & wanted).bit_count(), -car)))
            left = self.without(left, taken[-1])
        for car in tuple(taken):
            rest = needs
            for other in taken:
                rest = rest if other == car else self.without(rest, other)
            if not any(rest):
                taken.remove(car)
        return tuple(taken)


def _wanted(needs: Needs) -> int:
    return sum(1 << i for i, n in enumerate(needs) if n)


def _bits(mask: int) -> Iterator[int]:
    while mask:
        low = mask & -mask
        yield low.bit_length() - 1
        mask ^= low


def _undominated(offers: dict[int, int]) -> list[int]:
    """The cars whose offer is not part of another's, the largest first; of those that offer the same the first."""
    kept: list[int] = []
    for car in sorted(offers, key=lambda car: (-offers[car].bit_count(), car)):
        if not any(offers[car] & ~offers[other] == 0 for other in kept):
            kept.append(car)
    return kept


def smallest_cover(
    choices: Sequence[Iterable[int]], counts: Sequence[int] | None = None, work: int = MOST_LOOKED_AT
) -> Cover:
    """The smallest set of numbers that meets every choice; among equals the one that comes first in order.

    Each choice lists the cars, by their number in walking order, that have one of the things wanted; ``counts`` says
    off how many different cars each is wanted, one unless told.

    >>> smallest_cover([{1, 4}, {2, 4}, {4, 7}, {9}])
    Cover(cars=(4, 9), at_least=2)
    >>> smallest_cover([{1, 4, 7}, {2, 7}], [2, 1]).cars
    (1, 7)

    Where ``work`` ends before that is proved, it is a set that has everything, and ``at_least`` how few might do.
    Raises ``ValueError`` where a choice has fewer cars than are wanted of it: so much is nowhere.
    """
    wanted = [frozenset(c) for c in choices]
    needs = tuple([1] * len(wanted) if counts is None else counts)
    if any(need > len(cars) for need, cars in zip(needs, wanted, strict=True)):
        raise ValueError("what too few cars have cannot be covered")
    offers: dict[int, int] = {}
    for i, cars in enumerate(wanted):
        for car in cars:
            offers[car] = offers.get(car, 0) | 1 << i
    order = _first_alike(offers, needs)
    search = _Search([offers[car] for car in order], work)
    best, size = search.greedy(needs), 0
    with suppress(_OutOfWork):
        while (smallest := search.found(needs, size, (1 << len(order)) - 1)) is None:
            size += 1
        best = _first_in_order(search, needs, smallest)
    return Cover(tuple(order[i] for i in sorted(best)), size)


def _first_in_order(search: _Search, needs: Needs, smallest: tuple[int, ...]) -> tuple[int, ...]:
    """Of the sets as small as one the first in order, or as far towards it as the work goes."""
    chosen: tuple[int, ...] = ()
    free = (1 << len(search.offers)) - 1
    best = smallest
    for i in range(len(search.offers)):
        free &= ~(1 << i)
        if not any(needs):
            break
        try:
            rest = search.found(search.without(needs, i), len(smallest) - len(chosen) - 1, free)
        except _OutOfWork:
            break
        if rest is not None:
            chosen, needs = (*chosen, i), search.without(needs, i)
            best = (*chosen, *rest)
    return best


def _first_alike(offers: dict[int, int], needs: Needs) -> list[int]:
    """The cars in order, but of those that offer the same only as many as are wanted of anything on them."""
    alike: dict[int, list[int]] = {}
    for car in sorted(offers):
        alike.setdefault(offers[car], []).append(car)
    return sorted(car for offer, cars in alike.items() for car in cars[: max(needs[i] for i in _bits(offer))])
