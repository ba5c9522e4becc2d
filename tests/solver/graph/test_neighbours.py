"""What a part touches, and what would have to change with it."""

from __future__ import annotations

from pathlib import Path

from knowledge.garage import read_goal
from solver.demo import demo_goal
from solver.graph import around


def test_steps_and_changes_on_the_trailer(trailer: Path) -> None:
    found = around(trailer, "hub-big")
    # hub-big's bearing is 30.02 mm for the old axle's 25.00 mm journal, its five studs meet four holes.
    assert {n: d["steps"] for n, d in found.nodes(data=True) if "steps" in d} == {
        "hub": 0,
        "axle": 1,
        "wheel": 1,
        "spring": 2,
    }
    assert found.nodes["wheel"]["change"] == "must"
    # Of the two five-stud wheels the one read with a tape is cheaper; both might do.
    assert found.nodes["wheel"]["mends"].startswith("Wheel read with a tape (price 15); Five-stud wheel (price 25)")
    assert found.nodes["axle"]["change"] == "must" and found.nodes["axle"]["mends"].startswith("Big axle")
    # And with the big axle the springs sit 100 mm further apart: the second step.
    assert found.nodes["spring"]["mends"].startswith("Wide spring")


def test_a_position_is_asked_about_as_it_is(trailer: Path) -> None:
    found = around(trailer, "hub")
    assert not any("change" in d for _, d in found.nodes(data=True))
    assert {n for n, d in found.nodes(data=True) if d.get("steps") == 1} == {"axle", "wheel"}


def test_bigger_shafts_call_for_another_carrier() -> None:
    found = around(demo_goal(), "rear-shafts-31")
    assert found.nodes["rear_carrier"]["change"] == "must"
    assert "31 splines" in found.nodes["rear_carrier"]["mends"]
    edge = found.edges["rear_shafts", "rear_carrier", "rear-shafts-in-carrier"]
    assert edge["sides"] == "splines 31 against 25"
    assert max(d.get("steps", 0) for _, d in found.nodes(data=True)) == 2


def test_nodes_stand_in_the_order_of_the_layout() -> None:
    found = around(demo_goal(), "coil-lindel-long")
    order = list(read_goal(demo_goal())[1].layout.positions)
    reached = [n for n in found if n in order]
    assert len(reached) > 5 and reached == sorted(reached, key=order.index)
