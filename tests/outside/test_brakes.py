"""Braking performance and balance against regulations, state tables and published sheets.

Ids are those of the project's list of check values; *memory* = the publication was not read.
"""

from __future__ import annotations

import pytest
from scipy.constants import foot, g, mph
from scipy.optimize import brentq

from knowledge.formulas.axle_loads import STANDARD_GRAVITY
from knowledge.formulas.brake_balance import rear_lock_deceleration
from knowledge.formulas.brake_loads import front_axle_load, ideal_front_share, load_transfer, rear_axle_load
from knowledge.formulas.brakes import disc_brake_factor, disc_torque_per_pressure
from knowledge.formulas.stopping import (
    braking_rate,
    deceleration_of_rate,
    deceleration_to_stop_in,
    mean_fully_developed_deceleration,
    regulation_deceleration,
    regulation_stopping_distance,
    stopping_distance,
)

KMH = 1 / 3.6

# H-10 to H-14: wheelbase 2.57 m, front axle to centre of gravity 1.25 m, height 0.65 m
FRONT_SHARE, HEIGHT, WHEELBASE = 1.32 / 2.57, 0.65, 2.57


def test_gravity() -> None:
    assert STANDARD_GRAVITY == g == 9.80665  # U-03: NIST SP 811 (memory); scipy.constants


def test_printed_deceleration_as_a_share() -> None:
    # B-04: 49 CFR 393.52(d), 17 ft/s2 stands beside 52.8 % (its g is 32.2 ft/s2)
    assert braking_rate(17 * foot) * 100 == pytest.approx(52.8, abs=0.05)


def test_stop_in_25_feet() -> None:
    # B-05: v2/(2 s) with 29.3333 ft/s; B-02 is the 25 ft of 49 CFR 393.52(d)
    assert deceleration_to_stop_in(20 * mph, 25 * foot) / foot == pytest.approx(17.209, abs=0.005)


def test_stop_in_30_feet() -> None:
    # B-06: N.J. Stat. 39:3-68 states 30 ft from 20 mi/h as about 14 ft/s2
    assert deceleration_to_stop_in(20 * mph, 30 * foot) / foot == pytest.approx(14.341, abs=0.005)


@pytest.mark.parametrize(("speed", "feet"), [(10, 9.3), (15, 20.8), (20, 37.0), (25, 58.0), (30, 83.3)])
def test_stops_grow_with_the_square_of_speed(speed: float, feet: float) -> None:
    # B-07: American Samoa Code 22.1109(a), d = 0.09255 V2 in ft and mi/h
    deceleration = deceleration_to_stop_in(1 * mph, 0.09255 * foot)
    assert stopping_distance(speed * mph, deceleration) / foot == pytest.approx(feet, rel=0.005)


@pytest.mark.parametrize(
    ("speed", "deceleration", "metres"),
    [(30, 7.0, 64.29), (25, 7.0, 44.64), (30, 2.5, 180.0), (25, 2.5, 125.0)],
)
def test_a_textbook_exercise(speed: float, deceleration: float, metres: float) -> None:
    """A physics reader's exercise with its answers (read): dry concrete about 7 m/s2, wet asphalt about 2.5 m/s2."""
    assert stopping_distance(speed, deceleration) == pytest.approx(metres, abs=0.005)


@pytest.mark.parametrize("mph_", [20, 40, 60])
@pytest.mark.parametrize("friction", [0.3, 0.5, 0.8])
def test_the_handbooks_distance_from_friction(mph_: int, friction: float) -> None:
    """Road builders' handbooks: d = V2 / (30 f) in ft and mi/h (read in a town's code); 30 stands for 29.94 there."""
    distance = stopping_distance(mph_ * mph, deceleration_of_rate(friction))
    assert distance / foot == pytest.approx(mph_ * mph_ / (30 * friction), rel=0.003)


@pytest.mark.parametrize("mph_", [30, 60, 70])
def test_the_road_builders_braking_distance(mph_: int) -> None:
    """d = 1.075 V2 / a in ft, mi/h and ft/s2, with 11.2 ft/s2 (read in a road design manual, 4.11.1)."""
    assert stopping_distance(mph_ * mph, 11.2 * foot) / foot == pytest.approx(1.075 * mph_ * mph_ / 11.2, rel=0.001)


def test_service_brake_of_a_car_from_100_km_h() -> None:
    # B-10: 49 CFR 571.135 S7.5, 70 m, as an agency interpretation quotes it; B-11: S = 0.10 V + 0.0060 V2
    assert regulation_stopping_distance(100 * KMH, "m1_service") == pytest.approx(70.0, abs=1e-9)


def test_partial_failure_from_100_km_h() -> None:
    # B-14: 49 CFR 571.135 S7.10.4, 168 m (memory)
    assert regulation_stopping_distance(100 * KMH, "m1_partial_failure") == pytest.approx(168.0, abs=1e-9)
    # R45 asks for 2.44 m/s2 where the stop itself is 0.0158 V2 (UN R13-H, memory)
    assert regulation_deceleration("m1_partial_failure") == pytest.approx(2.44, abs=0.005)


def test_mean_fully_developed_deceleration() -> None:
    # B-15: UN R13 annex 4 1.1.2, d_m = (v_b2 - v_e2)/(25.92 s)
    assert mean_fully_developed_deceleration(80 * KMH, 10 * KMH, 40.50926) == pytest.approx(6.000, abs=0.001)


@pytest.mark.parametrize(
    ("rule", "expected"),
    [
        ("m1_service", 6.43),  # B-16: UN R13-H, 0.0060 V2 (memory)
        ("n_service", 5.02),  # B-17: UN R13, V2/130 (memory)
        ("m1_secondary", 2.89),  # B-18: UN R13 annex 4 2.2.1, 2 V2/150
        ("m2_m3_secondary", 2.51),  # B-19: UN R13 annex 4 2.2.1, 2 V2/130
        ("n_secondary", 2.22),  # B-20: UN R13 annex 4 2.2.1, 2 V2/115
    ],
)
def test_decelerations_behind_the_distances(rule: str, expected: float) -> None:
    assert regulation_deceleration(rule) == pytest.approx(expected, abs=0.01)


@pytest.mark.parametrize(
    ("rule", "kmh", "metres"),
    [
        ("n_service", 80, 61.23),  # B-21: UN R13 annex 4 2.1.1 (memory)
        ("m1_secondary", 80, 93.33),  # B-22: UN R13 annex 4 2.2.1
        ("n_secondary", 70, 95.72),  # B-23: UN R13 annex 4 2.2.1 and 2.2.4
    ],
)
def test_distances(rule: str, kmh: float, metres: float) -> None:
    assert regulation_stopping_distance(kmh * KMH, rule) == pytest.approx(metres, abs=0.01)


def test_inspection_efficiency() -> None:
    # B-25, B-28: UK inspection manual 1.2.1, 58 %
    assert deceleration_of_rate(0.58) == pytest.approx(5.688, abs=0.001)


def test_student_design_sheet() -> None:
    # H-01: 62.62753 N m at 82.5 mm, mu 0.40, opposed pair of 20 mm pistons; T = 2 mu p A r
    assert 62.62753 / disc_torque_per_pressure(0.020, 1, 0.40, 0.0825) == pytest.approx(3.0204e6, rel=0.001)
    # H-02: load transfer of 120 kg at 7.157303 m/s2, h/L = 0.1797753
    assert load_transfer(120, 7.157303, 0.1797753, 1.0) == pytest.approx(154.405, abs=0.001)
    # H-04: 75 km/h at the same deceleration
    assert stopping_distance(75 * KMH, 7.157303) == pytest.approx(30.320, abs=0.001)


def test_disc_brake_factor() -> None:
    assert disc_brake_factor(0.38) == pytest.approx(0.76, rel=1e-12)  # H-07: 2 mu


@pytest.mark.parametrize(("z", "share"), [(0.0, 0.51362), (0.3, 0.58949), (0.5, 0.64008), (0.8, 0.71595)])
def test_ideal_front_share(z: float, share: float) -> None:
    # H-10 to H-13: (l_r + z h)/L; braking texts (Limpert; Gillespie)
    assert ideal_front_share(FRONT_SHARE, z, HEIGHT, WHEELBASE) == pytest.approx(share, abs=5e-5)


def fixed_share(share: float) -> dict[str, float]:
    return {
        "mass": 1500.0,
        "front_share": FRONT_SHARE,
        "cg_height": HEIGHT,
        "wheelbase": WHEELBASE,
        "loaded_radius": 0.35,
        "front_torque": 4e-4 * share,
        "rear_torque": 4e-4 * (1 - share),
        "rear_threshold": 0.0,
        "split": 30e6,
        "slope": 1.0,
    }


def test_fixed_share_locks_the_rear_from() -> None:
    # H-14: z = (phi L - l_r)/h with a fixed front share of 0.70
    lock = rear_lock_deceleration(**fixed_share(0.70))
    assert lock / STANDARD_GRAVITY == pytest.approx(0.73692, abs=5e-5)
    # and by root finding on the ideal share
    z = brentq(lambda rate: ideal_front_share(FRONT_SHARE, rate, HEIGHT, WHEELBASE) - 0.70, 0.0, 1.0)
    assert lock / STANDARD_GRAVITY == pytest.approx(z)


def test_torque_at_one_front_wheel() -> None:
    # H-15: 1600 kg at 58 %, 70 % in front, 0.355 m: z m g phi r/2
    force = 1600 * deceleration_of_rate(0.58) * 0.70
    assert force * 0.355 / 2 == pytest.approx(1130.7, abs=0.1)


@pytest.mark.parametrize("z", [0.0, 0.3, 0.8])
def test_both_axles_carry_the_car(z: float) -> None:
    # H-16: 1600 kg, equilibrium
    car = (1600.0, FRONT_SHARE, z * STANDARD_GRAVITY, HEIGHT, WHEELBASE)
    assert front_axle_load(*car) + rear_axle_load(*car) == pytest.approx(15690.64, rel=1e-12)
