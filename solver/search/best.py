"""The best builds, with proof.

Candidates that no relation leaves a place for go first.  Then a limit is set on the score, a little above what
prices alone say any build must cost, and raised until enough builds are found:

1. Bounds over the tables there are say what the cheapest build through each candidate would at least cost.
2. Candidates beyond the limit go, which brings wider relations within reach of a table; and so on.
3. What is left, a few dozen candidates, is enumerated with every relation whole; where that wanders the limit is
   brought nearer.

Every build within the limit is found, so any build not returned scores no better than the last one that is.  How
the limit is raised and how large the tables grow changes the time, never the answer.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from knowledge.files.lasting import uncollected
from shared.part import Part

from ..problem import Problem
from .certainty import no_certain_build
from .elimination import Bounds
from .enumeration import Found, LimitReached, StepsBudget, enumerate_builds
from .factors import NEVER
from .interchange import thinned
from .model import SPENT, Counted, Tables
from .openings import candidates_left

Domains = Mapping[str, tuple[Part | None, ...]]

# Money is in cents, tables in cells.  All of these change the time, never the answer.
FIRST_STEP = 2_000
# A step is no less than this part of all the way the limit has come.
STEPS_OF_CLIMB = 8
# The largest relation made a table, and the largest product of tables in the bounds; the last ones only when wandering.
STAGES = (
    (60, 20_000),
    (400, 50_000),
    (1_500, 100_000),
    (5_000, 200_000),
    (20_000, 400_000),
    (80_000, 1_000_000),
    (250_000, 2_000_000),
)
USUAL_STAGES = 4
FIRST_STEPS = 20_000
LEAST_STEP = 400
NEAR = 30
NOT_FAR = 350
FAR = 10_000_000
FEW_BUILDS = 2_000
MANY_BUILDS = 10**9
WORTH_ANOTHER = 10**6
# How many times over what is spent too much is counted with the score, at the most.
MOST_COUNTED = 64


@dataclass(frozen=True)
class Answer:
    """The best builds in order; ``complete`` tells that there are no others at all."""

    builds: tuple[Found, ...]
    complete: bool


@uncollected()
def best_builds(
    problem: Problem, most: int = 5, most_steps: int | None = None, most_stages: int = len(STAGES)
) -> Answer:
    """The ``most`` best builds: certain ones by score, then those that fit if checked by score.

    Complete and proven; see the module.  Raises :class:`LimitReached` where that takes more than ``most_steps``; the
    tables grow through no more than so many stages, of which there are seven.
    """
    domains = candidates_left(problem)
    if domains is None:
        return Answer((), True)
    found: list[Found] = []
    spent = StepsBudget(most_steps)
    for certain in (True, False):
        if len(found) < most:
            search = _Search(problem, domains, certain, most - len(found), spent, STAGES[:most_stages])
            try:
                found += search.run()
            except LimitReached as reached:
                raise LimitReached(str(reached), none=search.above) from None
    return Answer(tuple(found), len(found) < most)


class _NoneCertain(Exception):
    """It was proved that no build fits for certain."""


class _TooFar(Exception):
    """Too many builds are within the limit for tables of the usual size, and a nearer one is worth trying."""


class _Wandered(Exception):
    """The last enumeration was stopped by its steps; nothing beyond ``limit`` is among the best."""

    def __init__(self, limit: int) -> None:
        self.limit = limit


@dataclass
class _Search:
    """The best builds of one level of certainty; no build scores ``above`` or less, as far as is proven.

    ``domains`` are the candidates that relations one by one leave.
    ``known`` tells that it need not be asked whether there are any, ``near`` how far beyond what is proven a limit may
    lie for larger tables to be worth making, ``start`` the first thing that was proven.
    """

    problem: Problem
    domains: Domains
    certain: bool
    most: int
    spent: StepsBudget
    stages: tuple[tuple[int, int], ...] = STAGES
    above: int = -1
    known: bool = False
    near: int = field(default_factory=lambda: NOT_FAR)
    start: int | None = None

    def run(self) -> list[Found]:
        """The best builds out of the candidates that may be in one."""
        try:
            return self.within(Tables(self.problem, self.domains, self.certain), NEVER - 1)
        except _NoneCertain:
            return []

    def within(self, tables: Tables, limit: int, stage: int = 0) -> list[Found]:
        """The best builds that score no more than a limit, looked for from the least there can be upwards.

        Where the search wanders, a nearer limit is tried, which leaves fewer candidates; where that is as near as is
        worth trying, it is given more steps.
        """
        most_cells, bucket = self.stages[stage]
        while True:
            more = tables.take(most_cells)
            before = tables.builds
            low = self._kept(tables, bucket, limit)
            if low.total > limit or not tables.waiting or not (more or tables.builds * WORTH_ANOTHER <= before):
                break
        step = max(FIRST_STEP, self._climbed(low.total) // STEPS_OF_CLIMB)
        steps, few = min(FIRST_STEPS, self.spent.most or FIRST_STEPS), FEW_BUILDS
        if not tables.waiting and low.total <= limit:
            # Larger tables cannot come, and the bound is next to exact: look there first.
            stage, step = len(self.stages) - 1, 0
            low = self._kept(tables, self.stages[-1][1], limit)
        elif (
            stage == USUAL_STAGES and tables.builds > MANY_BUILDS and limit - max(low.total - 1, self.above) > self.near
        ):
            # Nearer limits are tried before larger tables.
            raise _TooFar
        leap = LEAST_STEP
        while low.total <= limit:
            least = max(low.total, self.above + 1)
            inner = limit if tables.builds <= few or step > FAR else min(limit, least + step)
            narrow = tables.copy()
            found: list[Found] = []
            try:
                if narrow.keep(low, inner).total <= inner:
                    found = self._deeper(narrow, inner, steps, stage + 1)
            except _TooFar:
                self.above = max(self.above, least - 1)
                few, step, leap = 0, self.near - 1, 1
                self.near *= 2
                continue
            except _Wandered as wandered:
                if wandered.limit < inner:
                    limit = wandered.limit
                few, step, leap = 0, min(inner - least, FAR) // 3, 1
                if step < NEAR:
                    steps *= 4
                continue
            if len(found) >= self.most or inner >= limit:
                return found
            self.above = max(self.above, inner)
            step = max(2 * step, leap)
        return []

    def _climbed(self, low: int) -> int:
        """How far what is proven has come since the first bound."""
        if self.start is None:
            self.start = low
        return max(self.above, low) - self.start

    def _look_for_certain(self, found: int) -> None:
        """Having wandered without having ``found`` a build: whether what is looked for can be there at all."""
        if self.certain and not (self.known or found) and no_certain_build(replace(self.problem, domains=self.domains)):
            raise _NoneCertain
        self.known = True

    @staticmethod
    def _kept(tables: Tables, bucket: int, limit: int) -> Bounds:
        """The bounds of what is left within the limit, and within the money."""
        least = 0
        # What is bought is part of the score: within a limit as low as the money no build spends too much.
        if tables.money is not None and limit > tables.money:
            dear = tables.keep(tables.bounds(bucket, SPENT), 0, SPENT)
            if dear.total > 0:
                return Bounds(limit + 1, dear.through)
            # The bound rises with how many times over it is counted, and then falls.
            times = 1
            while times <= MOST_COUNTED:
                counted = Counted(1, times)
                dear = tables.keep(tables.bounds(bucket, counted), limit, counted)
                if dear.total > limit:
                    return dear
                if dear.total <= least:
                    break
                least = dear.total
                times *= 2
        for rules in (False, True) if tables.rules_blurred else (True,):
            low = tables.keep(tables.bounds(bucket, rules=rules), limit)
            least = max(least, low.total)
            if least > limit:
                break
        return Bounds(least, low.through)

    def _completed(self, tables: Tables, most_cells: int, bucket: int, limit: int) -> bool:
        """Whether anything is left within the limit when all is in the tables that now can be."""
        while True:
            waiting = len(tables.waiting)
            tables.take(most_cells)
            if self._kept(tables, bucket, limit).total > limit:
                return False
            if len(tables.waiting) in (0, waiting):
                return True

    def _ways_parted(self, tables: Tables, bucket: int, limit: int) -> bool:
        """Whether anything is left within the limit when it is seen which parts may come from one donor."""
        before = tables.builds
        if not tables.part_ways(bucket, limit):
            return False
        return tables.builds == before or self._kept(tables, bucket, limit).total <= limit

    def _deeper(self, tables: Tables, limit: int, steps: int, stage: int) -> list[Found]:
        """The next stage; after the usual ones every build out of the candidates left, every relation asked whole.

        If that wanders, there are stages with larger tables.
        """
        last = stage >= len(self.stages)
        if last or (stage >= USUAL_STAGES and tables.builds <= MANY_BUILDS):
            most_cells, bucket = self.stages[min(stage, len(self.stages) - 1)]
            if not (self._completed(tables, most_cells, bucket, limit) and self._ways_parted(tables, bucket, limit)):
                return []
            budget = StepsBudget(steps)
            left = thinned(self.problem, tables.left, self.most)
            charges = tables.charges(left)
            try:
                return enumerate_builds(self.problem, left, limit, self.certain, self.most, budget, charges)
            except LimitReached as reached:
                self.spent.count += budget.count
                self.spent.spend()
                if reached.within is not None:
                    limit = min(limit, reached.within)
                if last:
                    self._look_for_certain(reached.found)
                    raise _Wandered(limit) from None
        return self.within(tables, limit, stage)
