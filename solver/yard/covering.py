"""The smallest set of cars that has everything, and enough of it: exact set cover, with how often each thing is wanted.

The search deepens one car at a time, always on the thing the fewest cars have, and remembers what it has proved.  A car
that offers no more than another is taken only once that other is: exchanged for it, a set would be as good.

Reference: exact hitting set by iterative deepening; Karp, "Reducibility among combinatorial problems", 1972, names the
problem (from memory).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from shared.errors import SwapwrightError

MOST_STEPS = 50_000
Needs = tuple[int, ...]


class _Cover:
    """``offers`` tells of each car which things it has, as bits; so do ``free`` sets of cars, by their places here."""

    def __init__(self, offers: Sequence[int]) -> None:
        self.offers = offers
        self.steps = 0
        self.failed: set[tuple[Needs, int, int]] = set()

    def without(self, needs: Needs, car: int) -> Needs:
        """What is still needed when a car is taken."""
        return tuple(n - (n > 0 and self.offers[car] >> i & 1) for i, n in enumerate(needs))

    def can(self, needs: Needs, cars: int, free: int) -> bool:
        """Whether ``cars`` of the free ones have all that is needed."""
        if not any(needs):
            return True
        if cars == 0 or (needs, cars, free) in self.failed:
            return False
        self.steps += 1
        if self.steps > MOST_STEPS:
            raise SwapwrightError("the smallest set of cars could not be found in time: shorten the list of cars")
        if any(self.can(self.without(needs, car), cars - 1, rest) for car, rest in self._worth(needs, cars, free)):
            return True
        self.failed.add((needs, cars, free))
        return False

    def _worth(self, needs: Needs, cars: int, free: int) -> Iterator[tuple[int, int]]:
        """The cars worth trying next, each with the ones left after it; none where there cannot be enough of them."""
        wanted = sum(1 << i for i, n in enumerate(needs) if n)
        open_offers = {car: offer for car in _bits(free) if (offer := self.offers[car] & wanted)}
        having = [sum(offer >> i & 1 for offer in open_offers.values()) for i in range(len(needs))]
        most = sorted((offer.bit_count() for offer in open_offers.values()), reverse=True)
        if sum(most[:cars]) < sum(needs) or any(n > min(cars, h) for n, h in zip(needs, having, strict=True)):
            return
        rarest = min(_bits(wanted), key=lambda i: (having[i], i))
        for car in _undominated({car: offer for car, offer in open_offers.items() if offer >> rarest & 1}):
            free &= ~(1 << car)
            yield car, free


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


def smallest_cover(choices: Sequence[Iterable[int]], counts: Sequence[int] | None = None) -> tuple[int, ...]:
    """The smallest set of numbers that meets every choice; among equals the one that comes first in order.

    Each choice lists the cars, by their number in walking order, that have one of the things wanted; ``counts`` says
    off how many different cars each is wanted, one unless told.

    >>> smallest_cover([{1, 4}, {2, 4}, {4, 7}, {9}])
    (4, 9)
    >>> smallest_cover([{1, 4, 7}, {2, 7}], [2, 1])
    (1, 7)

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
    search = _Cover([offers[car] for car in order])
    free = (1 << len(order)) - 1
    size = next(k for k in range(len(order) + 1) if search.can(needs, k, free))
    chosen: list[int] = []
    for i, car in enumerate(order):
        free &= ~(1 << i)
        if any(needs) and search.can(rest := search.without(needs, i), size - len(chosen) - 1, free):
            chosen.append(car)
            needs = rest
    return tuple(chosen)


def _first_alike(offers: dict[int, int], needs: Needs) -> list[int]:
    """The cars in order, but of those that offer the same only as many as are wanted of anything on them."""
    alike: dict[int, list[int]] = {}
    for car in sorted(offers):
        alike.setdefault(offers[car], []).append(car)
    return sorted(car for offer, cars in alike.items() for car in cars[: max(needs[i] for i in _bits(offer))])
