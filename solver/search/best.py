"""The best builds, with proof.

The tables give, for each value, the least score of any build through it.  A limit a little above the least
score of all leaves few values; the enumeration finds every build within it.  If that is fewer than wanted, the
limit is raised and only then is more looked at.  What is returned is complete: any build not returned scores
no better than the last one that is.
"""

from __future__ import annotations

from dataclasses import dataclass

from ..problem import Problem
from .elimination import NEVER, bounds
from .enumeration import Budget, Found, enumerate_builds
from .model import build_model
from .prefilter import Filtered, prefilter

FIRST_STEP = 2_000


@dataclass(frozen=True)
class Answer:
    """The best builds in order; ``complete`` tells that there are no others at all."""

    builds: tuple[Found, ...]
    filtered: Filtered
    complete: bool


def best_builds(problem: Problem, most: int = 5, budget: Budget | None = None) -> Answer:
    """The ``most`` best builds: certain ones by score, then those that fit if checked by score.

    Complete and proven; see the module.  Raises ``LimitReached`` if the budget runs out first.
    """
    filtered = prefilter(problem.domains, problem.hard)
    if filtered.empty is not None:
        return Answer((), filtered, True)
    found = _level(problem, filtered, True, most, budget)
    if len(found) < most:
        found += _level(problem, filtered, False, most - len(found), budget)
    return Answer(tuple(found), filtered, len(found) < most)


def _level(problem: Problem, filtered: Filtered, certain: bool, most: int, budget: Budget | None) -> list[Found]:
    model = build_model(problem, filtered.domains, certain)
    least = bounds(model.sizes, model.factors)
    if least.total >= NEVER:
        return []
    step = FIRST_STEP
    while True:
        limit = least.total + step
        domains = {
            at: tuple(p for p, low in zip(filtered.domains[at], least.through[i], strict=True) if low <= limit)
            for i, at in enumerate(model.positions)
        }
        everything = all(int(low) <= limit or low >= NEVER for table in least.through for low in table)
        if everything:
            limit = NEVER
        found = enumerate_builds(problem, domains, limit, certain, most, budget)
        if len(found) >= most or everything:
            return found
        step *= 2
