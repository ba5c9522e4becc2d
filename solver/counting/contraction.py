"""Counting by contraction: exact, however many builds there are.

Positions are taken out one after another.  All that looks at a position is joined: rows of values that pass what can
be judged of them; then the position is summed out, and what is left is a table over the others of how many ways there
are.  Only combinations that pass are ever listed, so that a rule over a dozen positions costs what is left of them,
not their product.

What a task costs once, if work at any of some positions calls for it, is no product over positions.  But *all ways*
and *the ways that leave these positions alone* are; a table keeps both for every such :class:`Job` it knows a part of,
and when it knows all of it the two are put together: what does not leave them alone spends what the job costs.

Invariant.  The sum over all builds, of those that pass, is never changed by a step.

References: Dechter, "Bucket elimination", Artificial Intelligence 113 (1999); Bjorklund, Husfeldt, Kaski and Koivisto,
"Fourier meets Moebius: fast subset convolution", STOC 2007, for counting an *or* as all but none (from memory).
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace
from math import prod

from ..search.enumeration import LimitReached
from .lanes import Lanes, Ways

Values = tuple[int, ...]
# Of the numbers in one table: half a gigabyte.
MOST_BITS = 4 * 10**9
# Listed at once: half a gigabyte, or a little more.
MOST_ROWS = 3_000_000
# What multiplying two sums takes, in rows, about.
A_PRODUCT = 20


@dataclass(frozen=True)
class Job:
    """What is spent once if work at any of these positions calls for it."""

    positions: frozenset[int]
    sums: tuple[int, ...]


@dataclass(frozen=True, eq=False)
class Table:
    """Ways for values of the variables in ``scope``; a row that is not there has none.

    ``jobs`` are those that some but not all of the positions counted here call for.  A row has an entry for every set
    of them (as bits): the ways that leave the positions of these alone.
    """

    scope: tuple[int, ...]
    rows: Mapping[Values, tuple[Ways, ...]]
    counted: frozenset[int] = frozenset()
    jobs: tuple[int, ...] = ()


@dataclass(frozen=True, eq=False)
class Judge:
    """Whether values of the variables in ``scope`` pass; remembered."""

    scope: tuple[int, ...]
    says: Callable[[Values], bool]
    memo: dict[Values, bool] = field(default_factory=dict)

    def passes(self, values: Values) -> bool:
        """Whether they do."""
        found = self.memo.get(values)
        if found is None:
            found = self.memo[values] = self.says(values)
        return found


@dataclass
class Contraction:
    """One count over variables of these ``sizes``; raises ``LimitReached`` past ``work`` rows and judgements."""

    sizes: list[int]
    jobs: Sequence[Job]
    lanes: Lanes
    work: int

    def total(
        self, tables: Sequence[Table], judges: Sequence[Judge], known: Sequence[Judge] = (), last: Collection[int] = ()
    ) -> int:
        """How many ways there are in all that are in the tables and all judges pass.

        The variables in ``last`` hang on others, and are taken out after these.
        ``known`` are judges that say what the tables have, and only save listing what is in none.
        """
        left, judges = [self._brought_down(t) for t in tables], list(judges)
        open_ = set(range(len(self.sizes)))
        while open_ and all(t.rows for t in left):
            ready = open_.difference(last) or open_
            v = min(ready, key=lambda v: (self._cost_of(v, left, judges), v))
            open_.remove(v)
            scope = self._around(v, left, judges)
            mine = self._taken(v, scope, left)
            asked = [t for t in judges if v in t.scope or scope.issuperset(t.scope)]
            left = [t for t in left if t not in mine]
            judges = [t for t in judges if t not in asked]
            left.append(self._brought_down(self._without(v, mine, asked, [*judges, *known])))
        if not all(t.rows for t in left):
            return 0
        (ways,) = self._summed(None, left, (), [()]).rows.get((), (0,))
        # What was there before more was known to be spent anyway may be too much now.
        return self.lanes.counted(self.lanes.product(ways, 1))

    @staticmethod
    def _around(v: int, tables: Sequence[Table], judges: Sequence[Judge]) -> set[int]:
        """A variable and all that something joins with it."""
        scopes = [t.scope for t in tables] + [t.scope for t in judges]
        return {v}.union(*(scope for scope in scopes if v in scope))

    def _taken(self, v: int, scope: set[int], tables: Sequence[Table]) -> list[Table]:
        """The tables joined when a variable is taken out: all that look at it, and what costs little and saves more.

        That are tables of one position, and a sum over nothing more that knows the rest of a job.  Other sums are
        multiplied as late as can be, when there are fewest.
        """
        mine = [t for t in tables if v in t.scope or (t.scope and len(t.counted) < 2 and scope.issuperset(t.scope))]
        more = [t for t in tables if t not in mine and not t.scope]
        known = _counted([*mine, *more])
        done = {j for t in mine for j in t.jobs if self.jobs[j].positions <= known}
        return [*mine, *(t for t in more if done.intersection(t.jobs))]

    def _cost_of(self, v: int, tables: Sequence[Table], judges: Sequence[Judge]) -> float:
        """About what taking a variable out costs: rows, and what is multiplied for each."""
        wanted = self._around(v, tables, judges)
        inside = self._taken(v, wanted, tables)
        counted = _counted(inside)
        jobs = {j for t in inside for j in t.jobs if not self.jobs[j].positions <= counted}
        summed = sum(len(t.counted) > 1 for t in inside)
        rows = 1.0
        for _, scope in sorted((len(t.rows) / prod(self.sizes[u] for u in t.scope), t.scope) for t in inside):
            new = wanted.intersection(scope)
            if new:
                old = prod(self.sizes[u] for u in scope if u not in wanted)
                rows *= max(1.0, next(len(t.rows) for t in inside if t.scope == scope) / old)
                wanted -= new
        return rows * prod(self.sizes[u] for u in wanted) * (1 + A_PRODUCT * max(0, summed - 1)) * 2.0 ** len(jobs)

    def _without(self, v: int, mine: Sequence[Table], asked: Sequence[Judge], judges: Sequence[Judge]) -> Table:
        """What is left of some tables and judges when a variable is taken out."""
        scope = {v}.union(*(t.scope for t in mine), *(t.scope for t in asked))
        names, rows = self.listed(scope, mine, [*asked, *(t for t in judges if scope.issuperset(t.scope))])
        return self._summed(v, mine, names, rows)

    def _brought_down(self, table: Table) -> Table:
        """A table without what all its ways spend, which is taken from what may be spent."""
        least = self.lanes.least(ways[0] for ways in table.rows.values())
        if not least:
            return table
        self.lanes = self.lanes.without(least)
        lowered = {id(w): self.lanes.lowered(w, least) for ws in table.rows.values() for w in ws}
        return replace(table, rows={k: tuple([lowered[id(w)] for w in ws]) for k, ws in table.rows.items()})

    def listed(self, scope: set[int], tables: Sequence[Table], judges: Sequence[Judge]) -> tuple[Values, list[Values]]:
        """The values of the variables of ``scope`` that are in all tables and pass all judges, and in which order."""
        names: Values = ()
        rows: list[Values] = [()]
        waiting, judging = list(tables), list(judges)
        while True:
            ready = [t for t in judging if set(names).issuperset(t.scope)]
            for judge in sorted(ready, key=lambda t: len(t.scope)):
                at = [names.index(u) for u in judge.scope]
                rows = [row for row in rows if judge.passes(tuple([row[i] for i in at]))]
                self.worked(len(rows))
            judging = [t for t in judging if t not in ready]
            if waiting:
                table = min(
                    waiting,
                    key=lambda t: (len(t.rows) / prod(self.sizes[u] for u in t.scope if u in names), len(t.rows)),
                )
                waiting.remove(table)
                names, rows = self._joined(names, rows, table)
                continue
            open_ = scope.difference(names)
            if not open_:
                return names, rows
            # First what lets the next judge judge.
            nearest = min(
                (set(t.scope).difference(names) for t in judging),
                key=lambda s: (prod(self.sizes[u] for u in s), sorted(s)),
                default=open_,
            )
            u = min(nearest, key=lambda u: (self.sizes[u], u))
            names = (*names, u)
            self._lists(len(rows) * self.sizes[u])
            rows = [(*row, value) for row in rows for value in range(self.sizes[u])]

    def _joined(self, names: Values, rows: list[Values], table: Table) -> tuple[Values, list[Values]]:
        """Rows with what a table adds to them."""
        shared = [i for i, u in enumerate(table.scope) if u in names]
        new = [i for i, u in enumerate(table.scope) if u not in names]
        at = [names.index(table.scope[i]) for i in shared]
        index: dict[Values, list[Values]] = {}
        for values in table.rows:
            index.setdefault(tuple([values[i] for i in shared]), []).append(tuple([values[i] for i in new]))
        matches = [index.get(tuple([row[i] for i in at]), ()) for row in rows]
        self._lists(sum(map(len, matches)))
        found = [(*row, *more) for row, matching in zip(rows, matches, strict=True) for more in matching]
        return (*names, *(table.scope[i] for i in new)), found

    def _summed(self, v: int | None, tables: Sequence[Table], names: Values, rows: list[Values]) -> Table:
        """The ways of rows, added up over a variable."""
        kept = [i for i, u in enumerate(names) if u != v]
        counted = _counted(tables)
        jobs = tuple(sorted({j for t in tables for j in t.jobs}))
        sets = [[_projected(chosen, jobs, t.jobs) for t in tables] for chosen in range(1 << len(jobs))]
        looks = [[names.index(u) for u in t.scope] for t in tables]
        together: dict[Values, list[Values]] = {}
        for row in rows:
            together.setdefault(tuple([row[i] for i in kept]), []).append(row)
        found: dict[Values, tuple[Ways, ...]] = {}
        # What some positions do is the same to most of the others' values: few numbers are unlike.
        multiplied: dict[tuple[int, int], Ways] = {}
        unlike: dict[Ways, Ways] = {}
        held = 0
        for key, same in together.items():
            into = [0] * len(sets)
            for row in same:
                entries = [t.rows[tuple([row[i] for i in look])] for t, look in zip(tables, looks, strict=True)]
                for number, chosen in enumerate(sets):
                    ways = 1
                    for entry, bits in zip(entries, chosen, strict=True):
                        ways = self._product(ways, entry[bits], multiplied)
                        if not ways:
                            break
                    into[number] += ways
                self.worked(len(sets))
            if not into[0]:
                continue
            before = len(unlike)
            found[key] = tuple([unlike.setdefault(ways, ways) for ways in into])
            if len(unlike) > before:
                held += sum(ways.bit_length() for ways in into)
                if held > MOST_BITS:
                    raise LimitReached("there are too many builds to count in the memory allowed")
        return self.done(Table(tuple([names[i] for i in kept]), found, counted, jobs))

    def _product(self, one: Ways, other: Ways, known: dict[tuple[int, int], Ways]) -> Ways:
        """A product; what is multiplied is in a table or in ``known``, where it lasts, so that it is known by its
        address and not looked at."""
        if one == 1 or other == 1:
            return other if one == 1 else one
        pair = id(one), id(other)
        if pair not in known:
            self.worked(A_PRODUCT)
            known[pair] = self.lanes.product(one, other)
        return known[pair]

    def done(self, table: Table) -> Table:
        """A table without the jobs of which it counts all positions: what calls for them has spent what they cost."""
        for job in table.jobs:
            if self.jobs[job].positions <= table.counted:
                at = table.jobs.index(job)
                cost = self.lanes.spending(self.jobs[job].sums)
                spent: dict[tuple[int, int], Ways] = {}
                rows = {}
                for key, ways in table.rows.items():
                    some = [w for chosen, w in enumerate(ways) if not chosen >> at & 1]
                    none = [w for chosen, w in enumerate(ways) if chosen >> at & 1]
                    for s, n in zip(some, none, strict=True):
                        if (id(s), id(n)) not in spent:
                            spent[id(s), id(n)] = n + self.lanes.product(cost, s - n)
                    rows[key] = tuple([spent[id(s), id(n)] for s, n in zip(some, none, strict=True)])
                table = Table(
                    table.scope,
                    {k: w for k, w in rows.items() if w[0]},
                    table.counted,
                    tuple([j for j in table.jobs if j != job]),
                )
        return table

    def _lists(self, rows: int) -> None:
        """So many rows are about to be listed: asked before, as too many would not find room."""
        if rows > MOST_ROWS:
            raise LimitReached("there are too many builds to count in the memory allowed")
        self.worked(rows)

    def worked(self, steps: int) -> None:
        self.work -= steps
        if self.work < 0:
            raise LimitReached("there are too many builds to count")


def _counted(tables: Sequence[Table]) -> frozenset[int]:
    """The positions any of some tables counts."""
    return frozenset().union(*(t.counted for t in tables))


def _projected(chosen: int, jobs: Sequence[int], own: Sequence[int]) -> int:
    """A set of jobs as the bits of a table that knows only its own."""
    return sum(1 << i for i, job in enumerate(own) if chosen >> jobs.index(job) & 1)
