"""Bounds of every formula that turns somewhere, against a search that knows nothing of ours.

The outside reference is scipy's DIRECT (Jones, Perttunen and Stuckman, 1993), which divides the whole box and does not
rest on slopes or on a start.  Boxes are drawn from each formula's valid range with a fixed seed.
"""

from __future__ import annotations

import random
import re
from collections.abc import Sequence
from itertools import product

import pytest
from scipy.optimize import Bounds, direct

from knowledge.computing.bounds import formula_bounds
from knowledge.formulas import Formula, formulas
from shared.errors import FormulaError
from shared.ranges import Range

WIDE = 1e9  # valid ranges wider than this are plain arithmetic over any number


def turning(formula: Formula) -> list[str]:
    """The arguments in which a formula neither only rises nor only falls."""
    directed = formula.rises | formula.falls
    return [n for n in formula.names if n not in directed and n in formula.valid]


def narrow(formula: Formula) -> bool:
    return all(hi - lo < WIDE for lo, hi in (formula.valid[n] for n in turning(formula)))


TURNING = [f for f in formulas().values() if f.names and turning(f) and narrow(f)]


def drawn(formula: Formula, rng: random.Random) -> dict[str, float | str]:
    point: dict[str, float | str] = {}
    for argument in formula.arguments:
        if argument.name in formula.valid:
            lo, hi = formula.valid[argument.name]
            point[argument.name] = rng.uniform(lo, hi)
        else:
            point[argument.name] = rng.choice(re.findall(r'"(\w+)"', argument.about))
    return point


def boxes(formula: Formula, rng: random.Random, most: int) -> list[tuple[dict[str, float | str], dict[str, Range]]]:
    """Points and boxes of one or two turning inputs over which the formula has a result everywhere it is looked at."""
    found = []
    for _ in range(4000):
        point = drawn(formula, rng)
        names = rng.sample(turning(formula), min(len(turning(formula)), rng.choice((1, 2))))
        box = {}
        for name in names:
            lo, hi = formula.valid[name]
            width = rng.choice((0.08, 0.3)) * (hi - lo)
            start = rng.uniform(lo, hi - width)
            box[name] = Range(start, start + width)
        try:
            for corner in product(*([r.lo, (r.lo + r.hi) / 2, r.hi] for r in box.values())):
                formula.function(**{**point, **dict(zip(box, corner, strict=True))})
        except FormulaError:
            continue
        found.append((point, box))
        if len(found) == most:
            break
    return found


@pytest.mark.parametrize("formula", TURNING, ids=lambda f: f.name)
def test_bounds_hold_and_are_reached(formula: Formula) -> None:
    tried = 0
    for point, box in boxes(formula, random.Random(formula.name), 4):
        arguments: list[Range | str] = []
        for name in formula.names:
            value = point[name]
            arguments.append(box.get(name, value if isinstance(value, str) else Range.exactly(value)))
        try:
            ours = formula_bounds(formula, arguments)
            theirs = [sign * search(formula, point, box, sign) for sign in (1, -1)]
        except FormulaError:
            continue  # somewhere inside there is no such geometry, and then there are no bounds to compare
        tried += 1
        slack = 2e-4 * max(theirs[1] - theirs[0], 1e-9)
        assert ours.lo <= theirs[0] + slack and ours.hi >= theirs[1] - slack, (point, box)
        # never wider than what is really reached: DIRECT stops near the end, so a hundredth of the width is left to it
        room = 1e-2 * max(theirs[1] - theirs[0], 1e-6)
        assert ours.lo >= theirs[0] - room and ours.hi <= theirs[1] + room, (point, box)
    assert tried, "no box of this formula could be compared"


def search(formula: Formula, point: dict[str, float | str], box: dict[str, Range], sign: int) -> float:
    """The least of ``sign`` times the formula over a box, by DIRECT."""

    def at(x: Sequence[float]) -> float:
        return sign * formula.function(**{**point, **{n: float(v) for n, v in zip(box, x, strict=True)}})

    bounds = Bounds([r.lo for r in box.values()], [r.hi for r in box.values()])
    found = direct(at, bounds, maxfun=500, eps=1e-6, locally_biased=False)
    corners = min(at(corner) for corner in product(*((r.lo, r.hi) for r in box.values())))
    return min(float(found.fun), corners)
