"""Boxes near where they belong, none on another: each takes the free place nearest to its own, in the order given."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

STEP = 4.0
GAP = 6.0


@dataclass(frozen=True)
class Box:
    """A rectangle by its middle and its size [px]."""

    x: float
    y: float
    wide: float
    high: float

    def apart(self, other: Box, gap: float = 0.0) -> bool:
        """Whether two boxes leave ``gap`` between them."""
        return (
            abs(self.x - other.x) >= (self.wide + other.wide) / 2 + gap
            or abs(self.y - other.y) >= (self.high + other.high) / 2 + gap
        )


def place(wanted: Box, taken: Sequence[Box], room: Box, gap: float = GAP) -> Box | None:
    """The place in ``room`` nearest to the wanted one that is ``gap`` clear of all taken; ``None`` if there is none.

    Going sideways counts a little less than going up or down, for the eye seeks along the car's length.
    """
    left, top = room.x - room.wide / 2 + wanted.wide / 2, room.y - room.high / 2 + wanted.high / 2
    across = int((room.wide - wanted.wide) // STEP) + 1
    down = int((room.high - wanted.high) // STEP) + 1
    if across < 1 or down < 1:
        return None
    free = np.ones((down, across), dtype=bool)
    for box in taken:
        reach_x, reach_y = (box.wide + wanted.wide) / 2 + gap, (box.high + wanted.high) / 2 + gap
        first_x, last_x = _span(box.x - reach_x - left, box.x + reach_x - left, across)
        first_y, last_y = _span(box.y - reach_y - top, box.y + reach_y - top, down)
        free[first_y:last_y, first_x:last_x] = False
    if not free.any():
        return None
    xs = left + STEP * np.arange(across) - wanted.x
    ys = top + STEP * np.arange(down) - wanted.y
    far = (xs * xs * 0.7)[None, :] + (ys * ys)[:, None]
    far[~free] = np.inf
    index = int(np.argmin(far))
    return Box(left + STEP * (index % across), top + STEP * (index // across), wanted.wide, wanted.high)


def _span(low: float, high: float, count: int) -> tuple[int, int]:
    """The steps strictly between two ends."""
    first = max(0, int(np.floor(low / STEP)) + 1)
    last = min(count, int(np.ceil(high / STEP)))
    return first, max(first, last)
