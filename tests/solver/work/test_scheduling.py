"""Two people's timetable keeps every rule it is made under."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from itertools import combinations

import pytest

from solver.problem import Problem
from solver.relations import Build
from solver.work.graph import critical_path, work_graph
from solver.work.jobs import Job, Timetable, jobs_of
from solver.work.scheduling import timetable


def keeps_the_rules(jobs: tuple[Job, ...], found: Timetable, people: int = 2) -> None:
    """Order, people, places: checked from the slots alone."""
    by_name = {job.name: job for job in jobs}
    slots = {slot.name: slot for slot in found.slots}
    assert sorted(slots) == sorted(job.name for job in jobs if job.seconds)
    ends: dict[str, int] = {}
    for job in jobs:  # in an order where each comes after those it waits for
        ready = max((ends[name] for name in job.after), default=0)
        if job.seconds:
            assert slots[job.name].start >= ready
            assert slots[job.name].end == slots[job.name].start + job.seconds
            assert len(slots[job.name].people) == min(job.people, people)
        ends[job.name] = slots[job.name].end if job.seconds else ready
    assert found.seconds == max(ends.values(), default=0)
    for one, two in combinations(slots.values(), 2):
        if one.start < two.end and two.start < one.end:
            assert not set(one.people) & set(two.people)
            places = (by_name[one.name].places, by_name[two.name].places)
            assert all(places) and not places[0] & places[1]


@pytest.mark.parametrize("stands", [2, 4])
@pytest.mark.parametrize("changed", [("front_coil", "rear_block"), ("front_hose", "rear_hose", "front_caliper")])
def test_the_demos_work_for_two(
    problem: Problem, touching: Callable[[Iterable[str]], Build], changed: tuple[str, ...], stands: int
) -> None:
    graph = work_graph(problem, touching(changed), stands)
    jobs = jobs_of(graph)
    found = timetable(jobs)
    keeps_the_rules(jobs, found)
    alone = sum(d["seconds"] for _, d in graph.nodes(data=True))
    assert found.proved and max(alone / 2, critical_path(graph)[1]) <= found.seconds < alone


def test_a_search_cut_short_says_so() -> None:
    jobs = tuple(
        Job(f"j{i}", 60 * (3 + i * 7 % 11), 1, frozenset({f"p{i % 4}"}), frozenset({f"j{i - 5}"} if i >= 5 else ()))
        for i in range(18)
    )
    short, whole = timetable(jobs, most_states=1), timetable(jobs)
    keeps_the_rules(jobs, short)
    assert short.bound <= whole.seconds <= short.seconds
    assert whole.proved


def test_one_person_does_one_thing_after_the_other() -> None:
    jobs = (Job("a", 60, 1, frozenset("x")), Job("b", 120, 2, frozenset("y")), Job("c", 0, after=frozenset("ab")))
    found = timetable(jobs, people=1)
    keeps_the_rules(jobs, found, 1)
    assert found.seconds == 180 and found.proved


def test_nothing_to_do() -> None:
    assert timetable(()) == Timetable((), 0, 0)


def test_work_that_waits_for_itself_is_refused() -> None:
    with pytest.raises(ValueError, match="circle"):
        timetable((Job("a", 1, after=frozenset("b")), Job("b", 1, after=frozenset("a"))))
