"""True bounds of a quantity where one uncertain input reaches it by more than one way.

Where that is so (the coil that is both the new one and the stock one) the bounds found one formula at a time may be
too wide; the whole of the graph is searched with that input held as the one input it is.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

from shared.errors import FormulaError
from shared.layout import Call, Choice, Input, Way
from shared.part import Part
from shared.ranges import Range

from ..formulas import formulas
from .bounds import extreme
from .computed import Computed
from .points import Slot, Steps, Term
from .quantities import Build, Leaf, Result

MOST_SEARCHED = 2


@dataclass
class Sharpened(Computed):
    """Computes the quantities of builds, and their true bounds where asked for them."""

    _sharp: dict[tuple[str, tuple[Part | None, ...]], Result] = field(init=False, default_factory=dict)
    _ways: dict[tuple[str, tuple[Part | None, ...]], Way | None] = field(init=False, default_factory=dict)

    def sharpened(self, name: str, build: Build) -> Result:
        """The quantity with its true bounds."""
        rough = self.value(name, build)
        if rough.sharp or not isinstance(rough.value, Range):
            return rough
        key = (name, tuple([build[p] for p in self.scope[name]]))
        if key not in self._sharp:
            self._sharp[key] = self._sharpen(name, build, rough, rough.value)
        return self._sharp[key]

    def in_the_middle(self, name: str, build: Build) -> float | None:
        """The quantity with every uncertain input in the middle of its range: one of the values it may have.

        ``None`` where it has none there, or is a word.
        """
        rough = self.value(name, build)
        if not isinstance(rough.value, Range):
            return None
        middles = {leaf: leaf[2] + (leaf[3] - leaf[2]) / 2 for leaf in rough.leaves}
        try:
            return self._function(name, build, middles, ())(())
        except FormulaError:
            return None

    def _sharpen(self, name: str, build: Build, rough: Result, outer: Range) -> Result:
        """Leaves that push one way only are held at their ends; the others are searched inside.

        With more than :data:`MOST_SEARCHED` of those the bounds stay as wide as they are.
        """
        signs = self._signs(name, build, False, {})
        leaves = sorted(rough.leaves)
        ranges = {leaf: Range(leaf[2], leaf[3]) for leaf in leaves}
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
            quantity = self.layout.quantities[name]
            ready = zip(self.reads(quantity), quantity.ways, strict=True)
            self._ways[key] = next((way for read, (way, _) in ready if read(build, {}).value is not None), None)
        return self._ways[key]

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
        value, leaf = self.stated(way, build)
        if leaf is not None and leaf in leaves:
            return leaves[leaf]
        if isinstance(value.value, str):
            return value.value
        assert value.value is not None
        return value.value.lo
