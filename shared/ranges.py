"""A value known to lie between two numbers.

Everything the project computes with is a range in SI units.  A value known exactly is a range without
width; a value not known at all is spelled ``None`` wherever a range is expected (``Range | None``).
"""

from __future__ import annotations

from dataclasses import dataclass
from math import inf, isfinite


@dataclass(frozen=True, slots=True)
class Range:
    """A closed range in SI units.

    ``lo`` and ``hi`` are finite and ``lo <= hi``; anything else raises ``ValueError``.  The sums and
    differences here take the two sides as independent: where one input occurs twice (``x - x``), compute the
    whole from its inputs instead.
    """

    lo: float
    hi: float

    def __post_init__(self) -> None:
        if -inf < self.lo <= self.hi < inf:
            return
        if not (isfinite(self.lo) and isfinite(self.hi)):
            raise ValueError(f"a range needs two finite ends, not {self.lo} and {self.hi}")
        raise ValueError(f"a range starts at its lower end: {self.lo} is above {self.hi}")

    @classmethod
    def exactly(cls, x: float) -> Range:
        """The range that holds ``x`` and nothing else."""
        return cls(x, x)

    @property
    def exact(self) -> bool:
        """Whether only one number is left in the range."""
        return self.lo == self.hi

    @property
    def width(self) -> float:
        """Distance between the ends, 0 or more; infinite if it is more than a float can hold."""
        return self.hi - self.lo

    def contains(self, x: float) -> bool:
        """Whether ``x`` lies in the range, ends included."""
        return self.lo <= x <= self.hi

    def within(self, other: Range) -> bool:
        """Whether the whole of this range lies in ``other``, ends included."""
        return other.lo <= self.lo and self.hi <= other.hi

    def hull(self, other: Range) -> Range:
        """The smallest range that holds both."""
        return Range(min(self.lo, other.lo), max(self.hi, other.hi))

    def scaled(self, k: float) -> Range:
        """The range of ``k`` times the value; ``k`` is exact, and a negative one swaps the ends."""
        one, two = k * self.lo, k * self.hi
        return Range(min(one, two), max(one, two))

    def __add__(self, other: Range) -> Range:
        return Range(self.lo + other.lo, self.hi + other.hi)

    def __sub__(self, other: Range) -> Range:
        return Range(self.lo - other.hi, self.hi - other.lo)

    def __neg__(self) -> Range:
        return Range(-self.hi, -self.lo)
