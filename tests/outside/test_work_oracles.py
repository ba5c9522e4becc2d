"""The work's order and timetable against others: OR-tools CP-SAT, plain enumeration, networkx.

Jobs are drawn at random: times, people, places and what waits for what.
"""

from __future__ import annotations

from itertools import pairwise, permutations
from random import Random

import networkx as nx
import pytest
from ortools.sat.python import cp_model

from knowledge.layout_files.work_order import orders
from shared.work import Check, Step
from solver.work.graph import critical_path, graph_of_steps, tightened
from solver.work.jobs import Job
from solver.work.ordering import one_by_one
from solver.work.scheduling import timetable

PLACES = ("front left", "front right", "rear", "bench")


def random_jobs(random: Random, count: int) -> tuple[Job, ...]:
    jobs: list[Job] = []
    for i in range(count):
        before = random.sample(jobs, min(len(jobs), random.choice([0, 0, 1, 1, 2])))
        places = random.sample(PLACES, random.choice([0, 1, 1, 1, 2]))
        seconds = random.choice([0, 60, 120, 180, 300, 420])
        after = frozenset(job.name for job in before)
        jobs.append(Job(f"j{i:02d}", seconds, random.choice([1, 1, 1, 2]), frozenset(places), after))
    return tuple(jobs)


def by_cp_sat(jobs: tuple[Job, ...], people: int) -> int:
    """The least time [s] by a constraint solver that knows nothing of the search checked here.

    A job without a place has the car to itself: it is at every place, and every other job is at one at least.
    """
    model = cp_model.CpModel()
    horizon = sum(job.seconds for job in jobs) // 60
    starts = {job.name: model.new_int_var(0, horizon, job.name) for job in jobs}
    spans = {job.name: model.new_fixed_size_interval_var(starts[job.name], job.seconds // 60, job.name) for job in jobs}
    end = model.new_int_var(0, horizon, "end")
    for job in jobs:
        model.add(starts[job.name] + job.seconds // 60 <= end)
        for name in job.after:
            first = next(other for other in jobs if other.name == name)
            model.add(starts[job.name] >= starts[name] + first.seconds // 60)
    real = [job for job in jobs if job.seconds]
    model.add_cumulative([spans[job.name] for job in real], [min(job.people, people) for job in real], people)
    for place in PLACES:
        model.add_no_overlap([spans[job.name] for job in real if place in job.places or not job.places])
    model.minimize(end)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    assert solver.solve(model) == cp_model.OPTIMAL
    return 60 * round(solver.objective_value)


def by_enumeration(jobs: tuple[Job, ...], people: int) -> int:
    """The least time by taking the jobs in every order, each as early as it can be.

    Some order gives a shortest timetable (Kelley 1963, the serial scheme makes every active schedule).
    """
    best = sum(job.seconds for job in jobs)
    for order in permutations(jobs):
        placed: dict[str, tuple[int, int, Job]] = {}
        for job in order:
            if not job.after <= set(placed):
                break
            ready = max((placed[name][1] for name in job.after), default=0)
            times = sorted({ready, *(end for _, end, _ in placed.values() if end > ready)})
            start = next(t for t in times if _free(job, t, placed, people))
            placed[job.name] = (start, start + job.seconds, job)
        else:
            best = min(best, max((end for _, end, _ in placed.values()), default=0))
    return best


def _free(job: Job, start: int, placed: dict[str, tuple[int, int, Job]], people: int) -> bool:
    end = start + job.seconds
    if not job.seconds:
        return True
    meanwhile = [(s, e, other) for s, e, other in placed.values() if s < end and start < e and other.seconds]
    for _, _, other in meanwhile:
        if not job.places or not other.places or job.places & other.places:
            return False
    for moment in {start, *(s for s, _, _ in meanwhile if start < s < end)}:
        at_work = sum(min(o.people, people) for s, e, o in meanwhile if s <= moment < e)
        if at_work + min(job.people, people) > people:
            return False
    return True


@pytest.mark.parametrize("seed", range(40))
def test_the_shortest_timetable_against_cp_sat(seed: int) -> None:
    random = Random(seed)
    jobs = random_jobs(random, random.randint(1, 12))
    people = random.choice([1, 2, 2, 3])
    found = timetable(jobs, people, most_states=200_000)
    assert found.proved
    assert found.seconds == by_cp_sat(jobs, people)


@pytest.mark.parametrize("seed", range(25))
def test_the_shortest_timetable_against_every_order(seed: int) -> None:
    random = Random(1000 + seed)
    jobs = random_jobs(random, random.randint(1, 5))
    people = random.choice([1, 2, 2, 3])
    found = timetable(jobs, people)
    assert found.proved
    assert found.seconds == by_enumeration(jobs, people)


@pytest.mark.parametrize("seed", range(8))
def test_a_search_cut_short_bounds_the_true_answer(seed: int) -> None:
    random = Random(2000 + seed)
    jobs = random_jobs(random, 10)
    true = by_cp_sat(jobs, 2)
    for most in (0, 3, 30):
        found = timetable(jobs, 2, most_states=most)
        assert found.bound <= true <= found.seconds


def random_steps(random: Random) -> tuple[Step, ...]:
    """Steps that wait for steps written before them, some with checks, some that drive."""
    steps: list[Step] = []
    for i in range(random.randint(1, 12)):
        after = random.sample([s.id for s in steps], min(len(steps), random.choice([0, 1, 2])))
        checks = (Check("good", "common practice, no source"),) if random.random() < 0.4 else ()
        name = f"s{i:02d}"
        steps.append(
            Step(
                name, name, name, 60.0 * random.randint(0, 9), tuple(after), drives=random.random() < 0.2, checks=checks
            )
        )
    return tuple(steps)


@pytest.mark.parametrize("seed", range(40))
def test_longest_chain_and_order_against_networkx(seed: int) -> None:
    steps = random_steps(Random(seed))
    graph = graph_of_steps(steps, steps, {}, {}, 4)
    chain, seconds = critical_path(graph)
    # networkx weighs edges: a node's time is put on the edges into it, and a start in front of all.
    weighed = nx.DiGraph()
    for node in graph:
        weighed.add_edge("start", node, weight=graph.nodes[node]["seconds"])
    weighed.add_weighted_edges_from((a, b, graph.nodes[b]["seconds"]) for a, b in graph.edges)
    assert seconds == nx.dag_longest_path_length(weighed)
    assert sum(graph.nodes[node]["seconds"] for node in chain) == seconds
    assert all(nx.has_path(graph, a, b) for a, b in pairwise(chain))
    place = {node: i for i, node in enumerate(one_by_one(graph))}
    assert len(place) == len(graph) and all(place[a] < place[b] for a, b in graph.edges)
    assert set(tightened(graph).edges) == set(nx.transitive_reduction(graph).edges)


@pytest.mark.parametrize("seed", range(40))
def test_absent_steps_hand_their_order_on(seed: int) -> None:
    """Steps left out of a plan: what waited for them waits for what they waited for (networkx: the closure)."""
    random = Random(seed)
    every = tuple(s for s in random_steps(random))
    here = tuple(s for s in every if random.random() < 0.6)
    whole = nx.DiGraph()
    whole.add_nodes_from(s.id for s in every)
    whole.add_edges_from((o.first, o.then) for o in orders(every))
    graph = graph_of_steps(here, every, {}, {}, 4)
    names = [s.id for s in here]
    for a in names:
        for b in names:
            if a != b and nx.has_path(whole, a, b):
                assert nx.has_path(graph, a, b)
    drives = [n for n in names if graph.nodes[n]["kind"] == "drive"]
    free = nx.DiGraph(whole)
    if not drives:  # without a drive nothing else is put in order
        for a in names:
            for b in names:
                assert a == b or nx.has_path(graph, a, b) == nx.has_path(free, a, b)
