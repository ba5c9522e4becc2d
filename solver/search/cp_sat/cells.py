"""Cells: the outcomes of a quantity, gathered into ranges where there are many.

A cell stands for one outcome exactly or for all outcomes within a range; what is computed from a range holds for
every outcome in it.  Where that cannot be had (a formula that is not valid over the whole range, a second way of
computing that might be taken) the outcome is *anything*, and nothing is concluded from it.

Invariant: whatever a build gives a quantity is in one of the cells its parts lead to.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from knowledge.computing.dataflow import Dataflow
from knowledge.computing.quantities import Result, inputs_of
from shared.evidence import Evidence
from shared.goal import Preference
from shared.layout import Input
from shared.ranges import Range

from ...problem import Problem
from ...relations import Build
from ...scoring import cents

MOST_CELLS = 40
ANYTHING = Result(None, Evidence.MEASURED, trouble="anything")


@dataclass(frozen=True)
class Outcome:
    """What a quantity may be: one result exactly (``single``), or anything within a result's range."""

    result: Result
    single: bool = True


class Cells:
    """Outcomes of the quantities of one problem."""

    def __init__(self, problem: Problem) -> None:
        self.flow = problem.flow
        layout = self.flow.layout
        first = {name: replace(q, ways=q.ways[:1]) for name, q in layout.quantities.items()}
        # Only the first way of computing is followed; where it fails, or may fail within a range, nothing is known.
        self.first = Dataflow(
            replace(layout, quantities=first), problem.garage.vehicle, self.flow.stock_build, self.flow.loads
        )

    def below(self, name: str) -> tuple[dict[str, tuple[str, ...]], list[str]]:
        """What a quantity is first tried to be computed from: attributes by position, quantities of several ones."""
        positions: dict[str, set[str]] = {}
        quantities: list[str] = []
        for item in inputs_of(self.first.layout.quantities[name]):
            if item.source == "quantity" and len(self.flow.scope[item.name]) > 1:
                quantities.append(item.name)
            else:
                for at, paths in self.flow.paths([item]).items():
                    positions.setdefault(at, set()).update(paths)
        return {at: tuple(sorted(paths)) for at, paths in positions.items()}, list(dict.fromkeys(quantities))

    def outcome(self, name: str, parts: Build, known: Mapping[str, Outcome]) -> Outcome:
        """What a quantity is, computed from parts and outcomes of quantities."""
        if any(outcome.result is ANYTHING for outcome in known.values()):
            return Outcome(ANYTHING, False)
        found = self.first.input_given(
            Input("quantity", name), parts, {q: outcome.result for q, outcome in known.items()}
        )
        if found.value is None and not found.impossible:
            return Outcome(ANYTHING, False)
        single = all(outcome.single for outcome in known.values())
        return Outcome(found, single) if single or isinstance(found.value, Range) else Outcome(ANYTHING, False)

    def gathered(self, outcomes: Sequence[Outcome], most: int = MOST_CELLS) -> tuple[list[Outcome], list[int]]:
        """Outcomes without repetition, and for each one given the number of its cell; ranges where they are many."""
        kept = list(dict.fromkeys(outcomes))
        if len(kept) <= most:
            numbers = {outcome: i for i, outcome in enumerate(kept)}
            return kept, [numbers[outcome] for outcome in outcomes]
        ranges = [o.result.value for o in kept if isinstance(o.result.value, Range)]
        low, high = min((r.lo for r in ranges), default=0.0), max((r.lo for r in ranges), default=0.0)
        wide = (high - low) / most or 1.0
        merged: dict[object, Outcome] = {}
        cell_of: dict[Outcome, object] = {}
        for outcome in kept:
            value = outcome.result.value
            key: object = outcome
            if isinstance(value, Range):
                key = min(int((value.lo - low) / wide), most - 1)
            elif value is None and not outcome.result.impossible:
                key = "anything"
            cell_of[outcome] = key
            merged[key] = outcome if key not in merged else _hull(merged[key], outcome)
        order = {key: i for i, key in enumerate(merged)}
        return list(merged.values()), [order[cell_of[outcome]] for outcome in outcomes]

    def least_cost(self, term: Preference, outcome: Outcome) -> int:
        """The least a preference can cost on an outcome."""
        value = outcome.result.value
        if not isinstance(value, Range):
            return 0
        to = term.to or 0.0
        if term.aim == "near":
            missed = max(0.0, value.lo - to, to - value.hi)
        elif term.aim == "most":
            missed = max(0.0, to - value.hi)
        else:
            missed = max(0.0, value.lo - to)
        return max(0, cents(term.worth * missed) - (0 if outcome.single else 1))


def _hull(one: Outcome, two: Outcome) -> Outcome:
    a, b = one.result, two.result
    if not isinstance(a.value, Range) or not isinstance(b.value, Range):
        return Outcome(ANYTHING, False)
    return Outcome(Result(a.value.hull(b.value), max(a.evidence, b.evidence), sharp=False), False)
