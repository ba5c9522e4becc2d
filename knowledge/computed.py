"""Quantities of one build, computed from the car and the chosen parts.

A layout's quantities are a graph without circles: each is computed from attributes of parts, properties of the
car, loads of the goal, or other quantities.  Values are ranges.  Going up the graph, one formula at a time, gives
bounds that are never too narrow.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Self

from shared.errors import FormulaError, NoSolution
from shared.evidence import Evidence, Value
from shared.goal import Load
from shared.layout import Call, Choice, Input, Layout, Quantity, Way
from shared.part import Part
from shared.ranges import Range
from shared.vehicle import Vehicle

from .bounds import MOST_TURNING, formula_bounds
from .formulas import formulas
from .quantities import NO_LEAVES, Build, Leaf, Result, goal_values, inputs_of, scopes, to_measure

WARY_TURNING = 1


@dataclass
class Computed:
    """Computes the quantities of builds; remembers what it has computed.

    A quantity is computed in the first way that gives a value.  With ``wary`` only ways that lack something are
    passed over: where parts stand for several (their figures are ranges of theirs) a way that fails on the figures
    may serve some of those, so that no other way may answer for all; and bounds that are dear to find are not found.
    """

    layout: Layout
    vehicle: Vehicle
    stock_build: Build
    loads: tuple[Load, ...] = ()
    wary: bool = False
    scope: dict[str, tuple[str, ...]] = field(init=False)
    _memo: dict[tuple[str, tuple[Part | None, ...]], Result] = field(init=False, default_factory=dict)
    _calls: dict[tuple[object, ...], Range] = field(init=False, default_factory=dict)
    _given: dict[tuple[object, ...], Result] = field(init=False, default_factory=dict)
    _cuts: dict[tuple[str, frozenset[str]], tuple[tuple[str, ...], tuple[str, ...]]] = field(
        init=False, default_factory=dict
    )
    _stock: Self | None = field(init=False, default=None)

    def __post_init__(self: Self) -> None:
        self.scope = scopes(self.layout)
        self._goal = goal_values(self.loads)
        if self.loads:
            self._stock = type(self)(self.layout, self.vehicle, self.stock_build)

    @property
    def stock(self) -> Self:
        """The same car without the goal's loads."""
        return self._stock or self

    # -- single inputs

    def part_value(self, position: str, part: Part | None, path: str) -> Value:
        """An attribute of the part at a position; of an empty one, what its absence means."""
        if part is None:
            return self.layout.positions[position].absent.get(path, Value(None, "none fitted", Evidence.MEASURED))
        return part.attribute(path)

    def paths(self, items: Sequence[Input]) -> dict[str, tuple[str, ...]]:
        """For every position the attributes that inputs read of the part there, directly or through quantities."""
        found: dict[str, set[str]] = {}
        seen: set[str] = set()
        waiting = list(items)
        while waiting:
            item = waiting.pop()
            if item.source == "part":
                found.setdefault(item.name, set()).add(item.path)
            elif item.source == "quantity" and item.name not in seen:
                seen.add(item.name)
                waiting += inputs_of(self.layout.quantities[item.name])
        return {position: tuple(sorted(names)) for position, names in found.items()}

    def seen(self, position: str, part: Part | None, path: str) -> tuple[Range | str | None, Evidence, str | None]:
        """What a computation can see of an attribute: its value, how it is known, and, where it is uncertain,
        which input it is."""
        value = self.part_value(position, part, path)
        certain = value.value is not None and (isinstance(value.value, str) or value.value.exact)
        return value.value, value.evidence, None if certain or part is None else part.base or part.id

    def stated(self, item: Input, build: Build) -> tuple[Value, Leaf, str]:
        """The value an input states, the leaf it is, and what a person would have to measure."""
        if item.source == "literal":
            assert item.value is not None
            return item.value, ("literal", item.name), item.name
        if item.source == "vehicle":
            return self.vehicle.attribute(item.name), ("vehicle", item.name), to_measure(item.name, "vehicle")
        if item.source == "goal":
            return self._goal[item.name], ("goal", item.name), item.name
        source = self.stock_build if item.source == "stock_part" else build
        part = source[item.name]
        owner = "none" if part is None else (part.base or part.id)
        leaf = (f"{owner}", item.path)
        return self.part_value(item.name, part, item.path), leaf, to_measure(item.path, part)

    def input(self, item: Input, build: Build) -> Result:
        """What is known of an input for a build."""
        if item.source == "quantity":
            return self.value(item.name, build)
        if item.source == "stock":
            return self.stock.value(item.name, self.stock_build)
        value, leaf, label = self.stated(item, build)
        if value.value is None:
            return Result(None, value.evidence, missing=(label,))
        uncertain = isinstance(value.value, Range) and not value.value.exact
        evidence = Evidence.MEASURED if item.source in ("literal", "goal") else value.evidence
        return Result(value.value, evidence, leaves=frozenset((leaf,)) if uncertain else NO_LEAVES)

    def input_given(self, item: Input, build: Build, known: Mapping[str, Result]) -> Result:
        """What is known of an input when some quantities are given and only part of a build is there."""
        if item.source != "quantity":
            return self.input(item, build)
        if item.name in known:
            return known[item.name]
        positions, quantities = self.cut_scope(item.name, frozenset(known))
        key = (item.name, tuple([build[p] for p in positions]), tuple([known[q] for q in quantities]))
        found = self._given.get(key)
        if found is None:
            found = self._given[key] = self._quantity(self.layout.quantities[item.name], build, known)
        return found

    def cut_scope(self, name: str, cuts: frozenset[str]) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """What a quantity depends on when the quantities in ``cuts`` are given: positions, and those of them."""
        key = (name, cuts)
        found = self._cuts.get(key)
        if found is None:
            positions: set[str] = set()
            quantities: set[str] = set()
            for item in inputs_of(self.layout.quantities[name]):
                if item.source == "part":
                    positions.add(item.name)
                elif item.source == "quantity" and item.name in cuts:
                    quantities.add(item.name)
                elif item.source == "quantity":
                    deeper = self.cut_scope(item.name, cuts)
                    positions.update(deeper[0])
                    quantities.update(deeper[1])
            found = self._cuts[key] = (tuple(sorted(positions)), tuple(sorted(quantities)))
        return found

    # -- whole quantities

    def value(self, name: str, build: Build) -> Result:
        """What is known of a quantity; bounds never too narrow."""
        key = (name, tuple([build[p] for p in self.scope[name]]))
        found = self._memo.get(key)
        if found is None:
            found = self._memo[key] = self._quantity(self.layout.quantities[name], build)
        return found

    def _quantity(self, quantity: Quantity, build: Build, known: Mapping[str, Result] | None = None) -> Result:
        first: Result | None = None
        for way, basis in quantity.ways:
            found = self.by_way(way, build, known)
            if found.value is not None:
                return found if basis == "computed" else _claimed(found)
            if found.impossible or (self.wary and found.trouble):
                return found
            first = first or found
        return first or Result(None, missing=(quantity.title,))

    def by_way(self, way: Way, build: Build, known: Mapping[str, Result] | None = None) -> Result:
        if isinstance(way, Input):
            return self.input(way, build) if known is None else self.input_given(way, build, known)
        if isinstance(way, Choice):
            by = self.input(way.by, build)
            if by.value is None:
                return by
            branch = way.ways.get(str(by.value))
            if branch is None:
                return Result(None, trouble=f"nothing is known of {by.value}")
            return self.by_way(branch, build, known)
        if known is None:
            return self._call(way, [self.input(item, build) for item in way.inputs])
        return self._call(way, [self.input_given(item, build, known) for item in way.inputs])

    def _call(self, call: Call, inputs: Sequence[Result]) -> Result:
        evidence = min((r.evidence for r in inputs), default=Evidence.MEASURED)
        if any(r.value is None for r in inputs):
            missing = tuple(dict.fromkeys(m for r in inputs for m in r.missing))
            trouble = next((r.trouble for r in inputs if r.trouble), "")
            return Result(
                None, evidence, missing=missing, trouble=trouble, impossible=any(r.impossible for r in inputs)
            )
        arguments = [r.value for r in inputs if r.value is not None]
        try:
            value = self.bounds(call.formula, arguments)
        except NoSolution as error:
            return Result(
                None, evidence, trouble=str(error), impossible=all(isinstance(a, str) or a.exact for a in arguments)
            )
        except FormulaError as error:
            return Result(None, evidence, trouble=str(error))
        leaves: frozenset[Leaf] = frozenset().union(*(r.leaves for r in inputs))
        sharp = all(r.sharp for r in inputs) and sum(len(r.leaves) for r in inputs) == len(leaves)
        basis = "claimed" if any(r.basis == "claimed" for r in inputs) else "computed"
        return Result(value, evidence, sharp or value.exact, leaves, basis=basis)

    def bounds(self, formula: str, arguments: Sequence[Range | str]) -> Range:
        """Bounds of a formula, remembered by its arguments."""
        key = (formula, *[a if isinstance(a, str) else (a.lo, a.hi) for a in arguments])
        found = self._calls.get(key)
        if found is None:
            most = WARY_TURNING if self.wary else MOST_TURNING
            found = self._calls[key] = formula_bounds(formulas()[formula], arguments, most)
        return found


def _claimed(result: Result) -> Result:
    return Result(result.value, result.evidence, result.sharp, result.leaves, basis="claimed")
