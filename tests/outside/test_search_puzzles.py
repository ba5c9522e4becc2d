"""Published puzzles and graphs with known answers, through the same search as builds.

Sources, each from memory unless it says otherwise:

* queens: the numbers of ways are sequence A000170 of the On-Line Encyclopedia of Integer Sequences;
* the zebra puzzle: Life International, 17 December 1962: one solution, in the first house one drinks water and in the
  last is the zebra (brands are left out here: the five smokes are numbered);
* 3 x 3 magic squares: one but for turning and mirroring (the *lo shu*), so 8;
* colourings of a wheel with a rim of n: k times those of the rim with k - 1 colours, (k - 2)^n + (-1)^n (k - 2).
  Nevada and the five states around it are one, which is why the map of the United States needs four colours;
* the Petersen graph: 120 colourings with three colours and none with two (its chromatic polynomial), 76 independent
  sets, of which 5 are of the largest size, 4, so that the least vertex covers have 6 of the 10; least dominating
  sets (a set cover) have 3.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from itertools import combinations

import networkx
import pytest

from shared.ranges import Range
from shared.verdict import Verdict
from solver.problem import Problem, build_problem
from solver.relations import Build, Relation
from solver.search.engines import ENGINES, EngineName, engine
from tests.solver.random_problems import number_of, plain_problem

HOUSES = 5


def among(names: Sequence[str], allowed: Callable[..., bool], says: str = "") -> Relation:
    """A relation between the numbers of some candidates, in the order of the names."""

    def judge(build: Build) -> Verdict:
        return Verdict.FITS if allowed(*(number_of(build[n]) for n in names)) else Verdict.NO

    scope = tuple(sorted(set(names)))
    name = f"{says} {' '.join(names)}"
    return Relation(name, "requirement", scope, judge, lambda build: (), says=says, parts=scope)


def differing(names: Sequence[str]) -> list[Relation]:
    """All of unlike numbers."""
    return [among(two, lambda a, b: a != b, "unlike") for two in combinations(names, 2)]


def posed(names: Sequence[str], count: int, relations: Sequence[Relation]) -> Problem:
    return replace(plain_problem(list(names), count), relations=tuple(relations))


def solutions(problem: Problem, most: int, name: EngineName) -> list[dict[str, int]]:
    """Every solution, from the list of best builds; the count has to say the same."""
    best = engine(name).best(problem, most)
    assert best.complete
    assert engine(name).count(problem, problem.hard) == len(best.builds)
    return [{at: number_of(part) for at, part in found.build.items()} for found in best.builds]


@pytest.mark.parametrize("name", ENGINES)
@pytest.mark.parametrize(("size", "ways"), [(3, 0), (4, 2), (5, 10), (6, 4), (7, 40)])
def test_queens(size: int, ways: int, name: EngineName) -> None:
    rows = [f"row{i}" for i in range(size)]
    apart = [
        among((rows[i], rows[j]), lambda a, b, d=j - i: a != b and abs(a - b) != d)  # type: ignore[misc]
        for i, j in combinations(range(size), 2)
    ]
    assert len(solutions(posed(rows, size, apart), 100, name)) == ways


@pytest.mark.parametrize("name", ENGINES)
def test_the_zebra_puzzle(name: EngineName) -> None:
    groups = {
        "house": ("red", "green", "ivory", "yellow", "blue"),
        "nation": ("english", "spanish", "ukrainian", "norwegian", "japanese"),
        "drink": ("coffee", "tea", "milk", "juice", "water"),
        "smoke": ("smoke1", "smoke2", "smoke3", "smoke4", "smoke5"),
        "pet": ("dog", "snails", "fox", "horse", "zebra"),
    }
    relations = [r for members in groups.values() for r in differing(members)]

    def same(one: str, two: str) -> None:
        relations.append(among((one, two), lambda a, b: a == b, "in one house"))

    def beside(one: str, two: str) -> None:
        relations.append(among((one, two), lambda a, b: abs(a - b) == 1, "next door"))

    same("english", "red")
    same("spanish", "dog")
    same("coffee", "green")
    same("ukrainian", "tea")
    relations.append(among(("green", "ivory"), lambda a, b: a == b + 1, "right of"))
    same("smoke1", "snails")
    same("smoke2", "yellow")
    relations.append(among(("milk",), lambda a: a == 2, "in the middle"))
    relations.append(among(("norwegian",), lambda a: a == 0, "first"))
    beside("smoke3", "fox")
    beside("smoke2", "horse")
    same("smoke4", "juice")
    same("japanese", "smoke5")
    beside("norwegian", "blue")
    names = [member for members in groups.values() for member in members]
    (found,) = solutions(posed(names, HOUSES, relations), 2, name)
    assert found["water"] == found["norwegian"]
    assert found["zebra"] == found["japanese"]


@pytest.mark.parametrize("name", ENGINES)
def test_magic_squares(name: EngineName) -> None:
    cells = [f"c{i}" for i in range(9)]
    lines = [(0, 1, 2), (3, 4, 5), (6, 7, 8), (0, 3, 6), (1, 4, 7), (2, 5, 8), (0, 4, 8), (2, 4, 6)]
    sums = [among([cells[i] for i in line], lambda a, b, c: a + b + c == 12, "sum") for line in lines]
    found = solutions(posed(cells, 9, [*differing(cells), *sums]), 20, name)
    assert len(found) == 8
    # Numbers run from 0 here: 15 less 3 in a line, and 5 less 1 in the middle.
    assert {f["c4"] for f in found} == {4}


@pytest.mark.parametrize("name", ENGINES)
@pytest.mark.parametrize(("colours", "ways"), [(3, 0), (4, 4 * (2**5 - 2))])
def test_nevada_and_its_neighbours(colours: int, ways: int, name: EngineName) -> None:
    rim = ["california", "oregon", "idaho", "utah", "arizona"]
    borders = [*(("nevada", state) for state in rim), *zip(rim, [*rim[1:], rim[0]], strict=True)]
    problem = posed(["nevada", *rim], colours, [among(b, lambda a, b: a != b, "border") for b in borders])
    assert engine(name).count(problem, problem.hard) == ways
    assert (engine(name).satisfying(problem, problem.hard) is not None) == (ways > 0)


PETERSEN = networkx.petersen_graph()
NODES = [f"n{i}" for i in range(10)]
EDGES = [(f"n{a}", f"n{b}") for a, b in PETERSEN.edges]


@pytest.mark.parametrize("name", ENGINES)
@pytest.mark.parametrize(("colours", "ways"), [(2, 0), (3, 120)])
def test_colours_of_the_petersen_graph(colours: int, ways: int, name: EngineName) -> None:
    problem = posed(NODES, colours, [among(e, lambda a, b: a != b, "edge") for e in EDGES])
    assert engine(name).count(problem, problem.hard) == ways


def costing(problem: Problem) -> Problem:
    """The problem with candidate number 1 of every position costing 1."""
    parts = {
        key: replace(part, price=Range.exactly(float(number_of(part)))) for key, part in problem.garage.parts.items()
    }
    priced = build_problem(problem.goal, replace(problem.garage, parts=parts))
    return replace(priced, relations=problem.relations)


@pytest.mark.parametrize("name", ENGINES)
def test_least_vertex_covers(name: EngineName) -> None:
    """Each edge has an end in the cover; what is left out of one is independent."""
    problem = costing(posed(NODES, 2, [among(e, lambda a, b: a or b, "covered") for e in EDGES]))
    assert engine(name).count(problem, problem.hard) == 76
    best = engine(name).best(problem, 6).builds
    assert [f.score for f in best] == [600] * 5 + [700]


@pytest.mark.parametrize("name", ENGINES)
def test_least_set_cover(name: EngineName) -> None:
    """Each node is in the set or beside it; how many least sets there are is counted here by trying all triples."""
    near = [{node, *PETERSEN[node]} for node in PETERSEN]
    least = [t for t in combinations(range(10), 3) if set().union(*(near[i] for i in t)) == set(range(10))]
    assert not any(set().union(*(near[i] for i in t)) == set(range(10)) for t in combinations(range(10), 2))
    rules = [among([NODES[i] for i in sorted(n)], lambda *chosen: any(chosen), "reached") for n in near]
    best = engine(name).best(costing(posed(NODES, 2, rules)), len(least) + 1).builds
    assert [f.score for f in best] == [300] * len(least) + [400]
    sets = [tuple(i for i, node in enumerate(NODES) if number_of(f.build[node])) for f in best[:-1]]
    assert sorted(sets) == sorted(least)
