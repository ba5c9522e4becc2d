"""How much work the questions of one answer may take together: never seconds, so that every machine answers alike."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field

from ..search.rules import Work
from ..search.trying import WORK_A_NODE


@dataclass
class Budget:
    """Work that several questions share, in quick answers of a rule; a choice tried counts as ``WORK_A_NODE`` of them.

    ``untold`` counts the questions that were not answered, because the search took too many steps or no work was left.
    """

    work: Work = field(default_factory=Work)
    until: int | None = None
    untold: int = 0

    @property
    def spent(self) -> int:
        """All the work so far."""
        return self.work.spent + WORK_A_NODE * self.work.nodes

    @property
    def left(self) -> int | None:
        """The work still allowed, at least 0; ``None`` where there is no end of it."""
        return None if self.until is None else max(self.until - self.spent, 0)

    def nodes(self, most: int) -> int:
        """How many choices one question may try: ``most``, or fewer if no more work is left than these take."""
        return most if self.left is None else min(most, -(-self.left // WORK_A_NODE))

    @contextmanager
    def within(self, most: int) -> Iterator[None]:
        """For a while no more than so much work, nor more than was allowed already.

        >>> budget = Budget()
        >>> with budget.within(100):
        ...     with budget.within(1_000):
        ...         budget.left
        100
        >>> budget.left is None
        True
        """
        before = self.until
        self.until = self.spent + most if before is None else min(before, self.spent + most)
        try:
            yield
        finally:
            self.until = before

    @contextmanager
    def part(self, one: int, of: int) -> Iterator[None]:
        """For a while no more than a part of the work that is left."""
        left = self.left
        if left is None:
            yield
        else:
            with self.within(left * one // of):
                yield
