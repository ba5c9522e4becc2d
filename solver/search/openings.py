"""The candidates that relations one by one leave a place for, before anything is tried.

Relations that do not count money or work are asked about one of each group of lookalikes; then the others about all
candidates of the groups that are left.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from ..problem import Domain, Problem
from .possible import Possible


def candidates_left(problem: Problem) -> Mapping[str, Domain] | None:
    """The candidates left at every position; ``None`` if one is left empty."""
    looks = problem.lookalikes
    firsts = {at: tuple(own[0] for own in looks.groups(at, parts)) for at, parts in problem.domains.items()}
    counting = [r for r in problem.hard if r.of_effort]
    few = Possible(replace(problem, domains=firsts)).left([r for r in problem.hard if not r.of_effort])
    if few is None:
        return None
    kept = {at: {looks.key(at, part) for part in parts} for at, parts in few.items()}
    domains = {
        at: tuple(part for part in parts if looks.key(at, part) in kept[at]) for at, parts in problem.domains.items()
    }
    return Possible(replace(problem, domains=domains)).left(counting) if counting else domains
