"""The demo: a sound stock car, a catalogue full of real choices and traps, and goals that behave as promised."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from knowledge.garage import Garage, read_goal
from shared.evidence import Evidence, Value
from shared.goal import Goal
from shared.ranges import Range
from shared.verdict import Verdict
from solver.demo import GOALS, demo_goal
from solver.explain.questions import Questions
from solver.explain.refusal import independent_conflicts, refusal
from solver.planning import plan_of
from solver.problem import Problem, build_problem

# Traps: parts that look right and are not, and what refuses each on the stock car.  Facts of the invented catalogue.
TRAPS = {
    "coil-quarry": "front-frequency-most",
    "coil-quarry-short": "coil-seated",
    "coil-brisk": "front-coil-on-axle",
    "coil-wide": "front-coil-on-axle",
    "damper-front-eye": "front-damper-on-body",
    "damper-front-dead": "damper-closed-front",
    "stop-front-clip": "front-bump-stop-on-body",
    "links-bulwark": "lower-links-on-front-axle",
    "leaf-wide": "leaf-on-front-hanger",
    "leaf-bulwark": "leaf-on-rear-axle",
    "shackle-quarry": "leaf-on-shackle",
    "block-100": "block-height",
    "block-quarry": "leaf-on-rear-axle",
    "wedge-big-hole": "leaf-on-rear-axle",
    "u-bolts-new-76": "u-bolts-on-rear-axle",
    "damper-rear-stem": "rear-damper-on-body",
    "damper-rear-dead": "damper-closed-rear",
    "stop-rear-wide": "rear-bump-stop-on-body",
    "front-axle-right": "front-axle-under-body",
    "front-carrier-tall": "front-gears-on-carrier",
    "front-gears-410-standard": "front-gears-in-axle",
    "rear-gears-410-reverse": "rear-gears-in-axle",
    "rear-gears-410-big": "rear-gears-in-axle",
    "front-shafts-31": "front-shafts-in-carrier",
    "knuckle-inverted-y": "drag-link-on-knuckle",
    "hub-127": "wheel-on-front-hub",
    "hub-no-ring": "hub-under-speed-sensor",
    "rear-shafts-27": "rear-shafts-in-carrier",
    "rear-shafts-25-127": "wheel-on-rear-shaft",
    "rear-prop-26": "rear-prop-on-transfer",
    "joint-big": "joint-on-pinion-yoke",
    "speedo-40-thick": "speedometer-gear-in-transfer",
    "rear-prop-marram": "rear-slip-bump",
    "rear-shafts-25-long": "rear-shafts-in-axle",
    "rotor-deep": "rotor-in-caliper",
    "caliper-low-drag": "pedal-travel",
    "cylinder-23.8": "front-first-driver",
    "cylinder-clip": "wheel-cylinder-on-rear-brake",
    "hose-front-bubble": "front-hose-to-line",
    "hose-front-used": "front-hose-new",
    "valve-no-bypass": "brake-front-lost",
    "master-28.6": "brake-no-worse",
    "master-short-rod": "master-on-booster",
    "booster-big": "booster-on-bulkhead",
    "box-other-hand": "steering-box-on-body",
    "pitman-38": "links-parallel",
    "pitman-taper": "drag-link-on-pitman-arm",
    "tie-rod-y": "tie-rod-on-knuckles",
    "track-bar-short": "links-length",
    "wheel-127": "wheel-on-front-hub",
    "wheel-radius": "wheel-on-front-hub",
    "wheel-small-bore": "wheel-on-front-hub",
    "wheel-14": "caliper-room",
    "tyre-weak": "tyre-load-rear",
    "tyre-31": "arch-lock",
    "tyre-slow": "tyre-speed",
    "tyre-worn": "tyre-tread",
    "injectors-mixed": "injector-set",
    "injectors-tall": "injectors-in-manifold",
    "mirrors-left": "mirrors-pair",
    "console-deep": "console-on-roof",
}


@pytest.fixture(scope="module")
def read() -> tuple[Goal, Garage]:
    return read_goal(demo_goal("trail"))


@pytest.fixture(scope="module")
def problem(read: tuple[Goal, Garage]) -> Problem:
    return build_problem(Goal("nothing asked"), read[1])


def test_the_stock_car_is_sound_under_every_rule(problem: Problem) -> None:
    unwell = {
        r.name: r.explain(problem.stock) for r in problem.relations if r.verdict(problem.stock) is not Verdict.FITS
    }
    assert not unwell


def test_the_stock_car_has_no_lift_and_every_quantity(problem: Problem) -> None:
    for name in ("lift_front", "lift_rear", "rake_change", "track_growth", "revs_change", "tyre_rise"):
        value = problem.flow.sharpened(name, problem.stock).value
        assert isinstance(value, Range)
        assert abs(value.lo) < 1e-12 and abs(value.hi) < 1e-12, name
    for quantity in problem.garage.layout.quantities.values():
        assert problem.flow.value(quantity.name, problem.stock).value is not None, quantity.name


# The coherent car's figures, worked out by hand beforehand (spring, ride, brake and gearing formulas of the handbooks);
# invented data, so these are checks of the wiring, not of the world.
BY_HAND = {
    "coil_rate_front": (21.44e3, 0.01e3),
    "ride_frequency_front": (1.32, 0.005),
    "ride_frequency_rear": (1.61, 0.005),
    "leaf_stress_metal": (879e6, 1e6),
    "pedal_force_driver": (145.0, 1.0),
    "pedal_force_laden": (185.0, 1.5),
    "front_first_driver": (0.114, 0.001),
    "front_first_laden": (0.149, 0.001),
    "pedal_travel_share": (0.46, 0.005),
    "arch_room_bump": (0.078, 0.001),
    "arch_room_lock": (0.024, 0.001),
    "coil_bind_margin": (0.0026, 0.0002),
    "front_lost_deceleration": (2.82, 0.02),
    # 100 km/h on grip 0.9: v2 / (2 mu g) = 771.6 / 17.65, for 300 N could give 9.6 m/s2
    "stopping_distance_driver": (43.71, 0.01),
    # 300 N give 77.5 bar: 2 x (77.5 x 25.14 + (49 - 2.5) x 9.735) N m on 1900 kg x 0.334 m are 7.57 m/s2
    "stopping_distance_laden": (50.96, 0.05),
}


@pytest.mark.parametrize("name", sorted(BY_HAND))
def test_the_stock_car_by_hand(problem: Problem, name: str) -> None:
    value = problem.flow.value(name, problem.stock).value
    expected, tolerance = BY_HAND[name]
    assert isinstance(value, Range)
    assert value.lo == pytest.approx(expected, abs=tolerance)


def test_enough_to_choose_from(read: tuple[Goal, Garage]) -> None:
    garage = read[1]
    written = [p for p in garage.parts.values() if p.base is None]
    assert len(written) - len(garage.vehicle.fitted) >= 180
    for position in garage.layout.positions:
        assert any(position in p.positions for p in written), position


@pytest.mark.parametrize("part", sorted(TRAPS))
def test_each_trap_is_refused_for_its_reason(problem: Problem, part: str) -> None:
    """Put into the stock car, the trap is refused by the rule named, with both sides and never for an error of ours."""
    found = problem.garage.parts[part]
    position = found.positions[0]
    build = {**problem.stock, position: found}
    refused = {r.name: r for r in problem.hard if r.verdict(build) is Verdict.NO}
    assert TRAPS[part] in refused
    reasons = [x for x in refused[TRAPS[part]].explain(build) if x.verdict is Verdict.NO]
    assert reasons
    for reason in reasons:
        assert reason.source
        assert reason.left.value is not None or reason.trouble
        assert not reason.trouble


def test_there_are_enough_traps() -> None:
    assert len(TRAPS) >= 25


def test_the_trail_goal_has_a_sound_best_build() -> None:
    goal, garage = read_goal(demo_goal("trail"))
    document = plan_of(build_problem(goal, garage), "goal", 1)
    best = document.builds[0]
    assert best.verdict == "fits"
    rows = {q.name: q for q in best.quantities}
    lift = rows["lift_front"].new
    assert lift.lo is not None and lift.hi is not None
    assert lift.lo >= 0.025 and lift.hi <= 0.060
    assert all(q.verdict == "fits" for q in best.quantities if q.limits and q.name != "stability_factor")


def test_the_tight_goal_has_two_or_three_builds() -> None:
    goal, garage = read_goal(demo_goal("tight"))
    document = plan_of(build_problem(goal, garage), "goal", 10)
    assert document.complete
    assert 2 <= len(document.builds) <= 3


def test_the_clashes_are_minimal() -> None:
    """The parts in the shed clash in more than one way; each clash holds and needs every one of its members."""
    goal, garage = read_goal(demo_goal("clash"))
    questions = Questions(build_problem(goal, garage))
    conflicts = [members for members, _ in independent_conflicts(questions.problem)]
    assert len(conflicts) >= 3
    for members in conflicts:
        assert (reply := questions.ask(members)) is not None and reply.build is None
        for member in members:
            assert questions.witness(members, member) is not None, member.name
    refused = refusal(questions, "metric")
    ways = [(w.verdict, sorted(c.model_dump_json() for c in w.changes)) for w in refused.relaxations]
    assert ways and all(way not in ways[:i] for i, way in enumerate(ways))


@pytest.mark.parametrize("name", GOALS)
def test_every_goal_reads(name: str) -> None:
    assert isinstance(demo_goal(name), Path)
    assert read_goal(demo_goal(name))[0].name


@pytest.mark.parametrize("end", ["front", "rear"])
@pytest.mark.parametrize(("over", "verdict"), [(1.0, Verdict.FITS), (-1.0, Verdict.NO)])
def test_a_slip_joint_keeps_its_own_diameter_engaged(problem: Problem, end: str, over: float, verdict: Verdict) -> None:
    """One diameter of spline engaged at full droop (common practice, no source): a millimetre less is refused."""
    position = f"{end}_prop"
    prop = problem.stock[position]
    assert prop is not None
    left = problem.flow.value(f"{end}_slip_left", problem.stock).value
    stated, diameter = prop.properties["slip_out"].value, prop.properties["slip_diameter"].value
    assert isinstance(left, Range) and isinstance(stated, Range) and isinstance(diameter, Range)
    length = stated.lo - left.lo + diameter.lo + over * 1e-3
    value = Value(Range.exactly(length), "", Evidence.MEASURED)
    other = replace(prop, id="other", properties={**prop.properties, "slip_out": value})
    assert problem.named(f"{end}-slip").verdict({**problem.stock, position: other}) is verdict
