"""Numbers as a person reads them: rounded in the unit they are printed in, so that they say nothing untrue.

A range is rounded outward, limits inward, and what lies between two numbers is the difference of what is printed.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import product
from math import ceil, floor
from typing import Literal

from shared.ranges import Range
from shared.units import Print, System, measures, to_system

# A number this near a printed one, in units of its last printed digit, prints as that one: what a conversion's
# rounding leaves behind must not push 14.2 up to 14.3.
_NOISE = 1e-9
_MOST_NOISE = 1e-3
MOST_FINER = 9  # decimals more than the table gives
_MOST_INWARD = 6  # decimals of limits; the nearest to nothing that is told is a millionth


def show(value: Range | None, measure: str, system: System = "metric", *, finer: int = 0) -> str:
    """A value for a person: ``14.0 mm``, ``13.9 to 14.2 mm``, ``unknown``.

    A range whose ends round to one number prints that number; any other is rounded outward, never inward.
    ``finer`` asks for that many decimals more than the table gives; see :func:`finer_to_tell`.
    """
    if value is None:
        return "unknown"
    how = measures()[measure].printed(system)
    return _told(_ends(value, measure, system, how.decimals + finer), how, finer)


def _told(steps: list[int], how: Print, finer: int) -> str:
    """Numbers in units of their last printed digit as text, with their unit."""
    text = _digits(steps, how.decimals + finer, how.trim)
    return f"{text} {how.unit}" if how.unit else text


def _digits(steps: list[int], decimals: int, trim: bool) -> str:
    """The same without the unit; ``.00`` is left off where all are whole and it may be."""
    if trim and all(step % 10**decimals == 0 for step in steps):
        steps, decimals = [step // 10**decimals for step in steps], 0
    return " to ".join(_write(step, decimals) for step in steps)


def _ends(value: Range, measure: str, system: System, decimals: int) -> list[int]:
    """The ends of a range in units of the last printed digit: one where both round to it, else two, outward."""
    lo, hi = to_system(value.lo, measure, system), to_system(value.hi, measure, system)
    nearest = _steps(lo, decimals, "nearest")
    if nearest == _steps(hi, decimals, "nearest"):
        return [nearest]
    return [_steps(lo, decimals, "down"), _steps(hi, decimals, "up")]


def show_within(limits: Range, measure: str, system: System = "metric") -> str:
    """Limits for a person, rounded inward: whatever lies within what is printed lies within the limits.

    Each end has decimals enough, but no more than six, that rounding moves it by no more than a hundredth of itself,
    or of what lies between.

    >>> show_within(Range(0.0002, 0.006), "length", "us")
    '0.0079 to 0.236 in'
    """
    how = measures()[measure].printed(system)
    ends = to_system(limits.lo, measure, system), to_system(limits.hi, measure, system)
    between = ends[1] - ends[0]
    text = f"{_inward(ends[0], between, how, 'up')} to {_inward(ends[1], between, how, 'down')}"
    return f"{text} {how.unit}" if how.unit else text


def _inward(end: float, between: float, how: Print, way: Literal["down", "up"]) -> str:
    """An end of limits in the printed unit, rounded towards what lies within."""
    for decimals in range(how.decimals, _MOST_INWARD + 1):
        steps = _steps(end, decimals, way)
        if abs(steps / 10**decimals - end) <= min(abs(end), between) / 100:
            break
    return _digits([steps], decimals, how.trim)


def show_number(x: float, measure: str, system: System = "metric", *, finer: int = 0) -> str:
    """The SI number ``x`` for a person, rounded to the nearest; ``x`` is finite."""
    return show(Range.exactly(x), measure, system, finer=finer)


def finer_to_tell(values: tuple[float, ...], measure: str, system: System = "metric", *, most: int = 4) -> int:
    """How many decimals more the SI numbers ``values`` need so that unlike ones print unlike, at most ``most``."""
    unlike = len(set(values))
    for finer in range(most):
        if len({show_number(x, measure, system, finer=finer) for x in values}) == unlike:
            return finer
    return most


def finer_between(
    one: Range, others: Sequence[Range], measure: str, system: System = "metric", *, least: int = 0
) -> int:
    """How many decimals more a range and others need so that unlike ends of it and of them print unlike, and in order.

    No fewer than ``least``: what is told apart with some decimals may print alike with one more.

    >>> finer_between(Range.exactly(0.03726), [Range(0.0373, 0.04)], "length")
    1
    """
    decimals = measures()[measure].printed(system).decimals

    def told(finer: int) -> bool:
        def ends(value: Range) -> tuple[tuple[float, int], tuple[float, int]]:
            printed = _ends(value, measure, system, decimals + finer)
            return (value.lo, printed[0]), (value.hi, printed[-1])

        pairs = (pair for other in others for pair in product(ends(one), ends(other)))
        unlike = ((x, a, y, b) for (x, a), (y, b) in pairs if abs(x - y) > _NOISE * max(1.0, abs(x), abs(y)))
        return all(a != b and (a < b) == (x < y) for x, a, y, b in unlike)

    return next((finer for finer in range(least, MOST_FINER) if told(finer)), MOST_FINER)


def show_apart(
    one: Range,
    other: Range,
    apart: float,
    measure: str,
    system: System = "metric",
    *,
    beside: float = 0.0,
    finer: int = 0,
) -> tuple[int, str]:
    """How far two ranges lie apart, as text that agrees with both as they are printed, and with how many decimals more.

    ``apart`` is the SI number to tell: from an end of one to an end of the other that faces it, and ``beside`` more.
    What is told is the difference of what is printed, with decimals enough (``finer`` or more, for all three) that it
    is nothing only where ``apart`` is.

    >>> show_apart(Range(0.01234, 0.01266), Range.exactly(0.02), 0.02 - 0.01266, "length")
    (0, '7.3 mm')
    """
    how = measures()[measure].printed(system)
    factor, _ = measures()[measure].spellings[how.unit]
    if abs(apart) <= _NOISE * max(1.0, *(abs(x) for side in (one, other) for x in (side.lo, side.hi))):
        return finer, _told([0], how, finer)
    ways = _ways((one.lo, one.hi), (other.lo, other.hi))
    way = min(range(len(ways)), key=lambda i: abs(apart - beside - ways[i]))
    for more in range(finer, MOST_FINER + 1):
        decimals = how.decimals + more
        ends, others = _ends(one, measure, system, decimals), _ends(other, measure, system, decimals)
        steps = round(_ways((ends[0], ends[-1]), (others[0], others[-1]))[way])
        steps += _steps(beside / factor, decimals, "nearest")
        if steps and (steps > 0) == (apart > 0):
            return more, _told([steps], how, more)
    return finer, _told([_steps(apart / factor, how.decimals + finer, "nearest")], how, finer)


def _ways(one: tuple[float, float], other: tuple[float, float]) -> tuple[float, float, float, float]:
    """Every difference between the end of a range and the end of another that faces it."""
    below, above = other[0] - one[1], one[0] - other[1]
    return below, above, -below, -above


def _steps(x: float, decimals: int, way: Literal["down", "nearest", "up"]) -> int:
    """``x`` in units of its last printed digit, rounded; halves go away from zero."""
    scaled = x * 10.0**decimals
    nearest = round(scaled)
    slack = min(_NOISE * max(1.0, abs(scaled)), _MOST_NOISE)
    if abs(scaled - nearest) <= slack:
        return nearest
    if way == "down":
        return floor(scaled)
    if way == "up":
        return ceil(scaled)
    return floor(scaled + 0.5 + slack) if scaled > 0 else ceil(scaled - 0.5 - slack)


def _write(steps: int, decimals: int) -> str:
    whole, part = divmod(abs(steps), 10**decimals)
    sign = "-" if steps < 0 else ""
    return f"{sign}{whole}.{part:0{decimals}d}" if decimals else f"{sign}{whole}"
