"""One part changed in a build and everything else left as it is: what stands in when a part is bad or gone."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

from shared.part import Part
from shared.verdict import Verdict

from ..graph.sources import put
from ..problem import Problem
from ..relations import Build


@dataclass(frozen=True)
class Swap:
    """A part in the place of the planned one: the build with it, its verdict, and its score in cents."""

    position: str
    part: Part | None
    build: Build
    verdict: Verdict
    score: int


def verdict_of(problem: Problem, build: Build) -> Verdict:
    """The worst of what the rules say to a build; the search for a *no* ends at the first."""
    worst = Verdict.FITS
    rules = sorted(problem.hard, key=lambda r: len(r.scope))
    if any(r.outlook(build).verdict is Verdict.NO for r in rules):
        return Verdict.NO
    for rule in rules:
        worst = max(worst, rule.verdict(build))
        if worst is Verdict.NO:
            break
    return worst


def without(problem: Problem, build: Build, at: str) -> dict[str, Part | None]:
    """A build with what is fitted now put back at a position, and what came with the planned part as well."""
    found = dict(build)
    old = build[at]
    for place, other in build.items():
        if old is not None and other is not None and other.host == old.id:
            found[place] = problem.stock[place]
    found[at] = problem.stock[at]
    return found


def swaps(
    problem: Problem,
    build: Build,
    at: str,
    allowed: Callable[[Part], bool],
    dearest: Mapping[str, int],
) -> Iterable[Swap]:
    """Every other candidate of a position that goes into a build, the best first."""
    found = []
    for part in problem.domains[at]:
        if part is build[at] or (part is not None and (part.host is not None or not allowed(part))):
            continue
        made = (
            without(problem, build, at) if part is None or part is problem.stock[at] else put(problem, build, at, part)
        )
        if part is None:
            made[at] = None
        verdict = verdict_of(problem, made)
        if verdict is not Verdict.NO:
            found.append(Swap(at, part, made, verdict, problem.scoring.score(made, dearest)))
    return sorted(found, key=lambda s: (s.verdict, s.score, "" if s.part is None else s.part.id))
