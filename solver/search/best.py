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
from .enumeration import Found, LimitReached, StepsBudget, enumerate_builds
from .model import build_model
from .prefilter import Filtered, prefilter

FIRST_STEP = 2_000
EAGER_STEP = 16_000
CELLS = (200_000, 1_000_000, 4_000_000)
FIRST_STEPS = 80_000


@dataclass(frozen=True)
class Answer:
    """The best builds in order; ``complete`` tells that there are no others at all."""

    builds: tuple[Found, ...]
    filtered: Filtered
    complete: bool


def best_builds(problem: Problem, most: int = 5) -> Answer:
    """The ``most`` best builds: certain ones by score, then those that fit if checked by score.

    Complete and proven; see the module.
    """
    filtered = prefilter(problem.domains, problem.hard)
    if filtered.empty is not None:
        return Answer((), filtered, True)
    found = _level(problem, filtered, True, most)
    if len(found) < most:
        found += _level(problem, filtered, False, most - len(found))
    return Answer(tuple(found), filtered, len(found) < most)


def _level(problem: Problem, filtered: Filtered, certain: bool, most: int) -> list[Found]:
    """The best builds of one level of certainty.

    The limit is raised step by step; where the search would wander, the bounds are made sharper first (larger
    tables split less), and only then is it given more steps.  Neither changes what is found.
    """
    model = build_model(problem, filtered.domains, certain)
    cells = list(CELLS)
    least = bounds(model.sizes, model.factors, cells.pop(0))
    step, steps = FIRST_STEP, FIRST_STEPS
    while least.total < NEVER:
        limit = least.total + step
        domains = {
            at: tuple(p for p, low in zip(filtered.domains[at], least.through[i], strict=True) if low <= limit)
            for i, at in enumerate(model.positions)
        }
        everything = all(int(low) <= limit or low >= NEVER for table in least.through for low in table)
        budget = StepsBudget(steps)
        try:
            found = enumerate_builds(problem, domains, NEVER if everything else limit, certain, most, budget)
        except LimitReached:
            if cells:
                least = bounds(model.sizes, model.factors, cells.pop(0))
            else:
                steps *= 4
            continue
        if len(found) >= most or everything:
            return found
        step *= 2
        if step > EAGER_STEP and cells:
            least = bounds(model.sizes, model.factors, cells.pop(0))
    return []
