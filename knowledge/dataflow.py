"""Quantities from the car and the chosen parts.

A layout's quantities are a graph without circles: each is computed from attributes of parts, properties of the
car, loads of the goal, or other quantities.  Values are ranges.  Two kinds of bounds are told apart:

* going up the graph, one formula at a time, gives bounds that are never too narrow;
* where one uncertain input reaches a quantity by more than one way (the coil that is both the new one and the
  stock one) those bounds may be too wide, and :meth:`Dataflow.sharpened` searches the whole of the graph with
  that input held as the one input it is.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import product
from typing import Literal

from shared.errors import FormulaError, NoSolution
from shared.evidence import Evidence, Value
from shared.goal import Load
from shared.layout import Call, Choice, Input, Layout, Quantity, Way
from shared.part import Part
from shared.ranges import Range
from shared.vehicle import Vehicle

from .bounds import MOST_TURNING, extreme, formula_bounds
from .formulas import formulas
from .points import Slot, Steps, Term

Build = Mapping[str, Part | None]
Domains = Mapping[str, Sequence[Part | None]]
Leaf = tuple[str, str]

MOST_SEARCHED = 2
WARY_TURNING = 1
_HULL_BY_LISTING = 60
_NO_LEAVES: frozenset[Leaf] = frozenset()


def to_measure(path: str, thing: Part | Literal["vehicle"] | None) -> str:
    """What a person has to measure: an attribute of a part, of the car, or of a part that is not there.

    >>> to_measure("leaf_chord", "vehicle")
    "the car's leaf chord"
    """
    title = path.replace("_", " ").replace(".", " ")
    if thing == "vehicle":
        return f"the car's {title}"
    return f"{title}, where nothing is fitted" if thing is None else f"{title} of {thing.called}"


@dataclass(frozen=True, slots=True)
class Result:
    """What is known of a quantity.

    ``value`` is ``None`` when something needed is ``missing`` or when there is ``trouble`` (no such geometry,
    or an input outside what a formula is valid for); ``impossible`` tells that no value exists at all.
    ``leaves`` are the uncertain inputs it hangs on; ``sharp`` tells whether the bounds are the true ones.
    """

    value: Range | str | None
    evidence: Evidence = Evidence.MEASURED
    sharp: bool = True
    leaves: frozenset[Leaf] = _NO_LEAVES
    missing: tuple[str, ...] = ()
    trouble: str = ""
    impossible: bool = False
    basis: str = "computed"


def _walk(way: Way) -> Iterator[Input]:
    if isinstance(way, Input):
        yield way
    elif isinstance(way, Call):
        yield from way.inputs
    else:
        yield way.by
        for branch in way.ways.values():
            yield from _walk(branch)


def inputs_of(quantity: Quantity) -> Iterator[Input]:
    """Every input named anywhere in a quantity."""
    for way, _ in quantity.ways:
        yield from _walk(way)


def scopes(layout: Layout) -> dict[str, tuple[str, ...]]:
    """For every quantity the positions whose parts it depends on, directly or through others."""
    found: dict[str, tuple[str, ...]] = {}

    def scope(name: str) -> tuple[str, ...]:
        if name not in found:
            positions: set[str] = set()
            for item in inputs_of(layout.quantities[name]):
                if item.source == "part":
                    positions.add(item.name)
                elif item.source == "quantity" and item.name in layout.quantities:
                    positions.update(scope(item.name))
            found[name] = tuple(sorted(positions))
        return found[name]

    for name in layout.quantities:
        scope(name)
    return found


def goal_values(loads: Sequence[Load]) -> dict[str, Value]:
    """The loads of a goal as one mass at one place."""
    mass = sum(load.mass for load in loads)

    def mean(values: Iterator[float]) -> float:
        return sum(values) / mass if mass else 0.0

    numbers = {
        "load_mass": mass,
        "load_behind": mean(load.mass * load.behind_front_axle for load in loads),
        "load_height": mean(load.mass * load.height for load in loads),
    }
    return {k: Value(Range.exactly(v), f"{v:g}", Evidence.MEASURED) for k, v in numbers.items()}


@dataclass
class Dataflow:
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
    _sharp: dict[tuple[str, tuple[Part | None, ...]], Result] = field(init=False, default_factory=dict)
    _ways: dict[tuple[str, tuple[Part | None, ...]], Way | None] = field(init=False, default_factory=dict)
    _hulls: dict[tuple[str, tuple[tuple[Part | None, ...], ...]], Range | None] = field(
        init=False, default_factory=dict
    )
    _stock: Dataflow | None = field(init=False, default=None)

    def __post_init__(self) -> None:
        self.scope = scopes(self.layout)
        self._goal = goal_values(self.loads)
        if self.loads:
            self._stock = Dataflow(self.layout, self.vehicle, self.stock_build)

    @property
    def stock(self) -> Dataflow:
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

    def _stated(self, item: Input, build: Build) -> tuple[Value, Leaf, str]:
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
        value, leaf, label = self._stated(item, build)
        if value.value is None:
            return Result(None, value.evidence, missing=(label,))
        uncertain = isinstance(value.value, Range) and not value.value.exact
        evidence = Evidence.MEASURED if item.source in ("literal", "goal") else value.evidence
        return Result(value.value, evidence, leaves=frozenset((leaf,)) if uncertain else _NO_LEAVES)

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
        """What is known of a quantity; bounds never too narrow, see :meth:`sharpened` for true ones."""
        key = (name, tuple([build[p] for p in self.scope[name]]))
        found = self._memo.get(key)
        if found is None:
            found = self._memo[key] = self._quantity(self.layout.quantities[name], build)
        return found

    def _quantity(self, quantity: Quantity, build: Build, known: Mapping[str, Result] | None = None) -> Result:
        first: Result | None = None
        for way, basis in quantity.ways:
            found = self._way(way, build, known)
            if found.value is not None:
                return found if basis == "computed" else _claimed(found)
            if found.impossible or (self.wary and found.trouble):
                return found
            first = first or found
        return first or Result(None, missing=(quantity.title,))

    def _way(self, way: Way, build: Build, known: Mapping[str, Result] | None = None) -> Result:
        if isinstance(way, Input):
            return self.input(way, build) if known is None else self.input_given(way, build, known)
        if isinstance(way, Choice):
            by = self.input(way.by, build)
            if by.value is None:
                return by
            branch = way.ways.get(str(by.value))
            if branch is None:
                return Result(None, trouble=f"nothing is known of {by.value}")
            return self._way(branch, build, known)
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

    # -- true bounds where one input counts twice

    def sharpened(self, name: str, build: Build) -> Result:
        """The quantity with its true bounds."""
        rough = self.value(name, build)
        if rough.sharp or not isinstance(rough.value, Range):
            return rough
        key = (name, tuple([build[p] for p in self.scope[name]]))
        if key not in self._sharp:
            self._sharp[key] = self._sharpen(name, build, rough, rough.value)
        return self._sharp[key]

    def _sharpen(self, name: str, build: Build, rough: Result, outer: Range) -> Result:
        """Leaves that push one way only are held at their ends; the others are searched inside.

        With more than :data:`MOST_SEARCHED` of those the bounds stay as wide as they are.
        """
        signs = self._signs(name, build, False, {})
        leaves = sorted(rough.leaves)
        ranges = {leaf: self._leaf_range(leaf, name, build) for leaf in leaves}
        turning = [leaf for leaf in leaves if not signs.get(leaf, 0)]
        if len(turning) > MOST_SEARCHED:
            return rough

        def end(sign: int) -> float:
            ends = {
                leaf: ranges[leaf].lo if signs[leaf] * sign > 0 else ranges[leaf].hi
                for leaf in leaves
                if signs.get(leaf, 0)
            }
            at = self._function(name, build, ends, turning)
            return extreme(at, [ranges[leaf] for leaf in turning], sign) if turning else at(())

        try:
            lo, hi = end(1), end(-1)
        except FormulaError:
            return rough
        value = Range(max(lo, outer.lo), min(hi, outer.hi)) if lo <= hi else outer
        return Result(value, rough.evidence, True, rough.leaves, basis=rough.basis)

    def _signs(
        self, name: str, build: Build, stock: bool, memo: dict[tuple[str, bool], dict[Leaf, int]]
    ) -> dict[Leaf, int]:
        """Which way each uncertain leaf pushes a quantity: 1, -1, or 0 where it turns or pushes both ways."""
        key = (name, stock)
        if key not in memo:
            flow = self.stock if stock else self
            current = self.stock_build if stock else build
            way = flow._chosen(name, current)
            memo[key] = {} if way is None else flow._way_signs(way, current, stock, memo)
        return memo[key]

    def _way_signs(
        self, way: Way, build: Build, stock: bool, memo: dict[tuple[str, bool], dict[Leaf, int]]
    ) -> dict[Leaf, int]:
        if isinstance(way, Choice):
            return self._way_signs(way.ways[str(self.input(way.by, build).value)], build, stock, memo)
        if isinstance(way, Input):
            if way.source == "quantity":
                return self._signs(way.name, build, stock, memo)
            if way.source == "stock":
                return self._signs(way.name, build, True, memo)
            return dict.fromkeys(self.input(way, build).leaves, 1)
        formula = formulas()[way.formula]
        found: dict[Leaf, int] = {}
        for i, item in enumerate(way.inputs):
            argument = formula.names[i] if formula.names else "values"
            direction = (argument in formula.rises) - (argument in formula.falls)
            for leaf, sign in self._way_signs(item, build, stock, memo).items():
                pushed = sign * direction
                found[leaf] = pushed if found.get(leaf, pushed) == pushed else 0
        return found

    def _chosen(self, name: str, build: Build) -> Way | None:
        """The way a quantity is computed by on a build: the first whose inputs are known."""
        key = (name, tuple([build[p] for p in self.scope[name]]))
        if key not in self._ways:
            self._ways[key] = next(
                (way for way, _ in self.layout.quantities[name].ways if self._way(way, build).value is not None), None
            )
        return self._ways[key]

    def _leaf_range(self, leaf: Leaf, name: str, build: Build) -> Range:
        stack, seen = [(name, False)], set()
        while stack:
            here, stock = stack.pop()
            if (here, stock) in seen:
                continue
            seen.add((here, stock))
            for item in inputs_of(self.layout.quantities[here]):
                if item.source in ("quantity", "stock"):
                    stack.append((item.name, stock or item.source == "stock"))
                    continue
                value, found, _ = self._stated(item, self.stock_build if stock else build)
                if found == leaf and isinstance(value.value, Range):
                    return value.value
        raise KeyError(leaf)

    def _function(
        self, name: str, build: Build, held: Mapping[Leaf, float], turning: Sequence[Leaf]
    ) -> Callable[[Sequence[float]], float]:
        """A quantity as a function of its ``turning`` leaves, the others held at one number."""
        steps = Steps(len(turning))
        leaves: dict[Leaf, Term] = {**held, **{leaf: Slot(i) for i, leaf in enumerate(turning)}}
        return steps.function(self._term(name, build, leaves, steps, {}, False))

    def _term(
        self,
        name: str,
        build: Build,
        leaves: Mapping[Leaf, Term],
        steps: Steps,
        memo: dict[tuple[str, bool], Term],
        stock: bool,
    ) -> Term:
        key = (name, stock)
        if key not in memo:
            flow = self.stock if stock else self
            current = self.stock_build if stock else build
            way = flow._chosen(name, current)
            assert way is not None
            memo[key] = flow._way_term(way, current, leaves, steps, memo, stock)
        return memo[key]

    def _way_term(
        self,
        way: Way,
        build: Build,
        leaves: Mapping[Leaf, Term],
        steps: Steps,
        memo: dict[tuple[str, bool], Term],
        stock: bool,
    ) -> Term:
        if isinstance(way, Choice):
            branch = way.ways[str(self.input(way.by, build).value)]
            return self._way_term(branch, build, leaves, steps, memo, stock)
        if isinstance(way, Call):
            arguments = [self._way_term(item, build, leaves, steps, memo, stock) for item in way.inputs]
            return steps.call(formulas()[way.formula], arguments)
        if way.source in ("quantity", "stock"):
            return self._term(way.name, build, leaves, steps, memo, stock or way.source == "stock")
        value, leaf, _ = self._stated(way, build)
        if leaf in leaves:
            return leaves[leaf]
        if isinstance(value.value, str):
            return value.value
        assert value.value is not None
        return value.value.lo

    # -- outer bounds over what is still open

    def hull(self, name: str, domains: Domains) -> Range | None:
        """Bounds that hold for every build out of ``domains``; ``None`` where none can be given."""
        return self._hull(name, domains, {})

    def _hull(self, name: str, domains: Domains, memo: dict[str, Range | None]) -> Range | None:
        if name in memo:
            return memo[name]
        key = (name, tuple([tuple(domains[p]) for p in self.scope[name]]))
        if key not in self._hulls:
            self._hulls[key] = self._new_hull(name, domains, memo)
        memo[name] = self._hulls[key]
        return memo[name]

    def _new_hull(self, name: str, domains: Domains, memo: dict[str, Range | None]) -> Range | None:
        scope = self.scope[name]
        size = 1
        for position in scope:
            size *= len(domains[position])
        found: Range | None = None
        if 0 < size <= _HULL_BY_LISTING:
            for parts in product(*(domains[p] for p in scope)):
                listed = self.value(name, dict(zip(scope, parts, strict=True))).value
                if not isinstance(listed, Range):
                    found = None
                    break
                found = listed if found is None else found.hull(listed)
        elif size:
            found = self._hull_ways(self.layout.quantities[name], domains, memo)
        return found

    def _hull_ways(self, quantity: Quantity, domains: Domains, memo: dict[str, Range | None]) -> Range | None:
        found: Range | None = None
        for way, _ in quantity.ways:
            values = self._hull_way(way, domains, memo)
            if values is None:
                return None
            for value in values:
                if isinstance(value, str):
                    return None
                found = value if found is None else found.hull(value)
            if isinstance(way, Call | Choice) and self._always_known(way, domains):
                break
        return found

    def _always_known(self, way: Way, domains: Domains) -> bool:
        return all(
            item.source != "part"
            or all(self.part_value(item.name, part, item.path).known for part in domains[item.name])
            for item in _walk(way)
        )

    def _hull_way(self, way: Way, domains: Domains, memo: dict[str, Range | None]) -> Sequence[Range | str] | None:
        """The values a way can take: words one by one, numbers as one range; ``None`` if not all are known."""
        if isinstance(way, Input):
            return self._hull_input(way, domains, memo)
        if isinstance(way, Choice):
            words = self._hull_input(way.by, domains, memo)
            if words is None:
                return None
            gathered: list[Range | str] = []
            for word in words:
                branch = way.ways.get(str(word))
                here = self._narrowed(way.by, word, domains)
                values = None if branch is None else self._hull_way(branch, here, memo if here is domains else {})
                if values is None:
                    return None
                gathered += values
            return gathered
        inputs = [self._hull_input(item, domains, memo) for item in way.inputs]
        listed = [values for values in inputs if values is not None]
        if len(listed) < len(inputs):
            return None
        found: Range | None = None
        for arguments in product(*listed):
            try:
                value = self.bounds(way.formula, arguments)
            except FormulaError:
                return None
            found = value if found is None else found.hull(value)
        return None if found is None else [found]

    def _narrowed(self, by: Input, word: Range | str, domains: Domains) -> Domains:
        """The candidates for which a choice falls on a word."""
        if by.source != "part":
            return domains
        kept = [p for p in domains[by.name] if self.part_value(by.name, p, by.path).value == word]
        return domains if len(kept) == len(domains[by.name]) else {**domains, by.name: kept}

    def _hull_input(self, item: Input, domains: Domains, memo: dict[str, Range | None]) -> Sequence[Range | str] | None:
        if item.source == "quantity":
            value = self._hull(item.name, domains, memo)
            return None if value is None else [value]
        if item.source != "part":
            result = self.input(item, {}) if item.source != "stock_part" else self.input(item, self.stock_build)
            return None if result.value is None else [result.value]
        words: dict[str, None] = {}
        number: Range | None = None
        for part in domains[item.name]:
            stated = self.part_value(item.name, part, item.path).value
            if stated is None:
                return None
            if isinstance(stated, str):
                words[stated] = None
            else:
                number = stated if number is None else number.hull(stated)
        return list(words) if number is None else [number]


def _claimed(result: Result) -> Result:
    return Result(result.value, result.evidence, result.sharp, result.leaves, basis="claimed")
