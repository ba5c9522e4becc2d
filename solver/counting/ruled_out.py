"""Exact counts of the combinations each rule rules out: by itself, and beyond all the others."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product
from math import prod

import numpy as np
from numpy.typing import NDArray

from knowledge.files.cache import code_key, kept
from shared.part import Part
from shared.verdict import Verdict

from ..problem import Problem
from ..relations import Relation
from ..search.counts import Counter
from ..search.enumeration import LimitReached
from ..search.possible import Possible
from ..search.relation_rule import RelationRule
from ..search.usable import usable_candidates
from .joint import builds_meeting
from .spent import kept_by
from .wide import WideCounts

MOST_TUPLES = 3_000
# Few enough to be listed at once.
FEW_TUPLES = 300
MOST_NODES = 400
MOST_WHOLE = 10_000
# Rows joined and rules asked (see :mod:`solver.counting.contraction`): two minutes at the most, or about.
MOST_JOINED = 40_000_000


def combinations_of(problem: Problem) -> int:
    """How many ways there are to fill every position."""
    return prod(len(parts) for parts in problem.domains.values())


def counted_meeting(problem: Problem, with_part: tuple[str, Part] | None = None, most: int = MOST_JOINED) -> int | None:
    """How many combinations meet every hard relation; of those with a part at a position if one is named.

    ``None`` where that is more work than ``most``, or a limit is on what is no sum (donors).
    """
    try:
        found = usable_candidates(problem)
        domains = {
            at: tuple(p for p in parts if (at, "" if p is None else p.id) in found)
            for at, parts in problem.domains.items()
        }
        if with_part is not None:
            at, part = with_part
            domains[at] = tuple(p for p in domains[at] if p is part)
        return builds_meeting(problem, domains, most) if all(domains.values()) else 0
    except LimitReached:
        return None


@dataclass(frozen=True)
class Whole:
    """Every combination judged: how many meet all rules, and by rule what it refuses alone and beyond the others."""

    meeting: int
    alone: dict[str, int]
    beyond: dict[str, int]


def counted_whole(problem: Problem, most: int = MOST_WHOLE) -> Whole | None:
    """The counts of a small catalogue, every rule asked of every combination; ``None`` for more than ``most``."""
    if combinations_of(problem) > most:
        return None
    opened = [at for at, parts in problem.domains.items() if len(parts) > 1]
    shape = [len(problem.domains[at]) for at in opened]
    refused = {r.name: _refused(problem, r, opened, shape) for r in problem.hard}
    refusals = sum(refused.values(), np.zeros(shape, dtype=np.int64))
    return Whole(
        meeting=int((refusals == 0).sum()),
        alone={name: int(table.sum()) for name, table in refused.items()},
        beyond={name: int((table & (refusals == 1)).sum()) for name, table in refused.items()},
    )


def _refused(problem: Problem, relation: Relation, opened: list[str], shape: list[int]) -> NDArray[np.bool_]:
    """Which combinations of the positions with a choice a rule refuses."""
    domains = problem.domains
    own = [at for at in opened if at in relation.scope]
    settled = {at: domains[at][0] for at in relation.scope if at not in own}
    table = np.zeros([len(domains[at]) for at in own], dtype=bool)
    for index in product(*(range(len(domains[at])) for at in own)):
        build = {**settled, **{at: domains[at][i] for at, i in zip(own, index, strict=True)}}
        table[index] = relation.verdict(build) is Verdict.NO
    spread = table.reshape([len(domains[at]) if at in own else 1 for at in opened])
    return np.broadcast_to(spread, shape)


def removed_alone(possible: Possible, most_tuples: int = MOST_TUPLES, most_wide: int = 0) -> dict[str, int | None]:
    """For every hard relation how many combinations of all candidates it alone rules out.

    ``None`` where the scope has more than ``most_tuples`` combinations of candidates that the relation can tell
    apart, counting it along the flow of quantities takes more work than ``most_wide`` (see
    :class:`solver.counting.wide.WideCounts`; with 0 that is not tried), and it is no sum over the build either:
    such a relation is not counted rather than guessed.

    Counts of what was read from files are kept between runs, by the content of these files and of the program.
    """
    pieces = _asked_of(possible.problem)
    if pieces is None:
        return _counted_alone(possible, most_tuples, most_wide)
    limits = f"{most_tuples} {most_wide}".encode()
    return kept("counts", (*pieces, limits), lambda: _counted_alone(possible, most_tuples, most_wide), lambda: True)


def _asked_of(problem: Problem) -> tuple[bytes, ...] | None:
    """Everything the counts of a problem hang on; ``None`` where that is not in files alone."""
    garage = problem.garage
    candidates = [part for parts in problem.domains.values() for part in parts if part is not None]
    if not garage.content or any(garage.parts.get(part.id) is not part for part in candidates):
        return None
    domains = {at: [None if part is None else part.id for part in parts] for at, parts in problem.domains.items()}
    names = [relation.name for relation in problem.hard]
    return (
        code_key("solver").encode(),
        garage.content.encode(),
        *(repr(x).encode("utf-8", "surrogateescape") for x in (problem.goal, domains, names)),
    )


def _counted_alone(possible: Possible, most_tuples: int, most_wide: int) -> dict[str, int | None]:
    """The same, counted now."""
    problem = possible.problem
    total = combinations_of(problem)
    wide = WideCounts(problem)
    found: dict[str, int | None] = {}
    for relation in problem.hard:
        rule = possible.rule(relation)
        tuples = prod(rule.full) if isinstance(rule, RelationRule) else 0
        refused: int | None = None
        if tuples > FEW_TUPLES and most_wide:
            refused = wide.refused(relation, most_wide if tuples > most_tuples else min(most_wide, tuples))
        if refused is None and isinstance(rule, RelationRule) and tuples <= most_tuples:
            refused = rule.refused()
        if refused is None:
            found[relation.name] = _over_the_build(possible, relation, total)
        else:
            size = prod(len(problem.domains[p]) for p in relation.scope)
            found[relation.name] = refused * (total // size) if size else 0
    return found


def _over_the_build(possible: Possible, relation: Relation, total: int) -> int | None:
    """The same for a limit on the whole build (money, labour, skill); ``None`` where that would take too long."""
    if relation.limit is None or isinstance(possible.rule(relation), RelationRule):
        return None
    kept = kept_by(possible.problem, relation.limit)
    if kept is not None:
        return total - kept
    try:
        return total - Counter(possible, MOST_NODES).count([relation])
    except LimitReached:
        return None
