"""Whether any build passes a set of relations at all.

Costs play no part here.  The prefilter settles most questions; then a short search looks for one build, stock
parts first; only if that neither finds one nor runs out of candidates are the tables made and asked.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import constraint

from shared.part import Part
from shared.verdict import Verdict

from ..problem import Problem
from ..relations import Relation
from .elimination import NEVER, bounds
from .enumeration import LimitReached, Spender, StepsBudget, holds_for
from .model import build_model
from .prefilter import prefilter

QUICK_STEPS = 60_000
LONG_STEPS = 400_000


def satisfying_build(problem: Problem, relations: Sequence[Relation]) -> Mapping[str, Part | None] | None:
    """A build that passes these relations, whatever others say; ``None`` if there is none.

    Positions no relation looks at hold what is fitted now.  Raises ``LimitReached``
    if that cannot be told in :data:`LONG_STEPS` steps.
    """
    seen = {at for relation in relations for at in relation.scope}
    domains = {at: parts if at in seen else parts[:1] for at, parts in problem.domains.items()}
    narrowed = replace(problem, domains=domains, relations=tuple(relations))
    filtered = prefilter(domains, relations)
    if filtered.empty is not None:
        return None
    try:
        return _first(filtered.domains, relations, StepsBudget(QUICK_STEPS))
    except LimitReached:
        pass
    model = build_model(narrowed, filtered.domains, certain=False, costs=False)
    least = bounds(model.sizes, model.factors)
    if least.total >= NEVER:
        return None
    left = {
        at: tuple(p for p, low in zip(filtered.domains[at], least.through[i], strict=True) if low < NEVER)
        for i, at in enumerate(model.positions)
    }
    return _first(left, relations, StepsBudget(LONG_STEPS))


def _first(
    domains: Mapping[str, tuple[Part | None, ...]], relations: Sequence[Relation], budget: Spender
) -> Mapping[str, Part | None] | None:
    """The first build python-constraint2 finds, or ``None`` if there is none."""
    fixed = {at: parts[0] for at, parts in domains.items() if len(parts) == 1}
    opened = [at for at, parts in domains.items() if len(parts) > 1]
    csp = constraint.Problem(constraint.OptimizedBacktrackingSolver(forwardcheck=False))
    for at in opened:
        csp.addVariable(at, list(range(len(domains[at]) - 1, -1, -1)))
    for relation in relations:
        asked = tuple(at for at in relation.scope if at not in fixed)
        if asked:
            csp.addConstraint(holds_for(relation, asked, domains, fixed, Verdict.CHECK, budget), list(asked))
        elif relation.verdict(fixed) is Verdict.NO:
            return None
    if not opened:
        return fixed
    solution = csp.getSolution()
    if solution is None:
        return None
    return {at: fixed[at] if at in fixed else domains[at][solution[at]] for at in domains}
