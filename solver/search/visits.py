"""What the way to a donor car costs each used part at the least.

A build pays once for every donor car it needs, however many parts come from it: the fewest cars that carry them all.
That is no sum over parts, but it is never less than one: where a car can carry parts for at most *m* of the positions,
each of those pays an *m*-th of the way, and no car is paid for more than once.  (A feasible point of the dual of the
covering program: Chvatal, "A greedy heuristic for the set-covering problem", Mathematics of Operations Research 4
(1979); from memory.)  As candidates go, *m* falls to one and the sum to the truth.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence


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
