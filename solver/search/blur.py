"""Blurred candidates: one part that stands for several, each figure the range that theirs lie in.

What a goal asks of a quantity (a lift, a ride) decides most of what a build costs, but the quantity often hangs on too
many parts to be computed for every combination.  Here the candidates are put into groups and the quantity is computed
for each combination of groups: its range holds whatever their members give.  Positions that hardly matter stay one
group; those that blur the outcome most are split until there are as many combinations as were wanted.

Only parts of one shape are blurred together: all of them say a figure or none does, and words are the same.

Invariant: a build of members costs at least what the build of their groups does.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import product
from math import inf, prod

import numpy as np

from knowledge.dataflow import Dataflow
from shared.evidence import Evidence, Value
from shared.goal import Preference
from shared.layout import Input
from shared.part import Part
from shared.ranges import Range
from shared.verdict import Verdict

from ..holding import hold
from ..problem import Problem
from ..scoring import cents
from .factors import NEVER, Group, Groups, Table

Domain = tuple[Part | None, ...]


@dataclass(frozen=True, eq=False)
class Blurred:
    """Costs by groups of candidates: the positions that are told apart, their groups, one axis for each."""

    positions: tuple[str, ...]
    groups: tuple[Groups, ...]
    costs: Table


@dataclass
class Blurs:
    """Computes quantities of one problem for blurred parts, and remembers those."""

    problem: Problem
    flow: Dataflow = field(init=False)
    _parts: dict[tuple[str, Domain], Part] = field(init=False, default_factory=dict)
    _centres: dict[tuple[str, Part | None, str], float | None] = field(init=False, default_factory=dict)

    def __post_init__(self) -> None:
        # Bounds that have to be searched for take longer than what they tell of blurred parts is worth.
        self.flow = replace(self.problem.flow, wary=True, most_turning=0)

    def table(
        self,
        quantity: str,
        cost: Callable[[Range], int],
        domains: Mapping[str, Domain],
        most: int,
        cells: int,
    ) -> Blurred | None:
        """What a quantity costs at the least, computed for no more than ``most`` combinations of groups.

        Only positions that together have no more than ``cells`` combinations of candidates are told apart.  ``None``
        where shapes alone make too many, or nothing can be told.
        """
        scope = self.problem.flow.scope[quantity]
        found = self._grouped(quantity, domains, most, cells)
        if found is None:
            return None
        groups, opened = found
        parts = [[self.part(at, tuple(domains[at][m] for m in own)) for own in groups[at]] for at in scope]
        costs = np.zeros([len(own) for own in parts], dtype=np.int64)
        for index in product(*(range(len(own)) for own in parts)):
            build = {at: own[i] for at, own, i in zip(scope, parts, index, strict=True)}
            value = self.flow.value(quantity, build).value
            costs[index] = cost(value) if isinstance(value, Range) else 0
        closed = tuple(i for i, at in enumerate(scope) if at not in opened)
        costs = costs.min(axis=closed) if closed else costs
        apart = tuple(at for at in scope if at in opened)
        return Blurred(apart, tuple(groups[at] for at in apart), costs) if costs.any() else None

    # -- blurred parts

    def part(self, at: str, parts: Domain) -> Part | None:
        """One part for several of one shape at a position: each of its figures is the range theirs lie in."""
        first = parts[0]
        if len(parts) == 1 or first is None:
            return first
        key = (at, parts)
        if key not in self._parts:
            members = [p for p in parts if p is not None]
            properties = {name: _hull([p.attribute(name) for p in members]) for name in first.properties}
            ports = {
                port: None
                if values is None
                else {name: _hull([p.attribute(f"{port}.{name}") for p in members]) for name in values}
                for port, values in first.ports.items()
            }
            # Its name is told apart from all others, so that nothing takes it for one input with another.
            name = f"{len(self._parts)}: any of {len(members)} from {first.id}"
            self._parts[key] = Part(name, name, first.kind, (at,), ports, properties)
        return self._parts[key]

    # -- groups

    def _grouped(
        self, quantity: str, domains: Mapping[str, Domain], most: int, cells: int
    ) -> tuple[dict[str, Groups], frozenset[str]] | None:
        """For each position of a quantity its candidates in groups, and the positions that are told apart."""
        scope = self.problem.flow.scope[quantity]
        paths = self.flow.paths([Input("quantity", quantity)])
        stock = {at: self.problem.stock[at] for at in scope}
        groups = {at: self._shapes(at, domains[at], paths.get(at, ())) for at in scope}
        count = prod(map(len, groups.values()))
        if count > most:
            return None
        widths: dict[tuple[str, Group], float] = {}
        opened: set[str] = set()

        def width(at: str, members: Group) -> float:
            """How much blurring a group blurs the outcome, all else as it is on the car now."""
            if len(members) < 2:
                return 0.0
            if (at, members) not in widths:
                part = self.part(at, tuple(domains[at][m] for m in members))
                widths[at, members] = _width(self.flow.value(quantity, {**stock, at: part}).value)
            return widths[at, members]

        while True:
            room = cells // prod(len(domains[at]) for at in opened)
            best: tuple[float, str, Group] = (0.0, "", ())
            for at in scope:
                fits = (at in opened or len(domains[at]) <= room) and count + count // len(groups[at]) <= most
                for members in groups[at] if fits else ():
                    if width(at, members) > best[0]:
                        best = (width(at, members), at, members)
            _, at, members = best
            if not members:
                break
            halves = self._halves(quantity, at, domains[at], members, paths[at])
            if halves is None:
                widths[at, members] = 0.0
                continue
            opened.add(at)
            count += count // len(groups[at])
            groups[at].remove(members)
            groups[at] += halves
        return ({at: tuple(sorted(own)) for at, own in groups.items()}, frozenset(opened)) if opened else None

    def _shapes(self, at: str, parts: Domain, paths: Sequence[str]) -> list[Group]:
        """The candidates that may be blurred together."""
        found: dict[Hashable, list[int]] = {}
        for number, part in enumerate(parts):
            said = (self.flow.part_value(at, part, path).value for path in paths)
            shape = (part and part.kind, *(v if isinstance(v, str) else v is not None for v in said))
            found.setdefault(shape, []).append(number)
        return [tuple(members) for members in found.values()]

    def _centre(self, at: str, part: Part | None, path: str) -> float | None:
        """The middle of a figure; ``None`` for what is no figure."""
        key = (at, part, path)
        if key not in self._centres:
            value = self.flow.part_value(at, part, path).value
            self._centres[key] = value.lo + value.width / 2 if isinstance(value, Range) else None
        return self._centres[key]

    def _halves(
        self, quantity: str, at: str, parts: Domain, members: Group, paths: Sequence[str]
    ) -> tuple[Group, Group] | None:
        """A group in two, by the figure that blurs most."""
        stock = {p: self.problem.stock[p] for p in self.problem.flow.scope[quantity]}
        sample = parts[members[len(members) // 2]]
        best: tuple[tuple[float, float], list[float]] | None = None
        for path in paths if sample is not None else ():
            found = [self._centre(at, parts[m], path) for m in members]
            centres = [centre for centre in found if centre is not None]
            if len(centres) < len(members) or min(centres) == max(centres):
                continue
            values = [self.flow.part_value(at, parts[m], path) for m in members]
            width = _width(self.flow.value(quantity, {**stock, at: _with(sample, path, _hull(values))}).value)
            weight = (width, (max(centres) - min(centres)) / max(map(abs, centres)))
            if best is None or weight > best[0]:
                best = (weight, centres)
        if best is None:
            return None
        low_end, high_end = min(best[1]), max(best[1])
        middle = (low_end + high_end) / 2
        # Between neighbouring numbers there is no middle.
        cut = middle if middle < high_end else low_end
        low = tuple(m for m, c in zip(members, best[1], strict=True) if c <= cut)
        high = tuple(m for m, c in zip(members, best[1], strict=True) if c > cut)
        return low, high


def limit_cost(low: Range | None, high: Range | None) -> Callable[[Range], int]:
    """What limits make of a range: never, where no value in it passes, or nothing."""
    return lambda value: NEVER if hold(value, low, high).verdict is Verdict.NO else 0


def preference_cost(term: Preference) -> Callable[[Range], int]:
    """The least a preference can cost anywhere in a range, in cents."""
    to = term.to or 0.0

    def cost(value: Range) -> int:
        over, under = value.lo - to, to - value.hi
        missed = {"least": over, "most": under, "near": max(over, under)}[term.aim]
        # One cent less: what is missed at an end of a range may round up where what is missed inside does not.
        return max(0, cents(term.worth * max(0.0, missed)) - 1)

    return cost


def _width(value: Range | str | None) -> float:
    """How wide an outcome is; without end where nothing can be told."""
    return inf if value is None else value.width if isinstance(value, Range) else 0.0


def _hull(values: Sequence[Value]) -> Value:
    """The range the values of several parts lie in; unknown where they are not of one shape."""
    ranges = [v.value for v in values if isinstance(v.value, Range)]
    if len(ranges) == len(values):
        return Value(Range(min(r.lo for r in ranges), max(r.hi for r in ranges)), "blurred", Evidence.MEASURED)
    return values[0] if len({v.value for v in values}) == 1 else Value(None, "blurred", Evidence.GUESSED)


def _with(part: Part | None, path: str, value: Value) -> Part | None:
    """A part with another figure."""
    if part is None:
        return None
    port, dot, name = path.partition(".")
    if not dot:
        return replace(part, id=f"{part.id} blurred", properties={**part.properties, path: value})
    values = {**(part.ports.get(port) or {}), name: value}
    return replace(part, id=f"{part.id} blurred", ports={**part.ports, port: values})
