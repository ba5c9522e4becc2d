"""One set of relations handed to CP-SAT: solved, judged whole, and what the relations refuse cut off.

A refused build is cut off together with everything that is like it in the eyes of the relation that refuses, and as
much more around it as the relation's bound allows.

Invariant: no build that passes the relations is ever cut off, unless it was asked for.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from itertools import product
from math import prod
from time import monotonic
from typing import Any

from ortools.sat.python import cp_model

from shared.part import Part
from shared.verdict import Verdict

from ...problem import Problem
from ...relations import Build, Relation
from ..enumeration import LimitReached
from .costs import PricedClauses

MOST_LISTED = 200
CLOSE = 0.05
Box = dict[str, list[Part | None]]
Domains = Mapping[str, tuple[Part | None, ...]]


@dataclass(frozen=True)
class Settings:
    """How CP-SAT is run: so many ``workers``, and a ``deadline`` on the monotonic clock, past which it gives up.

    ``measured`` is filled with the seconds spent on writing the model and on solving it, and the number of solves.
    """

    workers: int = 1
    deadline: float | None = None
    measured: dict[str, float] | None = None

    def note(self, what: str, amount: float) -> None:
        """Add to what is measured, if anything is."""
        if self.measured is not None:
            self.measured[what] = self.measured.get(what, 0.0) + amount


class Search:
    """Solutions of one set of relations, judged whole."""

    def __init__(
        self,
        settings: Settings,
        problem: Problem,
        domains: Mapping[str, tuple[Part | None, ...]],
        relations: Sequence[Relation],
        certain: bool,
        eager: bool = False,
    ) -> None:
        self.settings = settings
        self.problem = problem
        self.domains = domains
        self.relations = tuple(relations)
        self.worst = Verdict.FITS if certain else Verdict.CHECK
        start = monotonic()
        self.clauses = PricedClauses(problem, domains, relations, certain, eager)
        settings.note("writing the model", monotonic() - start)
        self.solver = cp_model.CpSolver()

    def solve(self, callback: Any = None, everything: bool = False) -> bool:
        """Solve once; false where there is no solution.  A ``callback`` may stop it."""
        solver = self.solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1 if everything else self.settings.workers
        solver.parameters.random_seed = 1
        solver.parameters.symmetry_level = 0
        solver.parameters.enumerate_all_solutions = everything
        if self.settings.deadline is not None:
            solver.parameters.max_time_in_seconds = max(0.01, self.settings.deadline - monotonic())
        status = solver.solve(self.clauses.model, callback)
        self.settings.note("solving", solver.wall_time)
        self.settings.note("solves", 1)
        if status == cp_model.INFEASIBLE:
            return False
        if status != cp_model.OPTIMAL and not (callback is not None and callback.stopped):
            self._unfinished(status)
        return True

    def _unfinished(self, status: Any) -> None:
        """Why a solve did not come to an end."""
        if status == cp_model.MODEL_INVALID:
            raise AssertionError(f"CP-SAT cannot read the model: {self.clauses.model.validate()}")
        deadline = self.settings.deadline
        if deadline is None or monotonic() < deadline - CLOSE:
            # CP-SAT takes Ctrl-C for itself and stops; passed on, it ends the whole command as it should.
            raise KeyboardInterrupt
        raise LimitReached("CP-SAT did not come to an end in the time given")

    def build(self, value: Callable[[Any], bool]) -> dict[str, Part | None]:
        """The build of a solution."""
        return {
            at: next(p for p, literal in zip(parts, self.clauses.x[at], strict=True) if value(literal))
            for at, parts in self.domains.items()
        }

    def next(self) -> dict[str, Part | None] | None:
        """A best solution that passes every relation, or ``None``."""
        while self.solve():
            build = self.build(self.solver.boolean_value)
            if not self.cut(build):
                return build
        return None

    def every(self, most: int) -> list[dict[str, Part | None]]:
        """Every solution's build once; relations that are not written out whole may still refuse it."""
        seen: dict[tuple[int, ...], None] = {}
        names, x = list(self.domains), self.clauses.x

        class Collect(cp_model.CpSolverSolutionCallback):
            stopped = False

            def on_solution_callback(self) -> None:
                key = tuple(next(i for i, v in enumerate(x[at]) if self.boolean_value(v)) for at in names)
                seen[key] = None
                if len(seen) > most:
                    self.stopped = True
                    self.stop_search()

        feasible = self.solve(Collect(), everything=True)
        if len(seen) > most:
            raise LimitReached("there are too many builds to count")
        return [self._at(key) for key in seen] if feasible else []

    def _at(self, key: tuple[int, ...]) -> dict[str, Part | None]:
        return {at: self.domains[at][i] for at, i in zip(self.domains, key, strict=True)}

    # -- cuts

    def cut(self, build: Build) -> bool:
        """Cut off what the relations refuse in a build and everything like it; false if none refuses."""
        refusing = [r for r in self.relations if r.verdict(build) > self.worst]
        for relation in refusing:
            if relation in self.clauses.waiting:
                self.clauses.write(relation)
            self.forbid(_box(self, relation, build))
        return bool(refusing)

    def forbid(self, box: Mapping[str, Sequence[Part | None]]) -> None:
        """No build has, at every position of the box, one of its candidates."""
        literals = [self.clauses.either(at, parts) for at, parts in box.items() if len(parts) < len(self.domains[at])]
        self.clauses.model.add_bool_or([~literal for literal in literals])


def _box(search: Search, relation: Relation, build: Build) -> Box:
    """Candidates around a refused build out of which the relation refuses every build.

    At each position the candidates that are refused in place of the build's own are tried together, then half of
    them, and so on; the relation's bound, or listing where that is short, tells whether all go.
    """
    sights, domains = search.clauses.sights, search.domains
    groups = {at: sights.groups(relation, at, domains[at]) for at in relation.scope}
    own = {at: sights.group_of(relation, at, domains[at], build[at]) for at in relation.scope}
    box: Box = {at: [build[at]] for at in relation.scope}
    reached = {at: [own[at]] for at in relation.scope}

    def refused(trial: Mapping[str, Sequence[Part | None]]) -> bool:
        if prod(len(parts) for parts in trial.values()) <= MOST_LISTED:
            names = list(trial)
            return all(
                relation.verdict(dict(zip(names, parts, strict=True))) > search.worst
                for parts in product(*trial.values())
            )
        return relation.bound is not None and relation.bound(_full(search, trial)) is Verdict.NO

    for at in sorted(relation.scope, key=lambda p: (-len(groups[p]), p)):
        like = [g for g in groups[at] if g is not own[at] and relation.verdict({**build, at: g[0]}) > search.worst]
        while like:
            trial = {**box, at: [build[at], *(g[0] for g in like)]}
            if refused(trial):
                box[at] = list(trial[at])
                reached[at] = [own[at], *like]
                break
            like = like[: len(like) // 2]
    return {at: [p for group in found for p in group] for at, found in reached.items()}


def _full(search: Search, box: Mapping[str, Sequence[Part | None]]) -> dict[str, tuple[Part | None, ...]]:
    return {at: tuple(box.get(at, parts)) for at, parts in search.domains.items()}
