"""True bounds of formulas over ranges.

Where a formula is known to rise or fall with an argument, the bound lies at an end of that argument's range; where it
is only known to move one way, at one end or the other, and both are tried; where it turns once and the formula says
where, also there.
Where it turns, its range is searched inside: a grid first, then a narrowing around every point of it that is
lower than its neighbours, for the lowest of all may lie beside another than the best of the grid.  A grid alone misses
peaks between its points, and ends alone miss every peak (the swing of a tyre at part lock, a
propshaft that is shortest when level).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import cache
from itertools import product

from shared.errors import FormulaError
from shared.ranges import Range

from ..formulas import Formula

# Points of the grid and narrowings around each of its lowest, for each input, by how many are searched.
_EFFORT = ((1, 0), (17, 24), (9, 20), (5, 12))
MOST_TURNING = 3
# How near the lowest point a narrowing comes, as a part of the span it began with.
NEAR = 1e-5
GOLDEN = (3 - 5**0.5) / 2
# So many times the square is taken for what can still be gained.
CAUTION = 200

Point = Callable[[tuple[float, ...]], float]


def check_valid(formula: Formula, arguments: Sequence[Range | str]) -> None:
    """Raise :class:`FormulaError` if an argument leaves what the formula is valid for."""
    for name, value, (low, high, _) in zip(formula.names, arguments, formula.moves, strict=False):
        if not isinstance(value, str) and (value.lo < low or value.hi > high):
            worst = value.lo if value.lo < low else value.hi
            raise FormulaError(
                f"{formula.name}: {name.replace('_', ' ')} of {worst:g} is outside "
                f"{low:g} to {high:g}, where the formula is valid (SI)"
            )


def extreme(function: Point, box: Sequence[Range], sign: int) -> float:
    """The least (``sign`` 1) or greatest (``sign`` -1) value of ``function`` over a box, searched inside.

    One input after another: the best over the last input is a function of the others.  Searching all of them at once
    by steps along each stops on a ridge that runs across them.
    """
    return sign * _least(function, box, sign, _EFFORT[sum(not r.exact for r in box)])


def _least(function: Point, box: Sequence[Range], sign: int, effort: tuple[int, int]) -> float:
    if not box:
        return sign * function(())
    first, rest = box[0], box[1:]

    def best(x: float) -> float:
        if not rest:
            return sign * function((x,))
        return _least(lambda point: function((x, *point)), rest, sign, effort)

    if first.exact:
        return best(first.lo)
    steps, narrowings = effort
    grid = [first.lo + first.width * i / (steps - 1) for i in range(steps)]
    values = [best(x) for x in grid]
    least = min(values)
    for i in sorted(_valleys(values), key=values.__getitem__):
        around = slice(max(i - 1, 0), i + 2)
        least = _narrowed(best, grid[around], values[around], narrowings, least)
    return least


def _valleys(values: Sequence[float]) -> list[int]:
    """Where a row of values is lowest, and where else both neighbours are not lower and one of them is higher.

    The lowest point between the grid's may lie beside any of these.  Before the first and after the last there is
    nothing that could be lower.

    >>> _valleys([3, 1, 2, 0, 2]), _valleys([1, 2, 0]), _valleys([2, 2, 2]), _valleys([3, 1, 1, 1, 3])
    ([1, 3], [0, 2], [0], [1, 3])
    """
    lowest = values.index(min(values))
    beside = zip([values[1], *values], [*values[1:], values[-2]], strict=False)
    return [
        i
        for i, (value, (one, two)) in enumerate(zip(values, beside, strict=True))
        if i == lowest or (one >= value <= two and (one > value or two > value))
    ]


def _narrowed(
    function: Callable[[float], float], around: Sequence[float], there: Sequence[float], narrowings: int, least: float
) -> float:
    """The lower of ``least`` and the least value around a grid point; ``there`` are the values known.

    Brent, Algorithms for Minimization without Derivatives (1973), ch. 5, from memory: the lowest point of the parabola
    through the three best points, or golden section where that does not settle.  What can still be gained is of the
    order of the square of how far the span has come down: where many times as much would not be enough, it is given up.
    """
    lo, hi = around[0], around[-1]
    width = hi - lo
    near = width * NEAR
    known = sorted(zip(there, around, strict=True))
    best, second, third = known[0], known[1], known[-1]
    rim = third[0]
    step = before = width
    for _ in range(narrowings):
        low, x = best
        middle = (lo + hi) / 2
        if abs(x - middle) <= 2 * near - (hi - lo) / 2:
            break
        left = CAUTION * ((hi - lo) / width) ** 2
        if left <= 0.1 and low - left * (rim - low) > least:
            break
        along = _parabola(best, second, third)
        if along is not None and abs(along) < abs(before) / 2 and lo < x + along < hi:
            before, step = step, along
            if min(x + step - lo, hi - x - step) < 2 * near:
                step = near if x < middle else -near
        else:
            before = hi - x if x < middle else lo - x
            step = GOLDEN * before
        if abs(step) < near:
            step = near if step > 0 else -near
        found = function(x + step), x + step
        rim = max(rim, found[0])
        if found[0] <= low:
            lo, hi = (lo, x) if step < 0 else (x, hi)
            best, second, third = found, best, second
        else:
            lo, hi = (x + step, hi) if step < 0 else (lo, x + step)
            if found[0] <= second[0] or second[1] == x:
                second, third = found, second
            elif found[0] <= third[0] or third[1] in (x, second[1]):
                third = found
    return min(least, best[0])


def _parabola(best: tuple[float, float], second: tuple[float, float], third: tuple[float, float]) -> float | None:
    """How far from the best of three points (value and place) a parabola through them is lowest.

    >>> _parabola((1.0, 1.0), (4.0, 2.0), (9.0, 3.0)), _parabola((1.0, 1.0), (2.0, 2.0), (3.0, 3.0))
    (-1.0, None)
    """
    (low, x), (lower, w), (last, v) = best, second, third
    r, q = (x - w) * (low - last), (x - v) * (low - lower)
    turn = 2 * (q - r)
    return -((x - v) * q - (x - w) * r) / turn if turn else None


def formula_bounds(
    formula: Formula,
    arguments: Sequence[Range | str],
    most_turning: int = MOST_TURNING,
    searched: dict[tuple[object, ...], Range] | None = None,
) -> Range:
    """The range of a formula's result, its arguments taken as independent of one another.

    Bounds that have to be searched for are remembered in ``searched``, where one is given.  Raises
    :class:`FormulaError` where an argument leaves the valid range, no result exists, or more than ``most_turning``
    inputs would have to be searched inside.
    """
    low: list[float | str] = []
    high: list[float | str] = []
    turning: list[int] = []
    corners: list[int] = []
    exact = True
    for argument, (least, most, move) in zip(arguments, formula.moves_of(len(arguments)), strict=False):
        if isinstance(argument, str):
            low.append(argument)
            high.append(argument)
            continue
        lo, hi = argument.lo, argument.hi
        if lo < least or hi > most:
            check_valid(formula, arguments)
        if lo != hi:
            exact = False
            if not move:
                (turning if move is None else corners).append(len(low))
            elif move < 0:
                lo, hi = hi, lo
        low.append(lo)
        high.append(hi)
    function = formula.function
    if exact:
        return Range.exactly(function(*low))
    if formula.size_of is not None:
        return _size(formula_bounds(formula.size_of, arguments, most_turning, searched))
    if not turning and not corners:
        return _ordered(function(*low), function(*high))
    key = (formula.name, *arguments)
    found = None if searched is None else searched.get(key)
    if found is None:
        found = _searched(formula, arguments, low, high, turning, corners, most_turning)
        if searched is not None:
            searched[key] = found
    return found


def _searched(
    formula: Formula,
    arguments: Sequence[Range | str],
    low: list[float | str],
    high: list[float | str],
    turning: Sequence[int],
    corners: Sequence[int],
    most_turning: int,
) -> Range:
    """The bounds over the inside of the arguments that turn and the corners of those that move one way, or turn where
    the formula says; the others are at the ends where the result is least, or greatest."""
    function = formula.function
    axes = _axes(formula, turning)
    if len(axes) > most_turning:
        raise FormulaError(f"{formula.name}: more than {most_turning} uncertain inputs that turn")
    spans = {i: a for i in (*turning, *corners) if isinstance(a := arguments[i], Range)}
    # Factors that grow together pass through every product there is: one way along them is enough.
    box = [spans[axis[0]] if len(axis) == 1 else Range(0.0, 1.0) for axis in axes]
    turns = {i: turn for i in corners if (turn := formula.turns_at.get(formula.names[i])) is not None}
    ends = [(spans[i].lo, spans[i].hi, *((None,) if i in turns else ())) for i in corners]
    # Where nothing but what is searched differs between the least and the greatest, most points are asked twice.
    points: dict[tuple[float | str, ...], Point] = {}

    def bound(base: list[float | str], sign: int) -> float:
        """The bound over the corners of the one-way inputs and the inside of those that turn."""
        found = []
        for corner in product(*ends):
            call = list(base)
            for i, x in zip(corners, corner, strict=True):
                if x is not None:
                    call[i] = x
            for i in (i for i, x in zip(corners, corner, strict=True) if x is None):
                call[i] = min(max(turns[i](*call), spans[i].lo), spans[i].hi)
            if not axes:
                found.append(function(*call))
                continue
            key = tuple(call)
            if key not in points:
                points[key] = cache(_at(function, call, axes, spans))
            found.append(extreme(points[key], box, sign))
        return sign * min(sign * value for value in found)

    return _ordered(bound(low, 1), bound(high, -1))


def _at(
    function: Callable[..., float],
    base: Sequence[float | str],
    axes: Sequence[tuple[int, ...]],
    spans: Mapping[int, Range],
) -> Point:
    """A formula as a function of the inputs that turn."""
    # Of each such input: its place, the number of its axis, and its range where it shares the axis with others.
    places = [(i, n, spans[i] if len(axis) > 1 else None) for n, axis in enumerate(axes) for i in axis]

    def value(point: tuple[float, ...]) -> float:
        call = list(base)
        for i, n, span in places:
            call[i] = point[n] if span is None else span.lo + point[n] * span.width
        return function(*call)

    return value


def _axes(formula: Formula, turning: Sequence[int]) -> list[tuple[int, ...]]:
    """The turning arguments as they are searched: each by itself, but factors of one product together."""
    factors = tuple(i for i in turning if formula.names and formula.names[i] in formula.product)
    return [*((i,) for i in turning if i not in factors), *([factors] if factors else [])]


def _size(value: Range) -> Range:
    """The size of a value with a sign.

    >>> _size(Range(-3.0, 2.0)), _size(Range(-3.0, -2.0))
    (Range(lo=0.0, hi=3.0), Range(lo=2.0, hi=3.0))
    """
    if value.lo > 0.0:
        return value
    return -value if value.hi < 0.0 else Range(0.0, max(abs(value.lo), abs(value.hi)))


def _ordered(one: float, two: float) -> Range:
    """A range from its two ends; rounding may have swapped ends that are the same."""
    return Range(min(one, two), max(one, two))
