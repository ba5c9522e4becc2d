"""On which positions a relation's verdict hangs."""

from __future__ import annotations

from shared.verdict import Verdict

from ..problem import Problem
from ..relations import Build, Relation
from .numbers import requirement


def deciding_positions(problem: Problem, relation: Relation, build: Build) -> tuple[str, ...]:
    """Where a relation's verdict hangs, in the layout's order.

    What is uncertain, if it is in doubt.  If it is broken: each change that, taken back by itself, mends it; or else
    every change it looks at.  A goal line hangs on every change under it.  Where nothing changes, and where all is
    well: what the rule itself looks at, and what it names as a help.
    """
    rule, verdict = requirement(problem, relation), relation.verdict(build)
    subject = rule.subject if rule is not None else (relation.uses[0] if relation.uses else None)
    hangs: set[str] = set()
    if verdict is Verdict.CHECK and subject is not None:
        found = problem.demands.sharp(subject, build)
        owners = {owner for owner, *_ in found.leaves}
        hangs = {
            at
            for at in relation.scope
            if (p := build[at]) is not None
            and ((p.base or p.id) in owners or any(label.endswith(f" of {p.called}") for label in found.missing))
        }
    changed = {at for at in relation.scope if problem.effort.is_new(at, build[at])}
    if not hangs and (relation.kind == "goal limit" or verdict is not Verdict.FITS):
        hangs = changed
        if relation.kind != "goal limit" and verdict is Verdict.NO and len(changed) > 1:
            back = (at for at in changed if relation.verdict({**build, at: problem.stock[at]}) is not Verdict.NO)
            hangs = set(back) or changed
    if not hangs:
        # An empty place that could help is not yet part of the trouble.
        helps = helping(problem, relation)
        hangs = {*relation.parts, *(at for at in helps if build[at] is not None)}
    return tuple(at for at in problem.garage.layout.positions if at in hangs)


def helping(problem: Problem, relation: Relation) -> tuple[str, ...]:
    """The positions a rule names as a help; for a goal line those of the rules on the same quantity."""
    rule = requirement(problem, relation)
    if rule is not None:
        return rule.helps
    if relation.kind != "goal limit":
        return ()
    alike = (r.helps for r in problem.garage.layout.requirements if r.subject == relation.uses[0])
    return tuple(dict.fromkeys(at for helps in alike for at in helps))
