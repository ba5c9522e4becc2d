"""Blurred candidates: one part that stands for several, each figure the range that theirs lie in.

What a goal asks of a quantity (a lift, a ride) decides most of what a build costs, but the quantity often hangs on too
many parts to be computed for every combination.  Here the candidates are put into groups and the quantity is computed
for each combination of groups: its range holds whatever their members give.  Positions that hardly matter stay one
group; those that blur the outcome most are split until there are as many combinations as were wanted.

Only parts of one shape are blurred together: all of them say a figure or none does, and words are the same.

Invariant: a build of members costs at least what the build of their groups does.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from heapq import heapify, heappop, heappush
from itertools import product
from math import inf, prod
from operator import itemgetter

import numpy as np

from knowledge.computing.dataflow import Dataflow
from shared.goal import Preference
from shared.layout import Input
from shared.part import Part
from shared.ranges import Range
from shared.verdict import Verdict

from ..holding import verdict_on
from ..problem import Problem
from ..scoring import cents
from .factors import NEVER, Groups, Table
from .figures import Figures, Members, Sheet

Domain = tuple[Part | None, ...]


@dataclass(frozen=True, eq=False)
class Blurred:
    """Costs by groups of candidates: the positions that are told apart, their groups, one axis for each."""

    positions: tuple[str, ...]
    groups: tuple[Groups, ...]
    costs: Table


@dataclass(frozen=True, eq=False)
class _Outcomes:
    """What a quantity may be for every combination of groups: what was asked for, the groups of every position of its
    scope, which are told apart, and the outcomes in the order of :func:`itertools.product`."""

    asked: tuple[Mapping[str, Domain], int, int]
    groups: Mapping[str, Groups]
    opened: frozenset[str]
    values: tuple[Range | str | None, ...]


@dataclass
class Blurs:
    """Computes quantities of one problem for blurred parts, and remembers how it went about them."""

    problem: Problem
    flow: Dataflow = field(init=False)
    _figures: dict[str, dict[str, Figures]] = field(init=False, default_factory=dict)
    _slopes: dict[tuple[str, str, int, int], float] = field(init=False, default_factory=dict)
    _last: dict[str, _Outcomes | None] = field(init=False, default_factory=dict)

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
        found = self._outcomes(quantity, domains, most, cells)
        if found is None:
            return None
        costs = np.array([cost(value) if isinstance(value, Range) else 0 for value in found.values], dtype=np.int64)
        costs = costs.reshape([len(found.groups[at]) for at in scope])
        closed = tuple(i for i, at in enumerate(scope) if at not in found.opened)
        costs = costs.min(axis=closed) if closed else costs
        apart = tuple(at for at in scope if at in found.opened)
        return Blurred(apart, tuple(found.groups[at] for at in apart), costs) if costs.any() else None

    def _outcomes(self, quantity: str, domains: Mapping[str, Domain], most: int, cells: int) -> _Outcomes | None:
        """What a quantity may be for each combination of groups; the last answer serves whoever asks the same."""
        asked = domains, most, cells
        last = self._last.get(quantity)
        if last is not None and last.asked == asked:
            return last
        scope = self.problem.flow.scope[quantity]
        figures = self._figures_of(quantity)
        sheets = {at: figures[at].sheet(domains[at]) for at in scope}
        split = self._split(quantity, sheets, most, cells)
        found = None
        if split is not None:
            groups, opened = split
            for own in groups.values():
                own.sort(key=itemgetter(0))
            parts = [[figures[at].blurred(sheets[at], members) for members in groups[at]] for at in scope]
            values = tuple(
                self.flow.value(quantity, dict(zip(scope, chosen, strict=True))).value for chosen in product(*parts)
            )
            numbered = {at: tuple(tuple(members.tolist()) for members in own) for at, own in groups.items()}
            found = _Outcomes(asked, numbered, opened, values)
            self.flow.forget()
        self._last[quantity] = found
        return found

    def _figures_of(self, quantity: str) -> Mapping[str, Figures]:
        """For each position of a quantity what is read there."""
        if quantity not in self._figures:
            paths = self.flow.paths([Input("quantity", quantity)])
            scope = self.problem.flow.scope[quantity]
            self._figures[quantity] = {at: Figures(self.flow, at, paths.get(at, ())) for at in scope}
        return self._figures[quantity]

    # -- groups

    def _split(
        self, quantity: str, sheets: Mapping[str, Sheet], most: int, cells: int
    ) -> tuple[dict[str, list[Members]], frozenset[str]] | None:
        """For each position of a quantity its candidates in groups, and the positions that are told apart.

        Always the group is split that blurs the outcome most, as long as there is room for more combinations.
        """
        groups = {
            at: [np.flatnonzero(sheet.shapes == shape) for shape in dict.fromkeys(sheet.shapes.tolist())]
            for at, sheet in sheets.items()
        }
        count = prod(map(len, groups.values()))
        if count > most:
            return None
        order = list(sheets)
        opened: set[str] = set()
        numbers = iter(range(2 * most + 2 * count))

        def entry(at: str, members: Members) -> tuple[float, int, int, Members]:
            return -self._width(quantity, at, sheets[at], members), order.index(at), next(numbers), members

        waiting = [entry(at, members) for at, own in groups.items() for members in own if len(members) > 1]
        heapify(waiting)
        while waiting:
            width, at_number, _, members = heappop(waiting)
            at = order[at_number]
            # What has no room now never has: combinations only become more.
            fits = at in opened or len(sheets[at].parts) <= cells // prod(len(sheets[p].parts) for p in opened)
            if not width or not fits or count + count // len(groups[at]) > most:
                continue
            halves = self._halves(quantity, at, sheets[at], members)
            if halves is None:
                continue
            opened.add(at)
            count += count // len(groups[at])
            groups[at] = [*(own for own in groups[at] if own is not members), *halves]
            for half in halves:
                if len(half) > 1:
                    heappush(waiting, entry(at, half))
        return (groups, frozenset(opened)) if opened else None

    def _width(self, quantity: str, at: str, sheet: Sheet, members: Members) -> float:
        """How much blurring a group blurs the outcome, all else as it is on the car now."""
        part = self._figures[quantity][at].blurred(sheet, members)
        return self._outcome(quantity, at, part)

    def _outcome(self, quantity: str, at: str, part: Part | None) -> float:
        """How wide the outcome is with a part, all else as it is on the car now."""
        stock = {p: self.problem.stock[p] for p in self.problem.flow.scope[quantity]}
        return _width(self.flow.value(quantity, {**stock, at: part}).value)

    def _halves(self, quantity: str, at: str, sheet: Sheet, members: Members) -> tuple[Members, Members] | None:
        """A group in two, by the figure that blurs most."""
        spans = sheet.spans(members).tolist()
        best: tuple[tuple[float, float], int] | None = None
        for column, span in enumerate(spans):
            if span > 0.0:
                width = self._slope(quantity, at, sheet, members, column) * span
                weight = width, span / float(np.abs(sheet.middles(members)[:, column]).max())
                if best is None or weight > best[0]:
                    best = weight, column
        if best is None:
            return None
        middles = sheet.middles(members)[:, best[1]]
        low_end, high_end = middles.min(), middles.max()
        middle = (low_end + high_end) / 2
        # Between neighbouring numbers there is no middle.
        low = middles <= (middle if middle < high_end else low_end)
        return members[low], members[~low]

    def _slope(self, quantity: str, at: str, sheet: Sheet, members: Members, column: int) -> float:
        """How much an attribute blurs the outcome for what it goes through itself, as found where first asked."""
        key = quantity, at, int(sheet.shapes[members[0]]), column
        slope = self._slopes.get(key)
        if slope is None:
            part = self._figures[quantity][at].moved(sheet, members, column)
            slope = self._outcome(quantity, at, part) / float(sheet.spans(members)[column])
            if slope < inf:
                self._slopes[key] = slope
        return slope


def limit_cost(low: Range | None, high: Range | None) -> Callable[[Range], int]:
    """What limits make of a range: never, where no value in it passes, or nothing."""
    return lambda value: NEVER if verdict_on(value, low, high) is Verdict.NO else 0


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
