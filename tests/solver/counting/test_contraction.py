"""Counting by contraction against trying every combination."""

from __future__ import annotations

from itertools import product
from random import Random

import pytest

from solver.counting import contraction
from solver.counting.contraction import Contraction, Job, Judge, Table, Values
from solver.counting.lanes import Lanes
from solver.search.enumeration import LimitReached

MOST = 9


@pytest.mark.parametrize("seed", range(60))
def test_drawn_tables_tests_and_jobs(seed: int) -> None:
    """Six variables; what values cost, which of them make work, what work costs once, and what goes together."""
    random = Random(seed)
    sizes = [random.randint(1, 3) for _ in range(6)]
    costs = [[random.randint(0, 4) for _ in range(size)] for size in sizes]
    working = [[random.random() < 0.5 for _ in range(size)] for size in sizes]
    jobs = [Job(frozenset(random.sample(range(6), random.randint(1, 4))), (random.randint(1, 3),)) for _ in range(3)]
    scopes = [tuple(sorted(random.sample(range(6), random.randint(1, 3)))) for _ in range(4)]
    passing = [
        {values for values in product(*(range(sizes[v]) for v in scope)) if random.random() < 0.7} for scope in scopes
    ]
    lanes = Lanes([MOST], 3**6)
    counting = Contraction(list(sizes), jobs, lanes, 10**9)
    tests = [Judge(scope, rows.__contains__) for scope, rows in zip(scopes[:2], passing, strict=False)]
    tables = [Table(scope, dict.fromkeys(rows, (1,))) for scope, rows in zip(scopes[2:], passing[2:], strict=True)]
    for v in range(6):
        mine = tuple(j for j, job in enumerate(jobs) if v in job.positions)
        rows: dict[Values, tuple[int, ...]] = {}
        for i in range(sizes[v]):
            ways = lanes.spending([costs[v][i]])
            rows[i,] = (ways, *[0 if working[v][i] else ways] * (2 ** len(mine) - 1))
        tables.append(counting.done(Table((v,), rows, frozenset([v]), mine)))
    expected = 0
    for build in product(*map(range, sizes)):
        if all(tuple(build[v] for v in scope) in rows for scope, rows in zip(scopes, passing, strict=True)):
            spent = sum(costs[v][i] for v, i in enumerate(build))
            spent += sum(job.sums[0] for job in jobs if any(working[v][build[v]] for v in job.positions))
            expected += spent <= MOST
    assert counting.total(tables, tests) == expected


def test_no_more_is_done_than_is_allowed() -> None:
    counting = Contraction([3, 3], [], Lanes([], 9), 4)
    with pytest.raises(LimitReached):
        counting.total([], [Judge((0, 1), lambda values: values[0] != values[1])])


def test_no_more_is_kept_than_there_is_room_for(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(contraction, "MOST_BITS", 1)
    tables = [Table((v,), {(i,): (1,) for i in range(3)}) for v in range(2)]
    with pytest.raises(LimitReached):
        Contraction([3, 3], [], Lanes([], 9), 10**6).total(tables, [Judge((0, 1), lambda values: True)])


def test_too_many_rows_are_not_even_begun(monkeypatch: pytest.MonkeyPatch) -> None:
    """Twelve positions of ten: what a rule over all of them has to be asked is known before it is listed."""
    monkeypatch.setattr(contraction, "MOST_ROWS", 1_000)
    asked: list[Values] = []
    rule = Judge(tuple(range(12)), lambda values: bool(asked.append(values)))
    with pytest.raises(LimitReached, match="memory"):
        Contraction([10] * 12, [], Lanes([], 10**12), 10**15).total([], [rule])
    assert not asked


def test_what_is_the_same_number_is_kept_once() -> None:
    """Sixteen hundred rows that say the same take the room of one."""
    tables = [Table((0, 1), {(i, j): (2**200,) for i in range(40) for j in range(40)}, frozenset([2, 3]))]
    counting = Contraction([40, 40], [], Lanes([], 2**220), 10**9)
    found = counting._summed(None, tables, (0, 1), list(tables[0].rows))
    assert len({id(ways) for (ways,) in found.rows.values()}) == 1
