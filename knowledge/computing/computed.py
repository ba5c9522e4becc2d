"""Quantities of one build, computed from the car and the chosen parts.

A layout's quantities are a graph without circles: each is computed from attributes of parts, properties of the
car, loads of the goal, or other quantities.  Values are ranges.  Going up the graph, one formula at a time, gives
bounds that are never too narrow.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from operator import itemgetter
from typing import Self

from shared.errors import FormulaError, NoSolution
from shared.evidence import Evidence, Value
from shared.goal import Load
from shared.layout import Call, Choice, Input, Layout, Quantity, Way
from shared.part import Part
from shared.ranges import Range
from shared.vehicle import Vehicle

from ..formulas import formulas
from .bounds import MOST_TURNING, formula_bounds
from .quantities import NO_LEAVES, Build, Given, Leaf, Read, Result, goal_values, inputs_of, scopes, to_measure


@dataclass
class Computed:
    """Computes the quantities of builds; remembers what it has computed.

    A quantity is computed in the first way that gives a value.  With ``wary`` only ways that lack something are
    passed over: where parts stand for several (their figures are ranges of theirs) a way that fails on the figures
    may serve some of those, so that no other way may answer for all.  A formula of which more than ``most_turning``
    inputs would have to be searched inside gives none.  ``repeated`` are the parts of which one build may have two, or
    the car has one already; where it is not said, any may be.
    """

    layout: Layout
    vehicle: Vehicle
    stock_build: Build
    loads: tuple[Load, ...] = ()
    wary: bool = False
    most_turning: int = MOST_TURNING
    repeated: frozenset[str] | None = None
    scope: dict[str, tuple[str, ...]] = field(init=False)
    _memo: dict[str, dict[object, Result]] = field(init=False)
    _parts_of: dict[str, Callable[[Mapping[str, object]], object]] = field(init=False)
    _readers: dict[str, tuple[Read, ...]] = field(init=False, default_factory=dict)
    _searched: dict[tuple[object, ...], Range] = field(init=False, default_factory=dict)
    _given: dict[tuple[object, ...], Result] = field(init=False, default_factory=dict)
    _cuts: dict[tuple[str, frozenset[str]], tuple[tuple[str, ...], tuple[str, ...]]] = field(
        init=False, default_factory=dict
    )
    _stock: Self | None = field(init=False, default=None)

    def __post_init__(self: Self) -> None:
        self.scope = scopes(self.layout)
        self._memo = {name: {} for name in self.scope}
        self._parts_of = {name: itemgetter(*at) if at else lambda build: () for name, at in self.scope.items()}
        self._goal = goal_values(self.loads)
        if self.loads:
            self._stock = type(self)(self.layout, self.vehicle, self.stock_build)

    @property
    def stock(self) -> Self:
        """The same car without the goal's loads."""
        return self._stock or self

    def forget(self) -> None:
        """Give back what remembering takes: where parts are made to be looked at once, they would all last."""
        for known in self._memo.values():
            known.clear()
        self._searched.clear()
        self._given.clear()
        self._readers.clear()

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
        """What a computation can see of an attribute: its value, how it is known, and, where it is a range, which
        input it is; of a value that is not known it sees no more than that."""
        value = self.part_value(position, part, path)
        uncertain = isinstance(value.value, Range) and not value.value.exact
        return value.value, value.evidence, None if part is None or not uncertain else part.base or part.id

    def sight(self, position: str, part: Part | None, path: str) -> tuple[Range | str | None, Evidence, str | None]:
        """The same as far as anything that comes of it can tell: whose an uncertain value is counts only where the
        same may come in at another place."""
        value, evidence, owner = self.seen(position, part, path)
        return value, evidence, owner if self.repeated is None or owner in self.repeated else None

    def stated(self, item: Input, build: Build) -> tuple[Value, Leaf | None]:
        """The value an input states, and the leaf it is if it is uncertain."""
        if item.source == "literal":
            assert item.value is not None
            return item.value, _leaf("literal", item.name, item.value)
        if item.source == "vehicle":
            value = self.vehicle.attribute(item.name)
            return value, _leaf("vehicle", item.name, value)
        if item.source == "goal":
            return self._goal[item.name], _leaf("goal", item.name, self._goal[item.name])
        part = self._part(item, build)
        owner = "none" if part is None else (part.base or part.id)
        value = self.part_value(item.name, part, item.path)
        return value, _leaf(owner, item.path, value)

    def _part(self, item: Input, build: Build) -> Part | None:
        """The part that states an input: of a build, or of the car now."""
        return (self.stock_build if item.source == "stock_part" else build)[item.name]

    def _label(self, item: Input, build: Build) -> str:
        """What a person would have to measure to know an input."""
        if item.source == "vehicle":
            return to_measure(item.name, "vehicle")
        if item.source in ("part", "stock_part"):
            return to_measure(item.path, self._part(item, build))
        return item.name

    def input(self, item: Input, build: Build) -> Result:
        """What is known of an input for a build."""
        if item.source == "quantity":
            return self.value(item.name, build)
        if item.source == "stock":
            return self.stock.value(item.name, self.stock_build)
        value, leaf = self.stated(item, build)
        if value.value is None:
            return Result(None, value.evidence, missing=(self._label(item, build),))
        evidence = Evidence.MEASURED if item.source in ("literal", "goal") else value.evidence
        return Result(value.value, evidence, leaves=NO_LEAVES if leaf is None else frozenset((leaf,)))

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
        key, known = self._parts_of[name](build), self._memo[name]
        found = known.get(key)
        if found is None:
            found = known[key] = self._quantity(self.layout.quantities[name], build, {})
        return found

    def _quantity(self, quantity: Quantity, build: Build, given: Given) -> Result:
        first: Result | None = None
        for read, (_, basis) in zip(self.reads(quantity), quantity.ways, strict=True):
            found = read(build, given)
            if found.value is not None:
                return found if basis == "computed" else _claimed(found)
            if found.impossible or (self.wary and found.trouble):
                return found
            first = first or found
        return first or Result(None, missing=(quantity.title,))

    def reads(self, quantity: Quantity) -> tuple[Read, ...]:
        """The ways of a quantity made ready."""
        found = self._readers.get(quantity.name)
        if found is None:
            found = self._readers[quantity.name] = tuple(self.reader(way) for way, _ in quantity.ways)
        return found

    def reader(self, way: Way) -> Read:
        """A way made ready to be asked again and again: what no part changes is looked up once, what a part states
        once for each part."""
        if isinstance(way, Choice):
            return self._choosing(way)
        if isinstance(way, Call):
            return self._calling(way)
        if way.source == "quantity":
            return self._asking(way)
        at = way.name if way.source == "part" else None
        stated: dict[Part | None, Result] = {}

        def read(build: Build, given: Given) -> Result:
            part = None if at is None else build[at]
            found = stated.get(part)
            if found is None:
                found = stated[part] = self.input(way, build)
            return found

        return read

    def _asking(self, item: Input) -> Read:
        """A quantity as an input: mostly one that is known already."""
        known, parts_of = self._memo[item.name], self._parts_of[item.name]

        def read(build: Build, given: Given) -> Result:
            if given:
                return self.input_given(item, build, given)
            return known.get(parts_of(build)) or self.value(item.name, build)

        return read

    def _calling(self, call: Call) -> Read:
        """A formula with its inputs.  Mostly none of them is in doubt: then it is worked out at once."""
        formula = formulas()[call.formula]
        function = formula.function
        reads = [self.reader(item) for item in call.inputs]
        valid = [(low, high) for low, high, _ in formula.moves_of(len(reads))]

        def read(build: Build, given: Given) -> Result:
            inputs = [read(build, given) for read in reads]
            point: list[float | str] = []
            evidence, basis = Evidence.MEASURED, "computed"
            for (value, known, _, leaves, _, _, _, of), (low, high) in zip(inputs, valid, strict=False):
                if isinstance(value, str):
                    point.append(value)
                elif value is not None and not leaves and low <= value.lo == value.hi <= high:
                    point.append(value.lo)
                else:
                    return self._call(call, inputs)
                if known < evidence:
                    evidence = known
                if of == "claimed":
                    basis = of
            try:
                result = function(*point)
            except FormulaError:
                return self._call(call, inputs)
            return Result(Range(result, result), evidence, basis=basis)

        return read

    def _choosing(self, choice: Choice) -> Read:
        by = self.reader(choice.by)
        branches = {word: self.reader(way) for word, way in choice.ways.items()}

        def read(build: Build, given: Given) -> Result:
            word = by(build, given)
            if word.value is None:
                return word
            branch = branches.get(str(word.value))
            if branch is None:
                return Result(None, trouble=f"nothing is known of {word.value}")
            return branch(build, given)

        return read

    def _call(self, call: Call, inputs: Sequence[Result]) -> Result:
        arguments: list[Range | str] = []
        evidence, leaves, hanging = Evidence.MEASURED, NO_LEAVES, 0
        sharp, basis = True, "computed"
        for value, known, true, own, _, _, _, given in inputs:
            if value is None:
                return _lacking(inputs)
            arguments.append(value)
            if known < evidence:
                evidence = known
            if own:
                leaves, hanging = leaves | own, hanging + len(own)
            sharp = sharp and true
            if given == "claimed":
                basis = given
        try:
            found = self.bounds(call.formula, arguments)
        except NoSolution as error:
            return Result(
                None, evidence, trouble=str(error), impossible=all(isinstance(a, str) or a.exact for a in arguments)
            )
        except FormulaError as error:
            return Result(None, evidence, trouble=str(error))
        sharp = (sharp and hanging == len(leaves)) or found.exact
        return Result(found, evidence, sharp, leaves, basis=basis)

    def bounds(self, formula: str, arguments: Sequence[Range | str]) -> Range:
        """Bounds of a formula."""
        return formula_bounds(formulas()[formula], arguments, self.most_turning, self._searched)


def _lacking(inputs: Sequence[Result]) -> Result:
    """What comes of inputs of which some have no value."""
    return Result(
        None,
        min(r.evidence for r in inputs),
        missing=tuple(dict.fromkeys(m for r in inputs for m in r.missing)),
        trouble=next((r.trouble for r in inputs if r.trouble), ""),
        impossible=any(r.impossible for r in inputs),
    )


def _claimed(result: Result) -> Result:
    return Result(result.value, result.evidence, result.sharp, result.leaves, basis="claimed")


def _leaf(owner: str, path: str, value: Value) -> Leaf | None:
    """The leaf that a value is; ``None`` of one that is certain, or not known."""
    span = value.value
    return (owner, path, span.lo, span.hi) if isinstance(span, Range) and not span.exact else None
