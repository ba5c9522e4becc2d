"""The best builds, with proof.

Candidates that no relation leaves a place for go first.  Then a limit is set on the score, a little above what
prices alone say any build must cost, and raised until enough builds are found:

1. Bounds over the tables there are say what the cheapest build through each candidate would at least cost.
2. Candidates beyond the limit go, which brings wider relations within reach of a table; and so on.
3. What is left, a few dozen candidates, is enumerated with every relation whole.

Every build within the limit is found, so any build not returned scores no better than the last one that is.  How
the limit is raised and how large the tables grow changes the time, never the answer.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from shared.part import Part

from ..problem import Problem
from .elimination import NEVER, bounds
from .enumeration import Found, LimitReached, StepsBudget, enumerate_builds
from .model import Tables
from .possible import Possible

Domains = Mapping[str, tuple[Part | None, ...]]

FIRST_STEP = 2_000
STAGES = ((60, 20_000), (400, 50_000), (1_500, 100_000), (5_000, 200_000))
SHARPER = (1_000_000, 4_000_000)
FIRST_STEPS = 80_000
FEW_BUILDS = 2_000


@dataclass(frozen=True)
class Answer:
    """The best builds in order; ``complete`` tells that there are no others at all."""

    builds: tuple[Found, ...]
    complete: bool


def best_builds(problem: Problem, most: int = 5, possible: Possible | None = None) -> Answer:
    """The ``most`` best builds: certain ones by score, then those that fit if checked by score.

    Complete and proven; see the module.
    """
    domains = (possible or Possible(problem)).left(problem.hard)
    if domains is None:
        return Answer((), True)
    found: list[Found] = []
    for certain in (True, False):
        if len(found) < most:
            search = _Search(problem, certain, most - len(found))
            found += search.within(Tables(problem, domains, certain), -1, NEVER - 1)
    return Answer(tuple(found), len(found) < most)


@dataclass(frozen=True)
class _Search:
    """The best builds of one level of certainty."""

    problem: Problem
    certain: bool
    most: int

    def within(self, tables: Tables, above: int, limit: int, stage: int = 0) -> list[Found]:
        """The best builds that score no more than a limit, when none scores as little as ``above``.

        They are looked for from the least score there can be upwards.
        """
        most_cells, bucket = STAGES[stage]
        tables.take(most_cells)
        if not tables.waiting:
            stage = len(STAGES) - 1
        low = tables.keep(bounds(tables.sizes, tables.factors, bucket), limit)
        step, steps, sharper = FIRST_STEP, FIRST_STEPS, list(SHARPER)
        while low.total <= limit:
            inner = min(limit, max(low.total, above) + step)
            narrow = tables.copy()
            if narrow.keep(low, inner).total > inner:
                if inner >= limit:
                    return []
                above = inner
                step *= 2
                continue
            if narrow.sizes == tables.sizes or tables.cells(range(len(tables.sizes))) <= FEW_BUILDS:
                inner, narrow = limit, tables
            try:
                if stage + 1 < len(STAGES):
                    found = self.within(narrow, above, inner, stage + 1)
                else:
                    found = self.enumerated(narrow, inner, steps)
            except LimitReached:
                if sharper:
                    low = tables.keep(bounds(tables.sizes, tables.factors, sharper.pop(0)), limit)
                else:
                    steps *= 4
                continue
            if len(found) >= self.most or inner >= limit:
                return found
            above = inner
            step *= 2
        return []

    def enumerated(self, tables: Tables, limit: int, steps: int) -> list[Found]:
        """Every build out of the candidates left, every relation asked whole."""
        return enumerate_builds(self.problem, tables.left, limit, self.certain, self.most, StepsBudget(steps))
