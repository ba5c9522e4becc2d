"""The order of the work: nothing apart twice, checks before drives, whatever is changed and however few the stands."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from random import Random

import networkx as nx
import pytest

from shared.faults import BadInput
from shared.ranges import Range
from solver.problem import Problem
from solver.relations import Build
from solver.work.graph import check_id, critical_path, stands_used, steps_of, tightened, work_graph
from solver.work.ordering import one_by_one, tails

Touching = Callable[[Iterable[str]], Build]


def some_positions(problem: Problem, seed: int) -> list[str]:
    random = Random(seed)
    positions = list(problem.garage.layout.positions)
    return random.sample(positions, random.choice([1, 1, 2, 3, 5, 8, 15, len(positions)]))


@pytest.mark.parametrize("stands", [2, 4])
@pytest.mark.parametrize("seed", range(12))
def test_any_change_can_be_done_and_nothing_is_taken_apart_twice(
    problem: Problem, touching: Touching, seed: int, stands: int
) -> None:
    build = touching(some_positions(problem, seed))
    graph = work_graph(problem, build, stands)
    order = one_by_one(graph)
    place = {node: i for i, node in enumerate(order)}
    assert sorted(order) == sorted(graph)
    assert all(place[a] < place[b] for a, b in graph.edges)
    steps = {step.id: step for step in steps_of(problem, build)}
    opened: dict[str, str] = {}
    closed: dict[str, str] = {}
    for node in order:
        if node in steps:
            step = steps[node]
            for thing in step.takes_apart:
                assert thing not in opened, f"{thing} taken apart a second time"
                opened[thing] = node
            for thing in step.while_apart:
                # Where something must lie apart and somebody in the plan opens it, it is open and not yet closed.
                assert thing not in closed, (node, thing)
            for thing in step.puts_together:
                assert thing in opened and thing not in closed
                closed[thing] = node
    assert sorted(opened) == sorted(closed)
    for step in steps.values():
        for thing in step.while_apart:
            if thing in opened:
                assert place[opened[thing]] < place[step.id] < place[closed[thing]]


@pytest.mark.parametrize("seed", range(8))
def test_with_two_stands_no_more_than_two_are_in_use(problem: Problem, touching: Touching, seed: int) -> None:
    build = touching(some_positions(problem, seed))
    in_use = most = 0
    apart = problem.garage.layout.apart
    graph = work_graph(problem, build, 2)
    for node in one_by_one(graph):
        if graph.nodes[node]["kind"] != "check":
            step = graph.nodes[node]["step"]
            in_use += sum(apart[t].stands for t in step.takes_apart)
            most = max(most, in_use)
            in_use -= sum(apart[t].stands for t in step.puts_together)
    assert most == stands_used(steps_of(problem, build), apart, 2)[0] <= 2
    assert in_use == 0


@pytest.mark.parametrize("stands", [2, 4])
def test_chocks_are_told_for_wheels_on_the_ground_only(problem: Problem, touching: Touching, stands: int) -> None:
    """What is said where an end goes up is true whether the other end is on its wheels or up already."""
    graph, off = work_graph(problem, touching(["front_coil", "rear_block"]), stands), set[str]()
    both = False
    for node in one_by_one(graph):
        step = graph.nodes[node].get("step")
        if step is not None and node in ("lift-front.up", "lift-rear.up"):
            assert "wheels chocked or, where that end is up already, its stands looked at again" in step.does
            assert "With both ends up none is" in problem.garage.layout.cautions["park"].says
            assert "park" in step.cautions
            off.update(step.takes_apart)
            both |= len(off) == 2
        if step is not None and node in ("lift-front.down", "lift-rear.down"):
            assert "chocked as long as the other end is up" in step.does
            off.difference_update(step.puts_together)
    assert both is (stands == 4)


def test_stands_too_few_for_one_more_lift_are_as_good_as_not_there(problem: Problem, touching: Touching) -> None:
    """Either end of this car takes two stands (work.yaml), so three hold one end at a time, and four hold both."""
    steps, apart = steps_of(problem, touching(["front_coil", "rear_block"])), problem.garage.layout.apart
    assert [stands_used(steps, apart, there) for there in (2, 3, 4, 5)] == [(2, 4), (2, 4), (4, 4), (4, 4)]


@pytest.mark.parametrize("seed", range(8))
def test_nothing_is_driven_before_its_checks(problem: Problem, touching: Touching, seed: int) -> None:
    """Every check that does not itself need driving comes before the first drive; every check before the road."""
    graph = work_graph(problem, touching(some_positions(problem, seed)))
    drives = [n for n, d in graph.nodes(data=True) if d["kind"] == "drive"]
    checks = [n for n, d in graph.nodes(data=True) if d["kind"] == "check"]
    assert drives
    driven = set(drives) | {n for drive in drives for n in nx.descendants(graph, drive)}
    for check in set(checks) - driven:
        assert all(drive in nx.descendants(graph, check) for drive in drives), check
    after_road = nx.descendants(graph, "inspection.road")
    for node in set(graph) - after_road - {"inspection.road"}:
        assert "inspection.road" in nx.descendants(graph, node), node


def test_everything_that_lies_apart_is_called_for_by_what_needs_it(problem: Problem) -> None:
    """Brake lines may be closed for a parking cable; everything else that must lie apart is always taken apart."""
    layout, effort = problem.garage.layout, problem.effort
    opener = {thing: task.id for task in layout.tasks.values() for step in task.steps for thing in step.takes_apart}
    for task in layout.tasks.values():
        for step in task.steps:
            for thing in set(step.while_apart) - {"brake_lines"}:
                soft = {("steering", "front_axle_joints"), ("transfer", "propshafts")}
                assert opener[thing] in effort.pulled[task.id] or (task.id, thing) in soft, (step.id, thing)


def test_every_position_goes_on_somewhere(problem: Problem) -> None:
    fitted = {at for task in problem.garage.layout.tasks.values() for step in task.steps for at in step.fits}
    assert fitted == set(problem.garage.layout.positions)


SANE = [
    # What must come before what, as a mechanic would say it; trade practice.
    ("front_coil", "lift-front.up", "front-free.off"),
    ("front_coil", "front-free.off", "coils.out"),
    ("front_coil", "coils.in/check", "front-free.on"),
    ("front_coil", "dampers-front.on", "lift-front.down"),
    ("front_coil", "lift-front.down", "settle"),
    ("front_coil", "settle", "angles"),
    ("front_coil", "angles", "align.home"),
    ("front_coil", "align.home/check", "pedal-test.stops"),
    ("front_coil", "headlamps/check", "pedal-test.stops"),
    ("front_hose", "brake-open", "hoses-front"),
    ("front_hose", "hoses-front/check", "brake-bleed"),
    ("front_hose", "brake-bleed/check", "lift-front.down"),
    ("front_hose", "brake-bleed/check", "pedal-test.standing"),
    ("front_hose", "pedal-test.standing/check", "pedal-test.stops"),
    ("rear_cylinder", "rear-brakes.on", "brake-bleed"),
    ("rear_leaf", "rear-free.off", "leaves"),
    ("rear_leaf", "leaves", "rear-free.on"),
    ("rear_leaf", "rear-free.on/check", "settle"),
    ("rear_gears", "rear-shafts.out", "rear-gears"),
    ("rear_gears", "rear-gears/check", "rear-shafts.in"),
    ("rear_gears", "rear-shafts.in", "oil-rear"),
    ("rear_gears", "props.off", "rear-gears"),
    ("front_axle", "coils.out", "front-axle-swap.out"),
    ("front_axle", "front-axle-swap.in", "front-free.on"),
    ("front_axle", "front-gears/check", "front-axle-swap.in"),
    ("rear_axle", "rear-shafts.in", "rear-axle-swap.in"),
    ("rear_axle", "rear-axle-swap.in", "brake-bleed"),
    ("steering_box", "steering/check", "steering-fluid"),
    ("tyre", "tyres-front/check", "lift-front.down"),
    ("tyre", "inspection.inspected/check", "inspection.road"),
    ("tyre", "inspection.road", "re-torque"),
]


@pytest.mark.parametrize(("changed", "first", "then"), SANE)
@pytest.mark.parametrize("stands", [2, 4])
def test_the_order_is_a_mechanics(
    problem: Problem, touching: Touching, changed: str, first: str, then: str, stands: int
) -> None:
    graph = work_graph(problem, touching([changed, "front_gears"] if changed == "front_axle" else [changed]), stands)
    assert then in nx.descendants(graph, first)


def test_springs_and_axle_joints_are_torqued_at_ride_height(problem: Problem) -> None:
    settle = problem.garage.layout.tasks["settle"].steps[0]
    assert {"track-bar", "u-bolts", "link-bolts", "leaf-bolts", "shackle-bolts"} <= set(settle.fasteners)
    others = [s for t in problem.garage.layout.tasks.values() for s in t.steps if t.id not in ("settle", "re-torque")]
    assert not any("u-bolts" in s.fasteners or "track-bar" in s.fasteners for s in others)


def test_brakes_are_opened_and_bled_once_for_any_number_of_reasons(problem: Problem, touching: Touching) -> None:
    build = touching(["front_hose", "rear_hose", "front_caliper", "rear_cylinder", "master_cylinder", "brake_valve"])
    names = [step.id for step in steps_of(problem, build)]
    assert names.count("brake-open") == names.count("brake-bleed") == 1
    assert len(set(names)) == len(names)


def test_too_few_stands_are_said(problem: Problem, touching: Touching) -> None:
    with pytest.raises(BadInput) as caught:
        work_graph(problem, touching(["front_coil"]), 1)
    assert "at least 2" in str(caught.value)


def test_bench_work_comes_before_the_part_goes_on(problem: Problem) -> None:
    stock = problem.stock["rear_leaf"]
    assert stock is not None
    worked = replace(stock, id="worked", hours=Range(3600.0, 7200.0), altered=("re-arched",))
    build = {**problem.stock, "rear_leaf": worked}
    graph = work_graph(problem, build)
    assert graph.has_edge("bench.rear_leaf", "leaves")
    assert "re-arched" in graph.nodes["bench.rear_leaf"]["step"].does
    total = sum(d["seconds"] for _, d in graph.nodes(data=True))
    assert total == pytest.approx(problem.effort.hours(build).hi, abs=60)


def test_the_stock_car_needs_no_work(problem: Problem) -> None:
    assert len(work_graph(problem, problem.stock)) == 0
    assert critical_path(work_graph(problem, problem.stock)) == ((), 0)


def test_a_check_stands_between_its_step_and_what_follows(problem: Problem, touching: Touching) -> None:
    graph = work_graph(problem, touching(["front_coil"]))
    reduced = tightened(graph)
    assert list(reduced.successors("coils.in")) == [check_id("coils.in")]
    assert nx.transitive_closure(reduced).edges == nx.transitive_closure(graph).edges
    chain, seconds = critical_path(graph)
    halved = {n: d["seconds"] / 2 if d["step"].sides else d["seconds"] for n, d in graph.nodes(data=True)}
    assert seconds == sum(halved[node] for node in chain) <= max(tails(graph).values())
