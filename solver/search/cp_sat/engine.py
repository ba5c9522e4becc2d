"""The second engine: OR-tools CP-SAT behind the same interface.

CP-SAT is given what can be written as clauses (``model``) and finds the cheapest solution.  That build is then judged
whole by the relations themselves.  If one says no, everything like it in that relation's eyes is cut off, and as much
more as the relation's bounds allow; if it holds, it is scored exactly, kept, and cut off alone.  The search ends when
the cheapest solution left costs more than the last build that is wanted: the proof.

Reference: logic-based Benders decomposition, Hooker and Ottosson, Mathematical Programming 96 (2003) (from memory).
"""

from __future__ import annotations

from bisect import insort
from collections.abc import Sequence
from dataclasses import dataclass, field
from time import monotonic

from shared.part import Part
from shared.verdict import Verdict

from ...problem import Problem
from ...relations import Build, Relation
from ..engines import Best, Candidate, Forced
from ..enumeration import Found
from ..interchange import thinned
from ..possible import Possible
from .search import Domains, Search, Settings

MOST_COUNTED = 200_000


@dataclass(frozen=True)
class CpSat:
    """CP-SAT on so many ``workers``.

    ``reduce`` first takes away the candidates that the relations, one by one, leave no place for; ``thin`` leaves out
    those that others of their interchange class are better than.  ``seconds`` and ``most_counted`` bound the whole of
    an answer; past them ``LimitReached`` is raised.  ``enumerate`` finds the optimum and then lists everything within
    a rising limit instead of solving anew for every build.  ``measured`` is filled with the seconds spent on writing
    the model and on solving it, and the number of solves.
    """

    workers: int = 1
    reduce: bool = True
    thin: bool = True
    seconds: float | None = None
    most_counted: int = MOST_COUNTED
    enumerate: bool = False
    measured: dict[str, float] | None = None

    def best(self, problem: Problem, most: int) -> Best:
        """See :meth:`solver.search.engines.Engine.best`."""
        settings = self._settings()
        domains = self._left(problem, problem.hard)
        if domains is None:
            return Best((), True)
        if self.thin:
            domains = thinned(problem, domains, most)
        found: list[Found] = []
        for certain in (True, False):
            wanted = most - len(found)
            if wanted > 0:
                level = _Level(self, settings, problem, domains, certain, wanted)
                found += level.listed() if self.enumerate else level.one_by_one()
        return Best(tuple(found), len(found) < most)

    def satisfying(self, problem: Problem, relations: Sequence[Relation], forced: Forced | None = None) -> Build | None:
        """See :meth:`solver.search.engines.Engine.satisfying`."""
        forced = forced or {}
        left = self._left(problem, relations, forced)
        if left is None:
            return None
        seen = {at for relation in relations for at in relation.scope} | set(forced)
        domains = {at: parts if at in seen else parts[:1] for at, parts in left.items()}
        return Search(self._settings(), problem, domains, relations, False).next()

    def usable(self, problem: Problem) -> frozenset[Candidate]:
        """See :meth:`solver.search.engines.Engine.usable`."""
        domains = self._left(problem, problem.hard)
        if domains is None:
            return frozenset()
        search = Search(self._settings(), problem, domains, problem.hard, False)
        found: set[Candidate] = set()
        model = search.clauses.model
        while True:
            left = [
                literal
                for at, parts in domains.items()
                for part, literal in zip(parts, search.clauses.x[at], strict=True)
                if (at, "" if part is None else part.id) not in found
            ]
            if not left:
                return frozenset(found)
            # Each round asks for more than the last, so that nothing has to be taken back.
            model.add_bool_or(left)
            model.maximize(sum(left))
            build = search.next()
            if build is None:
                return frozenset(found)
            found.update((at, "" if part is None else part.id) for at, part in build.items())

    def count(self, problem: Problem, relations: Sequence[Relation]) -> int:
        """See :meth:`solver.search.engines.Engine.count`."""
        domains = self._left(problem, relations)
        if domains is None:
            return 0
        search = Search(self._settings(), problem, domains, relations, False, eager=True)
        passed = 0
        for build in search.every(self.most_counted):
            passed += all(r.verdict(build) is not Verdict.NO for r in relations)
        return passed

    def _left(self, problem: Problem, relations: Sequence[Relation], forced: Forced | None = None) -> Domains | None:
        """The candidates to choose from; ``None`` where none is left at some position."""
        domains = Possible(problem).left(relations) if self.reduce else problem.domains
        if domains is None:
            return None
        wanted = forced or {}
        left = {
            at: tuple(p for p in parts if at not in wanted or any(p is w for w in wanted[at]))
            for at, parts in domains.items()
        }
        return left if all(left.values()) else None

    def _settings(self) -> Settings:
        return Settings(self.workers, None if self.seconds is None else monotonic() + self.seconds, self.measured)


@dataclass
class _Level:
    """The best builds of one level of certainty."""

    engine: CpSat
    settings: Settings
    problem: Problem
    domains: Domains
    certain: bool
    most: int
    found: list[Found] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.dearest = self.problem.dearest
        hard, eager = self.problem.hard, self.engine.enumerate
        self.search = Search(self.settings, self.problem, self.domains, hard, self.certain, eager)
        self.search.clauses.add_costs()

    def one_by_one(self) -> list[Found]:
        """Solve, judge, cut; until what is left costs too much."""
        clauses = self.search.clauses
        clauses.model.minimize(clauses.total())
        while self.search.solve():
            least = round(self.search.solver.objective_value)
            if len(self.found) == self.most and least > self.found[-1].score:
                break
            build = self.search.build(self.search.solver.boolean_value)
            refused = self.search.cut(build)
            if clauses.settle(build, self.search.solver.boolean_value):
                clauses.model.minimize(clauses.total())
            if not refused:
                self._take(build)
                self.search.forbid({at: [part] for at, part in build.items()})
        return self.found

    def listed(self) -> list[Found]:
        """The optimum first, then everything within a limit that rises until enough is found."""
        model = self.search.clauses.model
        model.minimize(self.search.clauses.total())
        least = None
        while self.search.solve():
            build = self.search.build(self.search.solver.boolean_value)
            if not self.search.cut(build):
                least = self.search.solver.objective_value
                break
        if least is None:
            return []
        step = 1000
        while True:
            self.found.clear()
            limit = round(least) + step
            if self._within(limit) and len(self.found) == self.most and self.found[-1].score <= limit:
                return self.found
            top = sum(max(0, amount) for amount, _ in self.search.clauses.costs)
            if limit >= top:
                return self.found
            step *= 2

    def _within(self, limit: int) -> bool:
        """Take every build within a limit."""
        model = self.search.clauses.model
        copy = model.clone()
        model.clear_objective()  # type: ignore[no-untyped-call]
        model.add(self.search.clauses.total() <= limit)
        try:
            for build in self.search.every(self.engine.most_counted):
                if all(r.verdict(build) <= self.search.worst for r in self.problem.hard):
                    self._take(build)
        finally:
            self.search.clauses.model = copy
        return True

    def _take(self, build: dict[str, Part | None]) -> None:
        """Score a build that holds and keep it if it is among the best."""
        if not self.certain and all(r.verdict(build) is Verdict.FITS for r in self.problem.hard):
            return
        ids = tuple("" if part is None else part.id for part in build.values())
        score = self.problem.scoring.score(build, self.dearest)
        insort(self.found, Found(score, not self.certain, ids, build), key=lambda f: f.rank)
        del self.found[self.most :]
