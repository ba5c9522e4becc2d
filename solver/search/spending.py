"""What a goal allows to be spent, and what of it a candidate takes: whole cents, so rounded that nothing is refused
that the goal's own limit would let pass.
"""

from __future__ import annotations

from math import ceil, floor

from shared.part import Part

from ..problem import Problem

# Cents that no goal's money comes near to.
FAR_BEYOND = 10**12


def allowed(problem: Problem) -> int | None:
    """What a build may cost to buy at the most [cents]; ``None`` where no limit says."""
    limits = [r.limit.at_most for r in problem.hard if r.limit is not None and r.limit.quantity == "price"]
    most = min((limit for limit in limits if limit is not None), default=None)
    # Limits are kept to within rounding.
    return None if most is None else ceil(most * 100 * (1 + 1e-9))


def taken(problem: Problem, at: str, part: Part | None, certain: bool) -> int:
    """What a candidate takes of it [cents]: the dearer end of its price where it must certainly do, else the cheaper.

    An unknown price is certainly within no limit, and may be nothing.
    """
    price = problem.effort.part_price(at, part)
    if price is None:
        return FAR_BEYOND if certain else 0
    return floor((price.hi if certain else price.lo) * 100)
