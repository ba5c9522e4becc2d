"""Quantities from the car and the chosen parts.

What is known of a quantity is computed in three ways, each on top of the one before: going up the graph of a build's
quantities one formula at a time (:mod:`knowledge.computing.computed`), with true bounds where one input counts twice
(:mod:`knowledge.computing.sharpened`), and, here, in bounds that hold for every build out of what is still open.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from itertools import product

from shared.errors import FormulaError
from shared.layout import Call, Choice, Input, Quantity, Way
from shared.part import Part
from shared.ranges import Range

from .quantities import Domains, walk
from .sharpened import Sharpened

_HULL_BY_LISTING = 60
# The values a way can take: words one by one, numbers as one range; ``None`` if not all are known.
Values = Sequence[Range | str] | None
Spread = Callable[[Domains], Values]


@dataclass
class Dataflow(Sharpened):
    """Computes the quantities of builds, their true bounds, and bounds over sets of candidates."""

    _hulls: dict[str, dict[object, Range | None]] = field(init=False)
    _spreads: dict[str, tuple[Spread, ...]] = field(init=False, default_factory=dict)

    def __post_init__(self) -> None:
        super().__post_init__()
        self._hulls = {name: {} for name in self.scope}

    def hull(self, name: str, domains: Domains) -> Range | None:
        """Bounds that hold for every build out of ``domains``; ``None`` where none can be given."""
        key, known = self._parts_of[name](domains), self._hulls[name]
        if key not in known:
            known[key] = self._hull(name, domains)
        return known[key]

    def span(self, item: Input, domains: Domains) -> Range | None:
        """The same for any input; words have none."""
        if item.source == "quantity":
            return self.hull(item.name, domains)
        return _hull_of(self._spread(item)(domains))

    def _hull(self, name: str, domains: Domains) -> Range | None:
        scope = self.scope[name]
        size = 1
        for position in scope:
            size *= len(domains[position])
        if size > _HULL_BY_LISTING:
            return self._hull_ways(self.layout.quantities[name], domains)
        known = self._memo[name]
        listed: list[Range] = []
        for parts in product(*(domains[p] for p in scope)):
            found = known.get(parts if len(scope) != 1 else parts[0])
            value = (found or self.value(name, dict(zip(scope, parts, strict=True)))).value
            if not isinstance(value, Range):
                return None
            listed.append(value)
        return _hull_of(listed)

    def _hull_ways(self, quantity: Quantity, domains: Domains) -> Range | None:
        if quantity.name not in self._spreads:
            self._spreads[quantity.name] = tuple(self._spread(way) for way, _ in quantity.ways)
        found: list[Range | str] = []
        for spread, (way, _) in zip(self._spreads[quantity.name], quantity.ways, strict=True):
            values = spread(domains)
            if values is None:
                return None
            found += values
            if isinstance(way, Call | Choice) and self._always_known(way, domains):
                break
        return _hull_of(found)

    def _always_known(self, way: Way, domains: Domains) -> bool:
        return all(
            item.source != "part"
            or all(self.part_value(item.name, part, item.path).known for part in domains[item.name])
            for item in walk(way)
        )

    def _spread(self, way: Way) -> Spread:
        """A way made ready to be asked of many sets of candidates."""
        if isinstance(way, Choice):
            return self._spread_choice(way)
        if isinstance(way, Call):
            return self._spread_call(way)
        if way.source == "quantity":
            return lambda domains: None if (value := self.hull(way.name, domains)) is None else (value,)
        if way.source == "part":
            return self._spread_part(way)
        stated = self.input(way, self.stock_build).value
        return lambda domains: None if stated is None else (stated,)

    def _spread_choice(self, choice: Choice) -> Spread:
        by = self._spread(choice.by)
        branches = {word: self._spread(way) for word, way in choice.ways.items()}

        def spread(domains: Domains) -> Values:
            words = by(domains)
            if words is None:
                return None
            gathered: list[Range | str] = []
            for word in words:
                branch = branches.get(str(word))
                values = None if branch is None else branch(self._narrowed(choice.by, word, domains))
                if values is None:
                    return None
                gathered += values
            return gathered

        return spread

    def _spread_call(self, call: Call) -> Spread:
        inputs = [self._spread(item) for item in call.inputs]

        def spread(domains: Domains) -> Values:
            listed: list[Sequence[Range | str]] = []
            for read in inputs:
                values = read(domains)
                if values is None:
                    return None
                listed.append(values)
            try:
                found = _hull_of([self.bounds(call.formula, arguments) for arguments in product(*listed)])
            except FormulaError:
                return None
            return None if found is None else (found,)

        return spread

    def _narrowed(self, by: Input, word: Range | str, domains: Domains) -> Domains:
        """The candidates for which a choice falls on a word."""
        if by.source != "part":
            return domains
        kept = tuple(p for p in domains[by.name] if self.part_value(by.name, p, by.path).value == word)
        return domains if len(kept) == len(domains[by.name]) else {**domains, by.name: kept}

    def _spread_part(self, item: Input) -> Spread:
        """What some candidates state, looked up once for each set of them."""
        known: dict[tuple[Part | None, ...], Values] = {}

        def spread(domains: Domains) -> Values:
            parts = domains[item.name]
            if parts not in known:
                known[parts] = self._stated_by(item, parts)
            return known[parts]

        return spread

    def _stated_by(self, item: Input, parts: Iterable[Part | None]) -> Values:
        stated = [self.part_value(item.name, part, item.path).value for part in parts]
        if None in stated:
            return None
        number = _hull_of([value for value in stated if isinstance(value, Range)])
        return tuple(dict.fromkeys(v for v in stated if isinstance(v, str))) if number is None else (number,)


def _hull_of(values: Values) -> Range | None:
    """The smallest range that holds all of some ranges; ``None`` of none, or where words are among them.

    >>> _hull_of([Range(1.0, 2.0), Range(4.0, 5.0)]), _hull_of(["open"]), _hull_of([])
    (Range(lo=1.0, hi=5.0), None, None)
    """
    ranges = [value for value in values or () if isinstance(value, Range)]
    if not ranges or len(ranges) < len(values or ()):
        return None
    return ranges[0] if len(ranges) == 1 else Range(min(r.lo for r in ranges), max(r.hi for r in ranges))
