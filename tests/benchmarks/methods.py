"""What is measured: one way of finding the ten best builds each, told apart by name.

A method takes a problem, how many builds are wanted, and the seconds it has; it gives the builds with proof, or
raises ``LimitReached``, and fills ``parts`` with what its parts took.  A method that cannot keep to its time is
stopped from outside.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from time import perf_counter

import constraint

from shared.verdict import Verdict
from solver.problem import Problem
from solver.search.best import best_builds
from solver.search.cp_sat.engine import CpSat
from solver.search.engines import engine
from solver.search.enumeration import Found, holds_for

Parts = dict[str, float]
Method = Callable[[Problem, int, float, Parts], list[Found]]


def ours(problem: Problem, most: int, seconds: float, parts: Parts) -> list[Found]:
    """Reductions and bounds, then python-constraint2."""
    return list(best_builds(problem, most).builds)


def ours_and_usable(problem: Problem, most: int, seconds: float, parts: Parts) -> list[Found]:
    """The same, then whether each candidate is in any build."""
    start = perf_counter()
    builds = list(best_builds(problem, most).builds)
    parts["best"] = perf_counter() - start
    parts["usable candidates"] = float(len(engine("ours").usable(problem)))
    return builds


def cp_sat(workers: int, thin: bool, listing: bool = False, reduce: bool = False) -> Method:
    """CP-SAT: solved anew for every build, or its optimum first and then everything within a limit.

    Raw it gets every candidate; ``thin``, one of each interchange class as far as that is exact; with ``reduce``
    what our prefilter leaves.
    """

    def run(problem: Problem, most: int, seconds: float, parts: Parts) -> list[Found]:
        own = CpSat(workers, reduce, thin, seconds=seconds, enumerate=listing, measured=parts)
        return list(own.best(problem, most).builds)

    return run


def plain(problem: Problem, most: int, seconds: float, parts: Parts) -> list[Found]:
    """python-constraint2 alone: every relation a constraint, every solution scored."""
    dearest = problem.dearest
    names = list(problem.domains)
    csp = constraint.Problem(constraint.OptimizedBacktrackingSolver(forwardcheck=False))
    for at in names:
        csp.addVariable(at, list(range(len(problem.domains[at]))))
    for relation in problem.hard:
        csp.addConstraint(holds_for(relation, relation.scope, problem.domains, {}, Verdict.CHECK), list(relation.scope))
    found: list[Found] = []
    for solution in csp.getSolutionIter():
        parts["solutions seen"] = parts.get("solutions seen", 0.0) + 1
        build = {at: problem.domains[at][solution[at]] for at in names}
        doubtful = any(r.verdict(build) is Verdict.CHECK for r in problem.hard)
        ids = tuple("" if p is None else p.id for p in build.values())
        found.append(Found(problem.scoring.score(build, dearest), doubtful, ids, build))
        found.sort(key=lambda f: f.rank)
        del found[most:]
    return found


METHODS: Mapping[str, Method] = {
    "ours": ours,
    "ours+usable": ours_and_usable,
    "cp-sat-1-raw": cp_sat(1, False),
    "cp-sat-2-raw": cp_sat(2, False),
    "cp-sat-1-classes": cp_sat(1, True),
    "cp-sat-2-classes": cp_sat(2, True),
    "cp-sat-1-listed": cp_sat(1, True, listing=True),
    "cp-sat-1-prefiltered": cp_sat(1, True, reduce=True),
    "python-constraint2": plain,
}
