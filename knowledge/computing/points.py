"""A quantity as a function of a few uncertain inputs, everything else held fast.

The part of the graph that hangs on those inputs is laid out once as a list of steps; what does not is worked out
once.  Searching for true bounds asks such a function hundreds of times.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from shared.ranges import Range

from ..formulas import Formula
from .bounds import check_valid

Known = float | str


@dataclass(frozen=True)
class Slot:
    """Where a step finds an argument that is not fixed."""

    number: int


Term = Known | Slot


@dataclass(frozen=True)
class _Step:
    """A formula, its arguments with noughts for the open ones, and which those are and in which slots."""

    formula: Formula
    fixed: tuple[Known, ...]
    opened: tuple[tuple[int, int], ...]


@dataclass
class Steps:
    """Formulas one after another, those of fixed arguments worked out at once; the first slots are the inputs."""

    inputs: int
    _steps: list[_Step] = field(default_factory=list)

    def call(self, formula: Formula, arguments: Sequence[Term]) -> Term:
        """The result of a formula: a number if nothing in it is open, else the slot it will be in.

        Raises :class:`shared.errors.FormulaError` where fixed arguments leave what it is valid for.
        """
        if any(isinstance(a, Slot) for a in arguments):
            fixed = tuple(0.0 if isinstance(a, Slot) else a for a in arguments)
            opened = tuple((i, a.number) for i, a in enumerate(arguments) if isinstance(a, Slot))
            self._steps.append(_Step(formula, fixed, opened))
            return Slot(self.inputs + len(self._steps) - 1)
        return _called(formula, [a for a in arguments if not isinstance(a, Slot)])

    def function(self, result: Term) -> Callable[[Sequence[float]], float]:
        """The result as a function of the inputs."""

        steps = [(step.formula, step.fixed, step.opened) for step in self._steps]

        def at(point: Sequence[float]) -> float:
            slots: list[float] = list(point)
            for formula, fixed, opened in steps:
                arguments = list(fixed)
                for i, number in opened:
                    arguments[i] = slots[number]
                slots.append(_called(formula, arguments))
            found = slots[result.number] if isinstance(result, Slot) else result
            assert not isinstance(found, str)
            return found

        return at


def _called(formula: Formula, arguments: Sequence[Known]) -> float:
    for value, (low, high, _) in zip(arguments, formula.moves, strict=False):
        if not isinstance(value, str) and not low <= value <= high:
            check_valid(formula, [a if isinstance(a, str) else Range.exactly(a) for a in arguments])
    return formula.function(*arguments)
