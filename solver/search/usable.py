"""Which candidates are in some build that may hold: all of them at once.

1. What one relation after another, and then the bounds over tables, leave no place is not usable.
2. A build that holds shows all its parts to be usable, and one of its parts put in another's place mostly gives another
   build that holds: that is tried first, with the builds found so far.
3. For what is left at a position, all of it at once, parts are searched that pass the relations *near* the position:
   those that look at nothing but what the position has to do with.  If there are none, none of the candidates is
   usable; what is found is begun with when a whole build is searched, and mostly needs little mending.
4. Questions that are not quickly answered come last, when more builds are known.

Every answer is proven.  How much is tried in which step changes the time, never the answer.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from shared.part import Part

from ..problem import Problem
from ..relations import Build, Relation
from .enumeration import LimitReached
from .factors import NEVER
from .model import SCORE, SPENT, Tables
from .possible import Possible

# A position, and the number of one of the candidates left there.
Place = tuple[str, int]

# The largest relation made a table, and the largest product of tables in the bounds.
STAGES = ((60, 20_000), (400, 50_000), (1_500, 100_000), (5_000, 200_000))
FEW_NODES = 20
MANY_NODES = 4_000
MOST_BUILDS_TRIED = 12
# A relation of more positions than this is near to none.
MOST_NEAR = 20


def usable_candidates(problem: Problem) -> frozenset[tuple[str, str]]:
    """Position and id (empty for an empty place) of every candidate that is in some build that may hold.

    Raises :class:`solver.search.enumeration.LimitReached` where that cannot be told of one in time.
    """
    left = Possible(problem).left(problem.hard)
    if left is None:
        return frozenset()
    tables = Tables(problem, left, certain=False)
    for most_cells, bucket in STAGES:
        tables.take(most_cells)
        if not _kept(tables, bucket):
            return frozenset()
    search = _Search(replace(problem, domains=tables.left))
    search.run()
    return frozenset(
        (at, "" if part is None else part.id)
        for at, parts in search.problem.domains.items()
        for i, part in enumerate(parts)
        if (at, i) in search.found
    )


def _kept(tables: Tables, bucket: int) -> bool:
    """Drop what the bounds leave no place; false where nothing is left."""
    for counted in (SPENT, SCORE) if tables.money is not None else (SCORE,):
        most = NEVER - 1 if counted.score else 0
        if tables.keep(tables.bounds(bucket, counted), most, counted).total > most:
            return False
    return True


@dataclass
class _Search:
    """What is known of the candidates of one problem: those ``found`` in some build, and the builds."""

    problem: Problem
    found: set[Place] = field(default_factory=set)
    builds: list[dict[str, Part | None]] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.possible = Possible(self.problem)
        self.domains = self.problem.domains
        self.number = {(at, id(part)): i for at, parts in self.domains.items() for i, part in enumerate(parts)}
        # What looks at every part costs most to ask, and mostly has nothing against a part in another's place.
        narrow = sorted(self.problem.hard, key=lambda r: len(r.scope))
        self.looking: dict[str, list[Relation]] = {at: [r for r in narrow if at in r.scope] for at in self.domains}
        self.near: dict[str, list[Relation]] = {at: self._near(at) for at in self.domains}

    def _near(self, at: str) -> list[Relation]:
        """The relations that look at nothing but positions that some relation joins with this one."""
        joined = {at}.union(*(r.scope for r in self.looking[at] if len(r.scope) <= MOST_NEAR))
        return [r for r in self.problem.hard if joined.issuperset(r.scope)]

    def run(self) -> None:
        """Tell of every candidate whether it is usable; those that are not stay out of ``found``."""
        put_off = [at for at in self.domains if not self._told(at, FEW_NODES)]
        for at in put_off:
            if not self._told(at, MANY_NODES):
                raise LimitReached("the search took too many steps")

    def _told(self, at: str, most_nodes: int) -> bool:
        """Find a build for each candidate of a position that has one; false where a question takes more choices."""
        while left := [i for i in range(len(self.domains[at])) if (at, i) not in self.found and not self._fits(at, i)]:
            asked = [self.domains[at][i] for i in left]
            try:
                build = self._build(at, asked, most_nodes)
            except LimitReached:
                return False
            if build is None:
                break
            self._note(build)
        return True

    def _build(self, at: str, parts: Sequence[Part | None], most_nodes: int) -> Build | None:
        """A build with one of these parts; ``None`` if there is none."""
        last = self.builds[-1] if self.builds else self.problem.stock
        near = self.possible.ask(self.near[at], {at: parts}, last, most_nodes).build
        return near and self.possible.ask(self.problem.hard, {at: parts}, near, most_nodes).build

    def _fits(self, at: str, i: int) -> bool:
        """Whether one of the last builds still holds with a candidate put in."""
        for build in reversed(self.builds[-MOST_BUILDS_TRIED:]):
            other = {**build, at: self.domains[at][i]}
            if all(r.holds(other) for r in self.looking[at]):
                self._note(other)
                return True
        return False

    def _note(self, build: Build) -> None:
        """A build that holds."""
        self.builds.append(dict(build))
        self.found.update((at, self.number[at, id(part)]) for at, part in build.items())
