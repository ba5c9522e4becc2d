"""Bucket elimination against plain enumeration on many small random models."""

from __future__ import annotations

from itertools import product
from math import prod
from random import Random

import numpy as np
import pytest

from solver.search.elimination import bounds
from solver.search.factors import NEVER, Factor, margins, min_out


def random_model(random: Random) -> tuple[list[int], list[Factor]]:
    count = random.randint(1, 6)
    sizes = [random.randint(1, 4) for _ in range(count)]
    factors = []
    for _ in range(random.randint(0, 8)):
        scope = tuple(sorted(random.sample(range(count), random.randint(0, min(3, count)))))
        cells = [
            NEVER if random.random() < 0.2 else random.randint(0, 20) for _ in range(prod(sizes[v] for v in scope))
        ]
        factors.append(Factor(scope, np.array(cells, dtype=np.int64).reshape([sizes[v] for v in scope])))
    return sizes, factors


def cost(factors: list[Factor], values: tuple[int, ...]) -> int:
    return min(NEVER, sum(int(f.table[tuple(values[v] for v in f.scope)]) for f in factors))


@pytest.mark.parametrize("seed", range(150))
def test_exact_where_no_table_is_split(seed: int) -> None:
    sizes, factors = random_model(Random(seed))
    everything = list(product(*map(range, sizes)))
    found = bounds(sizes, factors)
    assert found.total == min(cost(factors, a) for a in everything)
    for v, size in enumerate(sizes):
        for x in range(size):
            assert found.through[v][x] == min(cost(factors, a) for a in everything if a[v] == x)


@pytest.mark.parametrize("seed", range(150))
def test_never_too_high_where_tables_are_split(seed: int) -> None:
    sizes, factors = random_model(Random(seed))
    everything = list(product(*map(range, sizes)))
    found = bounds(sizes, factors, most_cells=4)
    for v, size in enumerate(sizes):
        for x in range(size):
            assert found.through[v][x] <= min(cost(factors, a) for a in everything if a[v] == x)


def test_a_factor_names_its_axes_in_order() -> None:
    with pytest.raises(ValueError, match="ascending"):
        Factor((1, 0), np.zeros((2, 2), dtype=np.int64))


@pytest.mark.parametrize("shape", [(), (5,), (3, 4), (2, 5, 3, 2, 5, 2, 2, 2, 2), (40, 50), (600, 2), (9, 11, 13)])
def test_the_least_along_axes_of_small_and_large_tables(shape: tuple[int, ...]) -> None:
    table = np.random.default_rng(len(shape)).integers(0, 1000, shape)
    axes = range(len(shape))
    for axis, found in enumerate(margins(table)):
        assert (found == table.min(axis=tuple(i for i in axes if i != axis))).all()
    for keep in ([], [0], list(axes)[::2], list(axes)[1:]):
        found = min_out(table, tuple(axes), keep)
        assert found.scope == tuple(v for v in axes if v in keep)
        assert (found.table == table.min(axis=tuple(i for i in axes if i not in keep))).all()


def test_many_refusing_tables_do_not_overflow() -> None:
    refusing = Factor((0, 1), np.array([[NEVER, NEVER], [0, NEVER]], dtype=np.int64))
    more = [Factor((0, v), np.array([[NEVER] * 2, [0, NEVER]], dtype=np.int64)) for v in range(2, 400)]
    found = bounds([2] * 400, [refusing, *more], most_cells=1 << 62)
    assert found.total == 0
    assert [costs.tolist() for costs in found.through] == [[NEVER, 0], *[[0, NEVER]] * 399]
