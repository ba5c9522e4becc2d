"""Quantities from the car and the chosen parts.

What is known of a quantity is computed in three ways, each on top of the one before: going up the graph of a build's
quantities one formula at a time (:mod:`knowledge.computing.computed`), with true bounds where one input counts twice
(:mod:`knowledge.computing.sharpened`), and, here, in bounds that hold for every build out of what is still open.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import reduce
from itertools import product

from shared.errors import FormulaError
from shared.layout import Call, Choice, Input, Quantity, Way
from shared.part import Part
from shared.ranges import Range

from .quantities import Domains, walk
from .sharpened import Sharpened

_HULL_BY_LISTING = 60


@dataclass
class Dataflow(Sharpened):
    """Computes the quantities of builds, their true bounds, and bounds over sets of candidates."""

    _hulls: dict[tuple[str, tuple[tuple[Part | None, ...], ...]], Range | None] = field(
        init=False, default_factory=dict
    )

    def hull(self, name: str, domains: Domains) -> Range | None:
        """Bounds that hold for every build out of ``domains``; ``None`` where none can be given."""
        return self._hull(name, domains, {})

    def span(self, item: Input, domains: Domains) -> Range | None:
        """The same for any input; words have none."""
        values = self._hull_input(item, domains, {})
        ranges = [value for value in values or () if isinstance(value, Range)]
        return reduce(Range.hull, ranges) if values and len(ranges) == len(values) else None

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
            for item in walk(way)
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
