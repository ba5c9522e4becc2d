"""Which values of one attribute are good enough: asked of the rules themselves, about values that can be printed.

A value is good enough if, with it and everything else as planned, no rule refuses the build and none that would be
sure is left in doubt.  How far that goes is found on a grid of the last printed digit, outward from a start: first in
doubling steps, then by halving.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from shared.evidence import Evidence, Value
from shared.interface import Attribute
from shared.ranges import Range
from shared.units import System, measures, to_system
from shared.verdict import Verdict

from ..relations import Build, Relation

FAR = 8
MOST_DOUBLINGS = 5


@dataclass(frozen=True)
class Grid:
    """The values a person can print: whole multiples of the last printed digit, which is ``size`` in SI."""

    measure: str
    units: System
    step: float
    size: float
    far: float

    @classmethod
    def of(cls, attribute: Attribute, units: System) -> Grid:
        printed = measures()[attribute.measure].printed(units)
        step = 10.0**-printed.decimals
        size = abs(_si(step, attribute.measure, units) - _si(0.0, attribute.measure, units))
        return cls(attribute.measure, units, step, size, max(FAR * attribute.uncertainty, size))

    def value(self, number: int) -> float:
        return _si(number * self.step, self.measure, self.units)

    def nearest(self, x: float) -> int:
        return round(to_system(x, self.measure, self.units) / self.step)


def _si(x: float, measure: str, units: System) -> float:
    factor, offset = measures()[measure].spellings[measures()[measure].printed(units).unit]
    return factor * x + offset


class Probe:
    """Asks ``rules`` about values of one attribute: ``build_with`` gives the build in which it has a value."""

    def __init__(self, build_with: Callable[[Value], Build], attribute: Attribute, rules: Sequence[Relation]) -> None:
        self.build_with = build_with
        self.attribute = attribute
        self.rules = rules
        self.start = 0.0
        self.allowed: frozenset[str] = frozenset()
        self._known: dict[float | str, Mapping[str, Verdict]] = {}

    def verdicts(self, value: float | str) -> Mapping[str, Verdict]:
        """What each rule that does not plainly fit says with this value."""
        found = self._known.get(value)
        if found is None:
            exact = value if isinstance(value, str) else Range.exactly(value)
            stated = Value(exact, str(value), Evidence.MEASURED)
            build = self.build_with(stated)
            answers = ((r.name, r.verdict(build)) for r in self.rules)
            found = self._known[value] = {name: v for name, v in answers if v is not Verdict.FITS}
        return found

    def settle(self, values: Sequence[float | str]) -> float | str | None:
        """The first value nothing refuses and the fewest doubt; what is doubtful there stays allowed."""
        passing = [v for v in dict.fromkeys(values) if Verdict.NO not in self.verdicts(v).values()]
        if not passing:
            return None
        best = min(passing, key=lambda v: len(self.verdicts(v)))
        self.allowed = frozenset(self.verdicts(best))
        return best

    def good(self, value: float | str) -> bool:
        """Whether a value is good enough."""
        answers = self.verdicts(value)
        return Verdict.NO not in answers.values() and self.allowed.issuperset(answers)

    def edge(self, grid: Grid, step: float, way: int) -> float | None:
        """The last good printed value from the start one way; ``None`` where the end is open."""
        start = grid.nearest(self.start)
        if not self.good(grid.value(start)):
            return self.start
        last, stride = start, max(1, abs(grid.nearest(self.start + way * step) - start))
        smallest = 0 if measures()[self.attribute.measure].whole else None
        for _ in range(MOST_DOUBLINGS):
            trial = last + way * stride
            if smallest is not None and trial < smallest:
                return None
            if not self.good(grid.value(trial)):
                break
            last, stride = trial, stride * 2
        else:
            return None
        bad = last + way * stride
        while abs(bad - last) > 1:
            middle = (bad + last) // 2
            if self.good(grid.value(middle)):
                last = middle
            else:
                bad = middle
        return grid.value(last)

    def printing(self, end: float, grid: Grid, most: float, way: int) -> float:
        """The last good value that prints on another grid, ``most`` from an end found that way; else the end itself."""
        number = grid.nearest(end)
        while not self.good(grid.value(number)):
            number -= way
            if (grid.value(number) - self.start) * way < 0.0:
                return end
        while abs(grid.value(number + way) - end) < most and self.good(grid.value(number + way)):
            number += way
        return grid.value(number)
