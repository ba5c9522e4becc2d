"""What the way to a donor car costs each used part at the least.

A build pays once for every donor car it needs, however many parts come from it: the fewest cars that carry them all.
That is no sum over parts, but it is never less than one: where a car can carry parts for at most *m* of the positions,
each of those pays an *m*-th of the way, and no car is paid for more than once.  (A feasible point of the dual of the
covering program: Chvatal, "A greedy heuristic for the set-covering problem", Mathematics of Operations Research 4
(1979); from memory.)  As candidates go, *m* falls to one and the sum to the truth.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from operator import add

from ..effort import fewest

# Sets of choices of which the ways are remembered; forgetting changes the time, never the answer.
MOST_REMEMBERED = 100_000


def visit_shares(carriers: Mapping[str, Sequence[frozenset[str]]], worth: int) -> dict[str, list[int]]:
    """For every position what each candidate pays for its way, in the unit of ``worth`` (what one car costs).

    ``carriers`` are for each candidate the donors it can come from.  For any build out of these candidates the shares
    of its parts come to no more than ``worth`` times the number of donors it needs.
    """
    carried: dict[str, int] = {}
    for found in carriers.values():
        for donor in frozenset().union(*found):
            carried[donor] = carried.get(donor, 0) + 1
    return {
        at: [worth // max(carried[d] for d in donors) if donors else 0 for donors in found]
        for at, found in carriers.items()
    }


class Ways:
    """What builds out of some candidates pay for the ways to their donors at the least, as choices are made.

    ``costs`` are the candidates' prices, each with its share of the ways.
    """

    def __init__(
        self, prices: Mapping[str, Sequence[int]], carriers: Mapping[str, Sequence[frozenset[str]]], worth: int
    ) -> None:
        shares = visit_shares(carriers, worth)
        opened = [at for at, own in carriers.items() if len(own) > 1]
        settled = [at for at, own in carriers.items() if len(own) == 1]
        self.worth = worth
        self.costs = {at: list(map(add, own, shares[at])) for at, own in prices.items()}
        self.least = {at: min(self.costs[at]) for at in opened}
        self.shares = {at: shares[at] for at in opened}
        self.shared = sum(shares[at][0] for at in settled)
        self.carriers = {at: carriers[at] for at in opened}
        self.carrying = frozenset(carriers[at][0] for at in settled) - {frozenset()}
        apart = visit_shares(self.carriers, worth)
        self.apart = {at: min(map(add, prices[at], apart[at])) for at in opened}
        self.carried: dict[str, dict[str, int]] = {at: {} for at in opened}
        for at, own in self.carried.items():
            for price, donors in zip(prices[at], carriers[at], strict=True):
                own.update({donor: min(price, own.get(donor, price)) for donor in donors})
        self._known: dict[frozenset[frozenset[str]], tuple[int, dict[str, int]]] = {}

    def beyond(self, assignments: Mapping[str, int]) -> int:
        """What is paid at the least beyond the ``costs`` of what is chosen and the least of those of the rest.

        The fewest donors of what is chosen are paid for.  An open position either holds what one of the donors that may
        be among them carries, or needs others, none of which helps with what is chosen, and pays a share of its way.
        """
        if not self.worth:
            return 0
        chosen = self.carrying.union([c for at, i in assignments.items() if (c := self.carriers[at][i])])
        known = self._known.get(chosen)
        if known is None:
            if len(self._known) >= MOST_REMEMBERED:
                self._known.clear()
            known = self._known[chosen] = self._open(chosen)
        found, rest = known
        for at, shares in self.shares.items():
            found += -shares[assignments[at]] if at in assignments else rest[at]
        return max(0, found)

    def _open(self, chosen: frozenset[frozenset[str]]) -> tuple[int, dict[str, int]]:
        """The ways to the fewest donors beyond the settled positions' shares; and, for each open position, its least
        with these donors beyond the least of its ``costs``."""
        donors = frozenset().union(*chosen)
        least = {
            at: min([self.apart[at], *(own[donor] for donor in donors if donor in own)])
            for at, own in self.carried.items()
        }
        ways = self.worth * len(fewest(chosen)) - self.shared
        return ways, {at: price - self.least[at] for at, price in least.items()}
