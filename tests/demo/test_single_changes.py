"""One property of the demo's car changed: what physics says moves does, by the right amount; the rest stands still.

Amounts are worked out here in closed form from the car's own data, never taken from the program.
"""

from __future__ import annotations

from dataclasses import replace
from math import asin, cos, degrees, hypot, radians, sin

import pytest

from knowledge.garage import read_goal
from shared.evidence import Evidence, Value
from shared.goal import Goal
from shared.part import Part
from shared.ranges import Range
from solver.demo import demo_goal
from solver.problem import Problem, build_problem

G = 9.80665  # m/s2, standard gravity (ISO 80000-3)
COIL_RATE = 78.5e9 * 0.014**4 / (8 * 0.125**3 * 9.0)  # EN 13906-1: G d^4 / (8 D^3 n)
CORNER_FRONT = (781 - 160) / 2  # kg, sprung
LEAF_RATE = 25.06e3  # N/m, by hand on the reference car
Build = dict[str, Part | None]


@pytest.fixture(scope="module")
def problem() -> Problem:
    return build_problem(Goal("nothing asked"), read_goal(demo_goal("trail"))[1])


def changed(problem: Problem, position: str, path: str, value: float | str | Range) -> Build:
    """The stock car with one attribute of one part changed."""
    part = problem.stock[position]
    assert part is not None
    known = Range.exactly(value) if isinstance(value, float) else value
    new = Value(known, str(value), Evidence.MEASURED)
    port, dot, name = path.partition(".")
    if dot:
        ports = {**part.ports, port: {**(part.ports[port] or {}), name: new}}
        return {**problem.stock, position: replace(part, id="other", ports=ports)}
    return {**problem.stock, position: replace(part, id="other", properties={**part.properties, path: new})}


def value(problem: Problem, name: str, build: Build | None = None) -> float:
    found = problem.flow.sharpened(name, build or problem.stock).value
    assert isinstance(found, Range) and found.exact, name
    return found.lo


def moved(problem: Problem, build: Build) -> set[str]:
    """The quantities that are not what they were."""
    names = problem.garage.layout.quantities
    return {n for n in names if value(problem, n, build) != pytest.approx(value(problem, n), rel=1e-12, abs=1e-15)}


# Every figure of a stop with 300 N, however the car is loaded.
STOPS = {
    "firm_deceleration_driver",
    "firm_deceleration_laden",
    "held_deceleration_driver",
    "held_deceleration_laden",
    "stopping_distance_driver",
    "stopping_distance_laden",
}

# Changes whose whole effect can be listed from the physics: nothing else may move.
WHOLE: dict[tuple[str, str, float], set[str]] = {
    # pistons of the rear alone: whatever has the rear's share in it, and nothing of a stop with the rear lost; with
    # driver 300 N give more than the tyres hold before and after, so that stop stays
    ("rear_cylinder", "bore", 0.019): {
        "firm_rear_torque",
        "firm_deceleration_driver",
        "firm_deceleration_laden",
        "held_deceleration_laden",
        "stopping_distance_laden",
        "rear_brake_torque",
        "rear_piston",
        "pressure_laden",
        "brake_volume",
        "master_stroke",
        "pedal_travel_share",
        "reservoir_needed",
        "pedal_force_driver",
        "pedal_force_laden",
        "service_deceleration",
        "dead_booster_deceleration",
        "front_lost_deceleration",
        "front_first_driver",
        "front_first_laden",
        "adhesion_margin",
    },
    # pistons of the front alone: nothing of a stop with the front lost
    ("front_caliper", "piston_diameter", 0.054): {
        "firm_front_torque",
        *STOPS,
        "front_brake_torque",
        "pressure_laden",
        "brake_volume",
        "master_stroke",
        "pedal_travel_share",
        "reservoir_needed",
        "pedal_force_driver",
        "pedal_force_laden",
        "service_deceleration",
        "dead_booster_deceleration",
        "rear_lost_deceleration",
        "front_first_driver",
        "front_first_laden",
        "adhesion_margin",
    },
    # the master turns force into pressure and volume into stroke: the balance between the axles does not know it
    ("master_cylinder", "bore", 0.0254): {
        "firm_pressure",
        "firm_rear_pressure",
        "firm_front_torque",
        "firm_rear_torque",
        *STOPS,
        "knee_pressure",
        "master_stroke",
        "pedal_travel_share",
        "pedal_force_driver",
        "pedal_force_laden",
        "service_deceleration",
        "dead_booster_deceleration",
        "front_lost_deceleration",
        "rear_lost_deceleration",
    },
    # wheels 10 mm further in: track, room, scrub, tipping
    ("wheel", "offset", 0.030): {
        "offset_track",
        "rear_track",
        "track_growth",
        "tyre_from_kingpin",
        "lock_swing",
        "arch_room_lock",
        "leaf_room",
        "scrub_radius",
        "stability_factor",
        "stability_kept",
    },
    ("speedometer_gear", "teeth", 33.0): {"speedometer_ratio", "speedometer_excess"},
    # shorter gears behind: grip, not the engine, still limits the shafts in low range
    ("rear_gears", "pinion_teeth", 10.0): {
        "top_gear_speed",
        "axle_ratio_rear",
        "axle_mismatch",
        "engine_torque_rear",
        "crawl_ratio",
        "cruise_revs",
        "revs_change",
        "rear_shaft_speed",
        "rear_inertia",
        "speedometer_ratio",
        "speedometer_excess",
    },
    ("front_knuckle", "arm_length", 0.160): {"bump_steer", "sweep_needed", "sweep_margin"},
    ("pitman_arm", "drop", 0.060): {"arm_drop_change", "drag_angle", "link_mismatch", "bump_steer"},
    ("front_bump_stop", "metal_height", 0.045): {
        "stop_change_front",
        "metal_travel_front",
        "bump_kept_front",
        "arch_room_bump",
        "coil_length_metal",
        "coil_bind_margin",
        "damper_margin_front",
        "front_slip_bump",
    },
    ("front_hose", "free_length", 0.450): {"front_hose_spare"},
    ("rear_u_bolts", "leg", 0.170): {"u_bolt_thread_left"},
    ("front_rotor", "disc.plane", 0.050): set(),  # a matter of the mate alone
    ("tyre", "tread", 0.008): set(),
}


@pytest.mark.parametrize("change", WHOLE, ids=lambda c: f"{c[0]}.{c[1]}")
def test_exactly_what_physics_says_moves(problem: Problem, change: tuple[str, str, float]) -> None:
    assert moved(problem, changed(problem, *change)) == WHOLE[change]


# One change, one quantity, and what it must become: closed form from the car's data.
COIL = ("front_coil", "wire", 0.0145)
BAR = ("front_bar", "mass", 70.0)
BAR_FRONT = (70 - 12) * (1 + 0.620 / 2.560)  # kg on the front axle, statics about the rear one
BAR_REAR = -(70 - 12) * 0.620 / 2.560
AMOUNTS: list[tuple[tuple[str, str, float], str, float, float]] = [
    (COIL, "coil_rate_front", COIL_RATE * (14.5 / 14) ** 4, 1e-9),
    (COIL, "ride_frequency_front", (COIL_RATE * (14.5 / 14) ** 4 / CORNER_FRONT) ** 0.5 / 6.283185307, 1e-8),
    (COIL, "lift_front", CORNER_FRONT * G / COIL_RATE * (1 - (14 / 14.5) ** 4), 1e-9),
    (COIL, "lift_rear", 0.0, 1e-12),
    (COIL, "static_deflection_front", CORNER_FRONT * G / COIL_RATE * (14 / 14.5) ** 4, 1e-9),
    (BAR, "front_load_kerb", 781 + BAR_FRONT, 1e-9),
    (BAR, "rear_load_kerb", 639 + BAR_REAR, 1e-9),
    (BAR, "lift_front", -BAR_FRONT / 2 * G / COIL_RATE, 1e-9),
    (BAR, "lift_rear", -BAR_REAR / 2 * G / LEAF_RATE, 1e-3),
    (BAR, "mass_driver", 1420 + 75 + 58, 1e-9),
    (("rear_axle", "mass", 92.0), "rear_load_kerb", 639 + 20, 1e-9),
    (("rear_axle", "mass", 92.0), "lift_rear", 0.0, 1e-12),
    (("rear_axle", "mass", 92.0), "front_load_kerb", 781.0, 1e-9),
    (("rear_cylinder", "bore", 0.019), "rear_brake_torque", 9.7 * (19.0 / 20.6) ** 2 * 1e-5, 5e-3),
    (("front_caliper", "piston_diameter", 0.054), "front_brake_torque", 25.1 * (54 / 60) ** 2 * 1e-5, 2e-3),
    (("wheel", "offset", 0.030), "offset_track", 1.430 - 0.020, 1e-9),
    (("wheel", "offset", 0.030), "track_growth", -0.020, 1e-9),
    (("speedometer_gear", "teeth", 33.0), "speedometer_ratio", 1.02 * 34 / 33, 1e-9),
    (("rear_gears", "pinion_teeth", 10.0), "axle_ratio_rear", 4.1, 1e-9),
    (("rear_gears", "pinion_teeth", 10.0), "axle_mismatch", 4.1 / (41 / 11) - 1, 0.11),  # against one or the other
    # 27.78^2 / (2 a) with the brakes' a at 300 N, less than the tyres hold: the figures of the stock car, by hand:
    # push rod 300 x 4 x 0.92 - 40 = 1064 N, past the knee + 2385 = 3449 N, over 4.449 cm2 = 77.5 bar
    (("tyre", "tread", 0.006), "firm_pressure", 3449 / 4.449e-4, 2e-3),
    (("tyre", "tread", 0.006), "firm_front_torque", 77.5 * 25.13, 2e-3),
    (("tyre", "tread", 0.006), "firm_rear_torque", (30 + 0.4 * 47.5 - 2.5) * 9.74, 2e-3),
    (("rear_gears", "pinion_teeth", 10.0), "crawl_ratio", 3.85 * 2.48 * 4.1, 1e-9),
    (("front_bump_stop", "metal_height", 0.045), "metal_travel_front", 0.080 - 0.020, 1e-9),
    (("pitman_arm", "drop", 0.060), "drag_angle", asin(sin(radians(4.0)) - 0.025 / 0.890), 1e-9),
    (("injectors", "flow", 209e-6 / 60), "injector_flow_change", 19 / 190, 1e-9),
    (("rear_shackle", "eye_distance", 0.125), "lift_rear", 0.012, 0.03),
    (("rear_shackle", "eye_distance", 0.150), "lift_rear", 0.024, 0.03),
    (("rear_shackle", "eye_distance", 0.170), "lift_rear", 0.034, 0.03),
    (("rear_shackle", "eye_distance", 0.150), "lift_front", 0.0, 1e-12),
    (("rear_shackle", "eye_distance", 0.150), "rear_pinion", radians(2.0 + 2.4), 0.02),
    (("master_cylinder", "bore", 0.0222), "pedal_force_laden", 162.0, 0.02),
    (("master_cylinder", "bore", 0.0254), "pedal_force_laden", 256.0, 0.02),
    (("master_cylinder", "bore", 0.0286), "pedal_force_laden", 495.0, 0.02),
    (("rear_cylinder", "bore", 0.0222), "front_first_driver", 0.098, 0.03),
    (("rear_cylinder", "bore", 0.0238), "front_first_driver", -0.020, 0.15),
    (("front_caliper", "friction", 0.34), "pedal_force_laden", 225.0, 0.10),
    (("front_caliper", "friction", 0.42), "pedal_force_laden", 171.0, 0.03),
]


@pytest.mark.parametrize(("change", "name", "expected", "tolerance"), AMOUNTS)
def test_by_the_right_amount(
    problem: Problem, change: tuple[str, str, float], name: str, expected: float, tolerance: float
) -> None:
    found = value(problem, name, changed(problem, *change))
    assert found == pytest.approx(expected, rel=tolerance, abs=1e-12 if expected == 0.0 else 0.0)


def test_a_block_raises_only_the_rear(problem: Problem) -> None:
    build = {**problem.stock, "rear_block": problem.garage.parts["block-40"]}
    assert value(problem, "lift_rear", build) == pytest.approx(0.040)
    assert value(problem, "u_bolt_thread_left", build) == pytest.approx(value(problem, "u_bolt_thread_left") - 0.040)
    untouched = {n for n in problem.garage.layout.quantities if "front" in n} - {
        "front_first_driver",
        "front_first_laden",
    }
    assert not moved(problem, build) & untouched
    # The springs themselves are as they were: their rates, frequencies and loads.
    assert not moved(problem, build) & {"leaf_rate_rear", "ride_frequency_rear", "ride_ratio", "corner_load_rear"}


def test_a_larger_tyre_slows_the_engine_by_the_ratio_of_the_radii(problem: Problem) -> None:
    """215/75R15 is 381 + 322.5 = 703.5 mm, 225/75R15 381 + 337.5 = 718.5 mm; revs and speed shown go with it."""
    build = changed(problem, "tyre", "size", "225/75R15")
    assert value(problem, "cruise_revs", build) == pytest.approx(
        value(problem, "cruise_revs") * 703.5 / 718.5, rel=1e-9
    )
    assert value(problem, "revs_change", build) == pytest.approx(703.5 / 718.5 - 1, rel=1e-9)
    assert value(problem, "speedometer_ratio", build) == pytest.approx(1.02 * 703.5 / 718.5, rel=1e-9)
    assert value(problem, "arch_room_bump", build) == pytest.approx(value(problem, "arch_room_bump") - 0.0075, rel=1e-9)
    assert value(problem, "grip_torque_rear", build) / value(problem, "grip_torque_rear") == pytest.approx(
        value(problem, "loaded_radius", build) / value(problem, "loaded_radius")
    )
    assert value(problem, "bumper_height_new", build) - 0.470 == pytest.approx(value(problem, "tyre_rise", build))
    still = {"lift_front", "lift_rear", "ride_frequency_front", "crawl_ratio", "caster", "front_hose_spare"}
    assert not moved(problem, build) & still


def test_full_droop_is_where_the_damper_ends(problem: Problem) -> None:
    """A longer shackle lifts the car and leaves the axle at full droop where it was: hoses and slip see no change."""
    build = changed(problem, "rear_shackle", "eye_distance", 0.125)
    lifted = value(problem, "lift_rear", build)
    assert value(problem, "droop_rear", build) == pytest.approx(value(problem, "droop_rear") - lifted)
    assert not moved(problem, build) & {"rear_hose_needed", "rear_hose_spare", "rear_slip_left"}


# The car's stated figures at another height or with other dampers (law of cosines on 430 and 492 mm, 8 and 20 deg).
DROOP = [(0.075, 0.545, 0.041), (0.057, 0.545, 0.059), (0.037, 0.566, 0.100), (0.075, 0.603, 0.100)]


@pytest.mark.parametrize(("lift", "extended", "left"), DROOP)
def test_front_droop_by_the_damper(problem: Problem, lift: float, extended: float, left: float) -> None:
    build = changed(problem, "front_damper", "extended", extended)
    coil = replace(problem.stock["coil_spacer"] or problem.garage.parts["spacer-20"], id="other")
    coil = replace(coil, properties={**coil.properties, "height": Value(Range.exactly(lift), "", Evidence.MEASURED)})
    found = value(problem, "droop_front", {**build, "coil_spacer": coil})
    assert found == pytest.approx(left, abs=1.2e-3)


def test_hoses_and_coil_at_their_stated_droop(problem: Problem) -> None:
    """The car's hose paths and coil preload are stated for 100 mm of droop in front and 105 behind: 362, 280, 42 mm.

    Dampers that end there are, by the law of cosines, as long as below.
    """
    ends = [
        hypot(length * cos(radians(lean)) + droop, length * sin(radians(lean)))
        for length, lean, droop in ((0.430, 8.0, 0.100), (0.492, 20.0, 0.105))
    ]
    front = changed(problem, "front_damper", "extended", ends[0])
    rear = changed(problem, "rear_damper", "extended", ends[1])
    assert value(problem, "droop_front", front) == pytest.approx(0.100, abs=1e-6)
    assert value(problem, "droop_rear", rear) == pytest.approx(0.105, abs=1e-6)
    assert value(problem, "front_hose_needed", front) == pytest.approx(0.362, abs=1e-3)
    assert value(problem, "rear_hose_needed", rear) == pytest.approx(0.280, abs=1e-3)
    assert value(problem, "coil_preload_droop", front) == pytest.approx(0.042, abs=1e-3)


UNCERTAIN = [
    ("front_coil", "wire", Range(0.0138, 0.0142)),
    ("front_coil", "mean_diameter", Range(0.124, 0.126)),
    ("rear_leaf", "thickness", Range(0.0064, 0.0066)),
    ("front_lower_links", "length", Range(0.398, 0.406)),
    ("rear_prop", "length", Range(0.776, 0.784)),
    ("front_caliper", "friction", Range(0.34, 0.42)),
]


@pytest.mark.parametrize(("position", "path", "span"), UNCERTAIN, ids=lambda x: str(x)[:20])
def test_ranges_hold_every_value_and_are_reached(problem: Problem, position: str, path: str, span: Range) -> None:
    vague = changed(problem, position, path, span)
    steps = [span.lo + span.width * i / 10 for i in range(11)]
    builds = [changed(problem, position, path, x) for x in steps]
    held = 0
    for name in problem.garage.layout.quantities:
        found = problem.flow.sharpened(name, vague).value
        assert isinstance(found, Range), name
        if found.width < 1e-9:
            continue
        held += 1
        samples = [value(problem, name, build) for build in builds]
        slack = max(1e-4 * found.width, 1e-12)
        assert found.lo <= min(samples) + slack and max(samples) - slack <= found.hi, name
        # no wider than what is reached; what turns between two samples may reach half a step further
        assert min(samples) - found.lo <= 0.06 * found.width and found.hi - max(samples) <= 0.06 * found.width, name
    assert held >= 5


def test_readings_in_other_units_are_the_same_car(problem: Problem) -> None:
    """0.5709 in of wire is 14.5 mm to 1e-3: the lift in both is that of one coil (1 in = 25.4 mm exactly)."""
    metric = changed(problem, "front_coil", "wire", 0.01450086)
    inches = changed(problem, "front_coil", "wire", 0.5709 * 0.0254)
    assert value(problem, "lift_front", metric) == pytest.approx(value(problem, "lift_front", inches), rel=1e-9)
    assert degrees(value(problem, "caster", metric)) == pytest.approx(degrees(value(problem, "caster", inches)))


def test_what_is_claimed_of_a_lift_is_claimed_of_the_car_as_it_stands(problem: Problem) -> None:
    """A heavier bar settles springs that nobody measured too; unless they say theirs, by the rate of the stock ones."""
    parts = {p.id: p for p in problem.domains["front_coil"] + problem.domains["rear_leaf"] if p is not None}
    build = {**changed(problem, *BAR), "front_coil": parts["coil-hearsay"], "rear_leaf": parts["leaf-hearsay"]}
    alone = {**problem.stock, "front_coil": parts["coil-hearsay"], "rear_leaf": parts["leaf-hearsay"]}
    for lift, claimed, more, rate in (
        ("lift_front", 0.040, BAR_FRONT / 2, COIL_RATE),
        ("lift_rear", 0.0508, BAR_REAR / 2, LEAF_RATE),
    ):
        assert value(problem, lift, alone) == pytest.approx(claimed, abs=1e-9)
        assert value(problem, lift, build) == pytest.approx(claimed - more * G / rate, rel=1e-3)
    coil = parts["coil-hearsay"]
    stated = Value(Range.exactly(12e3), "12 N/mm", Evidence.MARKED)
    soft = replace(coil, id="other", properties={**coil.properties, "rate": stated})
    assert value(problem, "lift_front", {**build, "front_coil": soft}) == pytest.approx(
        0.040 - BAR_FRONT / 2 * G / 12e3, rel=1e-9
    )
