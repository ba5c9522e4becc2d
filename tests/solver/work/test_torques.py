"""Torques: makers first, then thread, grade and friction, else unknown; never a figure out of the air."""

from __future__ import annotations

from dataclasses import replace

import pytest

from knowledge.standards.fastening import threads
from shared.evidence import Evidence, Value
from shared.part import Part
from shared.ranges import Range
from solver.problem import Problem
from solver.relations import Build
from solver.work.torques import class_torque, torque_of


def with_part(problem: Problem, at: str, properties: dict[str, Value], port: str = "") -> Build:
    part = problem.stock[at]
    assert isinstance(part, Part)
    if port:
        changed = {**part.ports, port: {**(part.ports[port] or {}), **properties}}
        return {**problem.stock, at: replace(part, id="other", ports=changed)}
    return {**problem.stock, at: replace(part, id="other", properties={**part.properties, **properties})}


def word(text: str) -> Value:
    return Value(text, text, Evidence.MEASURED)


def test_the_parts_maker_goes_first(problem: Problem) -> None:
    stated = Value(Range.exactly(95.0), "95 N m", Evidence.PUBLISHED)
    build = with_part(problem, "rear_u_bolts", {"torque": stated})
    found = torque_of(problem.garage.layout.fasteners["u-bolts"], problem, build)
    assert found.basis == "the part's maker" and found.torque == Range.exactly(95.0)
    assert found.source == "published"


def test_the_cars_maker_goes_before_the_class(problem: Problem) -> None:
    found = torque_of(problem.garage.layout.fasteners["wheel-nuts-front"], problem, problem.stock)
    assert found.basis == "the car's maker" and found.torque == Range.exactly(110.0)
    assert len(found.rungs) == 2  # the class figures stay at hand to compare with


def test_the_cars_figure_is_not_carried_over_to_another_thread(problem: Problem) -> None:
    nuts = problem.garage.layout.fasteners["wheel-nuts-front"]
    same = torque_of(nuts, problem, with_part(problem, "front_hub", {"thread": word("M12x1.50")}, "studs"))
    assert same.basis == "the car's maker"
    other = torque_of(nuts, problem, with_part(problem, "front_hub", {"thread": word("1/2-20")}, "studs"))
    assert other.basis == "computed" and other.threads == ("1/2-20",)
    assert {rung.grade for rung in other.rungs} == {"SAE J429 grade 5", "SAE J429 grade 8"}


def test_own_leaves_re_arched_keep_their_bolts_and_the_maker_s_figure(problem: Problem) -> None:
    bolts = problem.garage.layout.fasteners["leaf-bolts"]
    altered = next(p for p in problem.domains["rear_leaf"] if p is not None and p.id == "stock-rear-leaf+re-arch")
    found = torque_of(bolts, problem, {**problem.stock, "rear_leaf": altered})
    assert found.basis == "the car's maker" and found.torque == Range.exactly(125.0)
    larger = {**(altered.ports["front_eye"] or {}), "bolt": Value(Range.exactly(0.016), "16 mm", Evidence.MEASURED)}
    bored = replace(altered, ports={**altered.ports, "front_eye": larger})
    assert torque_of(bolts, problem, {**problem.stock, "rear_leaf": bored}).basis == "computed"
    another_car_s = {**problem.stock, "rear_leaf": replace(altered, own=False)}
    assert torque_of(bolts, problem, another_car_s).basis == "computed"


def test_an_unknown_grade_gives_the_class_table(problem: Problem) -> None:
    found = torque_of(problem.garage.layout.fasteners["hub-bolts"], problem, problem.stock)
    assert found.torque is None and found.basis == "computed"
    assert [rung.grade for rung in found.rungs] == ["ISO 898-1 class 8.8", "ISO 898-1 class 10.9"]
    assert found.needs == ("the mark on the head or the nut",)


def test_a_diameter_alone_holds_every_pitch_of_it(problem: Problem) -> None:
    bolts = replace(problem.garage.layout.fasteners["link-bolts"], maker=())
    found = torque_of(bolts, problem, problem.stock)
    assert found.threads == ("M14x1.5", "M14x2")
    fine = class_torque([threads()["M14x1.5"]], "ISO 898-1 class 8.8", bolts.share, "dry")
    coarse = class_torque([threads()["M14x2"]], "ISO 898-1 class 8.8", bolts.share, "dry")
    assert fine is not None and coarse is not None
    assert found.rungs[0].torque == Range(coarse.torque.lo, fine.torque.hi)


def test_a_thread_nobody_knows_gives_no_figure(problem: Problem) -> None:
    found = torque_of(
        problem.garage.layout.fasteners["u-bolts"],
        problem,
        with_part(problem, "rear_u_bolts", {"thread": word("stud")}),
    )
    assert found.basis == "unknown" and found.torque is None and not found.rungs
    assert found.needs == ("the maker's figure", "the thread, by a gauge")
    for name in ("flare-nuts", "adjuster-clamps"):
        assert torque_of(problem.garage.layout.fasteners[name], problem, problem.stock).basis == "unknown"
    assert torque_of(problem.garage.layout.fasteners["pinion-nut"], problem, problem.stock).basis == "not by torque"


@pytest.mark.parametrize("name", ["M10x1.5", "M12x1.5", "M14x2", "1/2-20", "9/16-18"])
@pytest.mark.parametrize("condition", ["dry", "oiled", "lubricated"])
def test_no_torque_offered_stretches_the_bolt(name: str, condition: str) -> None:
    """With the friction anywhere in its scatter the preload stays at or below the proof load."""
    grade = "10.9" if name.startswith("M") else "8"
    rung = class_torque([threads()[name]], grade, Range(0.65, 0.75), condition)
    assert rung is not None
    assert rung.reached.hi <= 1 + 1e-12
    assert rung.reached.lo == pytest.approx(0.65 / 1.25, rel=1e-12)
