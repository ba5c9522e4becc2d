"""Sums kept beside counts: how many ways lead to every sum a build may spend, in one whole number.

A build may spend so much money, or make so many changes; what it spends is a sum over its parts and tasks.  The ways
to fill some positions are a polynomial: the coefficient of *x* to the power of a sum is how many of the ways spend
that.  All coefficients stand beside one another in one large integer, each in a *lane* wide enough for any count, so
that multiplying polynomials is multiplying integers.  What spends too much is cut off.

Invariant: no coefficient ever outgrows its lane, as none is more than the number of all builds.

Reference: Kronecker substitution, as in Harvey, "Faster polynomial multiplication via multipoint Kronecker
substitution", J. Symbolic Computation 44 (2009) (from memory).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cached_property, reduce
from operator import or_

Ways = int
"""A polynomial: how many ways there are to every sum."""


class Lanes:
    """Polynomials in some sums that may be ``most`` each, of builds of which there are no more than ``builds``.

    >>> lanes = Lanes([3], builds=10)
    >>> two = lanes.spending([1]) + lanes.spending([2])
    >>> lanes.counted(lanes.product(two, two))
    3
    """

    def __init__(self, most: Sequence[int], builds: int) -> None:
        # The largest last: above it nothing has to be kept free for sums that turn out too large.
        self.order = sorted(range(len(most)), key=lambda d: (most[d], d))
        self.most = tuple(most)
        self.bits = builds.bit_length()
        self.strides = [0] * len(most)
        stride = 1
        for d in self.order:
            self.strides[d] = stride
            stride *= 2 * most[d] + 1
        self.lanes = 1 + sum(m * s for m, s in zip(self.most, self.strides, strict=True))

    @cached_property
    def _within(self) -> int:
        """Ones wherever no sum is too large."""
        mask = (1 << self.bits) - 1
        for d in self.order:
            step = self.strides[d] * self.bits
            mask = sum(mask << i * step for i in range(self.most[d] + 1))
        return mask

    def spending(self, sums: Sequence[int]) -> Ways:
        """One way, that spends so much; none if that is too much."""
        if any(s > m for s, m in zip(sums, self.most, strict=True)):
            return 0
        return 1 << self.bits * sum(s * stride for s, stride in zip(sums, self.strides, strict=True))

    def product(self, one: Ways, other: Ways) -> Ways:
        """All ways of one with all of another."""
        return one * other & self._within if self.most else one * other

    def least(self, many: Iterable[Ways]) -> int:
        """What all of many ways spend at the least; nothing is told where there is not just one sum."""
        if len(self.most) != 1:
            return 0
        every = reduce(or_, many, 0)
        return ((every & -every).bit_length() - 1) // self.bits if every else 0

    def without(self, spent: int) -> Lanes:
        """Lanes for what is left when so much is spent already."""
        return Lanes([self.most[0] - spent], (1 << self.bits) - 1)

    def lowered(self, ways: Ways, spent: int) -> Ways:
        """Ways without a sum that all of them spend."""
        return ways >> spent * self.bits

    def counted(self, ways: Ways) -> int:
        """How many ways there are in all."""
        lane, found = (1 << self.bits) - 1, 0
        while ways:
            found += ways & lane
            ways >>= self.bits
        return found
