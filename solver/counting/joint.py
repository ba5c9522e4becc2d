"""How many builds keep all rules and limits of a goal at once: exact, or not told.

Candidates of a position that no rule tells apart, and that make the same work, count as one value; what they cost is
summed in lanes (:mod:`.lanes`).  Narrow rules are tables; wide ones are asked of the rows that are left when tables are
joined (:mod:`.contraction`), the widest split in two first (:mod:`.splitting`).
"""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence
from dataclasses import replace
from itertools import product
from math import prod

from shared.part import Part
from shared.verdict import Verdict

from ..effort import Handling
from ..problem import Domain, Problem
from ..relations import Build, Relation
from ..search.enumeration import LimitReached
from .contraction import Contraction, Job, Judge, Table, Values
from .lanes import Lanes
from .splitting import Cut, cut_of, kinds
from .sums import Sum, sum_of

MOST_LISTED = 3_000
MOST_WHOLE = 150_000
MOST_LANES = 50_000
# What asking a relation takes, in rows.
A_QUESTION = 20


def builds_meeting(problem: Problem, domains: Mapping[str, Domain], work: int) -> int | None:
    """How many builds out of ``domains`` no hard relation refuses; ``None`` where a limit is on no sum.

    Raises :class:`solver.search.enumeration.LimitReached` past ``work``, in rows joined and judged.
    """
    problem = replace(problem, domains=domains)
    sums = [None if r.limit is None else sum_of(problem, r.limit) for r in problem.hard if r.of_effort]
    told = [s for s in sums if s is not None]
    if len(told) < len(sums) or any(s.most < 0 for s in told):
        return 0 if any(s.most < 0 for s in told) else None
    lanes = Lanes([s.most for s in told], prod(map(len, domains.values())))
    return None if lanes.lanes > MOST_LANES else _Counting(problem, told, lanes, work).run()


class _Counting:
    """One count.  Variables are the positions, by number, and the kinds behind cuts after them."""

    def __init__(self, problem: Problem, sums: Sequence[Sum], lanes: Lanes, work: int) -> None:
        self.problem = problem
        self.flow = problem.flow
        self.lanes = lanes
        self.relations = [r for r in problem.hard if not r.of_effort]
        self.positions = tuple(problem.domains)
        self.number = {at: v for v, at in enumerate(self.positions)}
        hosts = (problem.garage.layout.positions[at].host for at in self.positions)
        self.hosts = [None if host is None else self.number[host] for host in hosts]
        costs = {at: list(zip(*(s.parts[at] for s in sums), strict=True)) for at in self.positions} if sums else {}
        self.members: list[list[Part | None]] = []
        self.spent: list[list[int]] = []
        self.handling: list[list[Handling]] = []
        for at, parts in problem.domains.items():
            looking = [r for r in self.relations if at in r.scope]
            kept: dict[Hashable, int] = {}
            members: list[Part | None] = []
            spent: list[int] = []
            handling: list[Handling] = []
            for i, part in enumerate(parts):
                handled = problem.effort.handling(at, part)
                key = handled, tuple([r.alike(at, part) for r in looking])
                if key not in kept:
                    kept[key] = len(members)
                    members.append(part)
                    spent.append(0)
                    handling.append(handled)
                spent[kept[key]] += lanes.spending(costs[at][i] if sums else ())
            self.members.append(members)
            self.spent.append(spent)
            self.handling.append(handling)
        self.contraction = Contraction([len(m) for m in self.members], [], lanes, work)
        self.sizes = self.contraction.sizes
        jobs: dict[frozenset[int], list[int]] = {}
        for number, one in enumerate(sums):
            for calling, cost in one.jobs.items():
                jobs.setdefault(calling, [0] * len(sums))[number] = cost
        self.jobs = [Job(calling, tuple(spends)) for calling, spends in jobs.items()]

    def run(self) -> int:
        """The count."""
        tables: list[Table] = []
        known: list[Judge] = []
        wide: list[tuple[Relation, Judge]] = []
        for relation in self.relations:
            judge = self._judge(relation)
            size = prod(self.sizes[v] for v in judge.scope)
            if size <= MOST_LISTED:
                rows = {row: (1,) for row in product(*(range(self.sizes[v]) for v in judge.scope)) if judge.passes(row)}
                if not rows:
                    return 0
                if len(rows) < size:
                    tables.append(Table(judge.scope, rows))
                    known.append(judge)
            elif relation.bound is None or relation.bound(self.problem.domains) is not Verdict.FITS:
                wide.append((relation, judge))
        judges = []
        for relation, judge in wide:
            cut = None
            if self._rows_of(judge, tables, known) > MOST_WHOLE:
                cut = cut_of(relation, self.flow, dict(zip(self.positions, self.sizes, strict=False)))
            if cut is None:
                judges.append(judge)
            else:
                table, judge = self._split(relation, cut, tables, [*known, *(t for _, t in wide)])
                tables.append(table)
                judges.append(judge)
        kinds_behind = range(len(self.positions), len(self.sizes))
        return self.contraction.total([*self._weights(tables), *tables], judges, known, kinds_behind)

    def _rows_of(self, judge: Judge, tables: Sequence[Table], known: Sequence[Judge]) -> int:
        """Of how many combinations a judge may be asked; where they are too many to list, more than that."""
        scope = set(judge.scope)
        size = prod(self.sizes[v] for v in scope)
        if size <= MOST_WHOLE:
            return size
        counting = Contraction(self.sizes, [], self.lanes, MOST_WHOLE)
        inside = [t for t in tables if scope.issuperset(t.scope)], [t for t in known if scope.issuperset(t.scope)]
        try:
            return len(counting.listed(scope, *inside)[1])
        except LimitReached:
            return MOST_WHOLE + 1

    def _judge(self, relation: Relation) -> Judge:
        """A relation asked of values."""
        scope = tuple([v for v in map(self.number.__getitem__, relation.scope) if self.sizes[v] > 1])
        settled = {at: self.members[self.number[at]][0] for at in relation.scope}
        names = [(self.positions[v], self.members[v]) for v in scope]

        def says(values: Values) -> bool:
            build = dict(settled)
            for (at, members), value in zip(names, values, strict=True):
                build[at] = members[value]
            self._asked()
            return relation.holds(build)

        return Judge(scope, says)

    def _asked(self) -> None:
        """A relation has been asked."""
        self.contraction.worked(A_QUESTION)

    # -- work and money

    def _weights(self, tables: Sequence[Table]) -> list[Table]:
        """For every position a table of what its values spend; and what is spent in any case."""
        may = [any(self._touched(v, i, True) for i in range(self.sizes[v])) for v in range(len(self.positions))]
        jobs, certain = [], 1
        for job in self.jobs:
            calling = frozenset(v for v in job.positions if may[v])
            if any(self._always(calling, table) for table in tables) or any(
                all(self._touched(v, i, False) for i in range(self.sizes[v])) for v in calling
            ):
                certain = self.lanes.product(certain, self.lanes.spending(job.sums))
            elif calling:
                jobs.append(Job(calling, job.sums))
        self.contraction.jobs = jobs
        found = [Table((), {(): (certain,)})]
        for v in range(len(self.positions)):
            mine = tuple(j for j, job in enumerate(jobs) if v in job.positions)
            host = self.hosts[v]
            moved = host is not None and mine and len({handled.new for handled in self.handling[host]}) > 1
            rows: dict[Values, tuple[int, ...]] = {}
            for i in range(self.sizes[v]):
                for h in range(self.sizes[host]) if moved and host is not None else (0,):
                    new_host = host is not None and self.handling[host][h].new
                    alone = 0 if self._touched(v, i, new_host) else self.spent[v][i]
                    rows[(i, h) if moved else (i,)] = (self.spent[v][i], *[alone] * ((1 << len(mine)) - 1))
            scope = (v, host) if moved and host is not None else (v,)
            found.append(self.contraction.done(Table(scope, rows, frozenset([v]), mine)))
        return found

    def _touched(self, v: int, i: int, new_host: bool) -> bool:
        """Whether somebody works at a position."""
        return self.handling[v][i].touched(new_host and self.hosts[v] is not None)

    def _always(self, calling: frozenset[int], table: Table) -> bool:
        """Whether every row of a table calls for work at some of these positions."""
        mine = [(i, v) for i, v in enumerate(table.scope) if v in calling]
        return bool(mine) and all(any(self._touched(v, row[i], False) for i, v in mine) for row in table.rows)

    # -- cuts

    def _split(
        self, relation: Relation, cut: Cut, tables: Sequence[Table], known: Sequence[Judge]
    ) -> tuple[Table, Judge]:
        """A table of what is behind a cut with its kinds, and the relation as a judge of these and the others."""
        behind = [self.number[at] for at in cut.behind]
        others: Values = tuple([self.number[at] for at in cut.others])
        scope = set(behind)
        names, rows = self.contraction.listed(
            scope, [t for t in tables if scope.issuperset(t.scope)], [t for t in known if scope.issuperset(t.scope)]
        )
        elsewhere = set(others)
        others, combinations = self.contraction.listed(
            elsewhere,
            [t for t in tables if elsewhere.issuperset(t.scope)],
            [t for t in known if elsewhere.issuperset(t.scope)],
        )
        found = kinds(
            relation,
            self.flow,
            cut,
            [self._build(relation, names, row) for row in rows],
            [self._build(None, others, row) for row in combinations],
            self._asked,
        )
        numbers = {bits: n for n, bits in enumerate(dict.fromkeys(found))}
        patterns = list(numbers)
        kind = len(self.sizes)
        self.sizes.append(len(patterns))
        place = {row: i for i, row in enumerate(combinations)}
        table = Table((*names, kind), {(*row, numbers[bits]): (1,) for row, bits in zip(rows, found, strict=True)})

        def says(row: Values) -> bool:
            at = place.get(row[1:])
            return at is not None and bool(patterns[row[0]] >> at & 1)

        return table, Judge((kind, *others), says)

    def _build(self, relation: Relation | None, names: Sequence[int], row: Values) -> Build:
        """The parts of a row; with a relation, also those at its positions without a choice."""
        settled = {} if relation is None else {at: self.members[self.number[at]][0] for at in relation.scope}
        return settled | {self.positions[v]: self.members[v][i] for v, i in zip(names, row, strict=True)}
