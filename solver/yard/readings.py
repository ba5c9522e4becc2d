"""What to read on a part in the yard, and which answer is good enough.

How far a reading may lie from what the catalogue says is asked in :mod:`solver.yard.probing`.  Where a reading would
be good enough within :data:`solver.yard.probing.FAR` times its uncertainty and no look-alike is told apart by it, it
decides nothing and is left out.

All that is settled on the metric grid, so that what is read first does not hang on the units it is told in; in others
an end is told as the last good value that prints in them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property, partial

from knowledge.measured.readable import kind_attributes
from shared.evidence import Value
from shared.interface import WORD, Attribute
from shared.part import Part
from shared.ranges import Range
from shared.units import System

from ..problem import Problem
from ..relations import Build, Relation
from ..words import value_text
from .document import ReadingShown
from .probing import Grid, Probe

MOST_READINGS = 5
OPEN = 4

Ends = tuple[float | None, float | None]


@dataclass(frozen=True)
class Reading:
    """A decisive attribute of a part: the good range (``None``: open end), also as it prints, or the good words."""

    path: str
    attribute: Attribute
    value: Value
    good: Ends | None
    printed: Ends | None
    words: tuple[str, ...]
    doubtful: bool
    sorts_out: tuple[Part, ...]
    lies_in: float

    @property
    def title(self) -> str:
        """What is read, in words."""
        return self.path.replace(".", " ").replace("_", " ")

    @property
    def question(self) -> tuple[object, ...]:
        """What is read, how, and what is good, at whatever place of the part: asked once, it is not asked again."""
        return (self.title.split()[-1], self.attribute.read, self.attribute.measure, self.good, self.words)


class Reader:
    """Finds the readings of parts of one build."""

    def __init__(self, problem: Problem, build: Build, units: System) -> None:
        self.problem = problem
        self.build = dict(build)
        self.units: System = units

    @cached_property
    def _effortless(self) -> tuple[Relation, ...]:
        """The relations a reading can move: all that do not look at every position."""
        everything = len(self.problem.domains)
        return tuple(r for r in self.problem.hard if len(r.scope) < everything and not r.name.startswith("yard "))

    def attributes(self, part: Part) -> dict[str, Attribute]:
        """Everything that can be read on a part, by path."""
        found = {}
        for path, a in kind_attributes(self.problem.garage.layout, part.kind).items():
            port, dot, _ = path.partition(".")
            missing = dot and part.ports.get(port, {}) is None
            if not missing and (a.read or a.uncertainty or a.one_of or a.measure == "count"):
                found[path] = a
        return found

    def _with(self, at: str, part: Part, path: str, value: Value) -> Build:
        port, dot, name = path.partition(".")
        if dot:
            ports = {**part.ports, port: {**(part.ports.get(port) or {}), name: value}}
            made = replace(part, ports=ports)
        else:
            made = replace(part, properties={**part.properties, path: value})
        return {**self.build, at: made}

    def readings(self, at: str, part: Part, alike: Sequence[Part]) -> list[Reading]:
        """The decisive readings of the part at a position; ``alike`` are the parts it could be taken for."""
        rules = [r for r in self._effortless if at in r.scope]
        found = []
        for path, attribute in self.attributes(part).items():
            value = part.attribute(path)
            others = [(p, p.attribute(path)) for p in alike]
            probe = Probe(partial(self._with, at, part, path), attribute, rules)
            if attribute.measure == WORD:
                reading = self._word(path, probe, value, others)
            else:
                reading = self._number(path, probe, value, others)
            if reading is not None:
                found.append(reading)
        return sorted(found, key=lambda r: (not r.doubtful, -len(r.sorts_out), r.lies_in, r.path))

    def _word(self, path: str, probe: Probe, value: Value, others: Sequence[tuple[Part, Value]]) -> Reading | None:
        own = value.value if isinstance(value.value, str) else None
        said = [str(v.value) for _, v in others if isinstance(v.value, str)]
        words = list(dict.fromkeys([*([own] if own else []), *probe.attribute.one_of, *sorted(set(said))]))
        if not words or not probe.settle(words):
            return None
        good = tuple(w for w in words if probe.good(w))
        sorted_out = tuple(p for p, v in others if isinstance(v.value, str) and v.value not in good)
        doubtful = own is None and len(good) < len(words)
        if not good or not (doubtful or sorted_out):
            return None
        return Reading(path, probe.attribute, value, None, None, good, doubtful, sorted_out, 0.0)

    def _number(self, path: str, probe: Probe, value: Value, others: Sequence[tuple[Part, Value]]) -> Reading | None:
        known = [v.value for _, v in others if isinstance(v.value, Range)]
        own = value.value if isinstance(value.value, Range) else None
        starts = [] if own is None else [(own.lo + own.hi) / 2, own.lo, own.hi]
        starts += [x for r in known for x in (r.lo, r.hi)] if own is None else []
        grid = Grid.of(probe.attribute, "metric")
        start = probe.settle([grid.value(grid.nearest(x)) if own is None or not own.exact else x for x in starts])
        if not isinstance(start, float):
            return None
        probe.start = start
        step = grid.far
        out = tuple(
            p
            for p, v in others
            if isinstance(v.value, Range) and not (probe.good(v.value.lo) or probe.good(v.value.hi))
        )
        certain = own is not None and own.exact
        if certain and not out and probe.good(start - step) and probe.good(start + step):
            return None
        ends = _near((probe.edge(grid, step, -1), probe.edge(grid, step, 1)), start, OPEN * step)
        if ends == (None, None):
            return None
        doubtful = not certain and (own is None or not _inside(own, ends))
        near = min(abs(e - start) for e in ends if e is not None) / step
        if not doubtful and not out and near > 1.0:
            return None
        printed = self._printed(probe, ends, grid)
        return Reading(path, probe.attribute, value, ends, printed, (), doubtful, out, near)

    def _printed(self, probe: Probe, ends: Ends, metric: Grid) -> Ends:
        """The same ends in the units they are told in."""
        if self.units == "metric":
            return ends
        grid = Grid.of(probe.attribute, self.units)
        most = max(grid.size, metric.size)
        low, high = (
            None if e is None else probe.printing(e, grid, most, way) for e, way in zip(ends, (-1, 1), strict=True)
        )
        return low, high

    def shown(self, part: Part, reading: Reading) -> ReadingShown:
        """A reading as it comes out."""
        attribute = reading.attribute
        return ReadingShown(
            part=part.name,
            what=reading.title,
            how=attribute.read,
            now=value_text(reading.value.value, attribute.measure, self.units),
            good=_good_text(reading, self.units),
            doubtful=reading.doubtful,
            sorts_out=tuple(dict.fromkeys(p.name for p in reading.sorts_out)),
        )


def _near(ends: Ends, start: float, most: float) -> Ends:
    """The ends that lie within ``most`` of the start; what lies farther off cannot be read wrong and is left open."""
    low, high = (None if e is None or abs(e - start) > most else e for e in ends)
    return low, high


def _inside(value: Range, ends: Ends) -> bool:
    low, high = ends
    hair = 1e-9 * max(1.0, abs(value.lo), abs(value.hi))
    return (low is None or value.lo >= low - hair) and (high is None or value.hi <= high + hair)


def _good_text(reading: Reading, units: System) -> str:
    if reading.printed is None:
        return " or ".join(reading.words)
    low, high = reading.printed
    measure = reading.attribute.measure

    def say(x: float) -> str:
        return value_text(Range.exactly(x), measure, units)

    if low is not None and high is not None:
        return say(low) if low == high else f"{say(low)} to {say(high)}"
    if low is not None:
        return f"at least {say(low)}"
    return "" if high is None else f"at most {say(high)}"
