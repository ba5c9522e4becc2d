"""Ride, roll and modes against worked problems, closed forms and eigenvalues."""

from math import atan, cos, degrees, pi, sin

import numpy as np
import pytest
from scipy.linalg import eigh
from scipy.optimize import brentq
from scipy.spatial.transform import Rotation

from knowledge.formulas.axle_loads import (
    STANDARD_GRAVITY,
    body_lift,
    cg_height_lifted,
    cg_height_with_mass,
    front_axle_mass_with_load,
    rear_axle_mass_with_load,
    sprung_cg_height,
    sprung_corner_load,
    sprung_corner_mass,
    sprung_fraction,
)
from knowledge.formulas.bump_stops import (
    bump_stop_crush,
    bump_stop_crush_share,
    bump_stop_gap,
    metal_travel,
    travel_kept_share,
)
from knowledge.formulas.damping import critical_damping, damping_ratio
from knowledge.formulas.modes import bounce_pitch_frequency, bounce_pitch_node
from knowledge.formulas.ride import (
    hop_frequency,
    load_settle,
    ride_frequency,
    ride_frequency_ratio,
    ride_frequency_with_tyre,
    static_deflection,
    static_deflection_at_frequency,
)
from knowledge.formulas.roll import (
    axle_point_travel,
    roll_gradient,
    roll_stiffness,
    roll_wheel_rate,
    static_stability_factor,
)
from knowledge.formulas.stance import height_with_lift, rake_angle, rake_height

# Problem of a partly loaded car: 1600 kg, 19 kN/m each front and 17 kN/m each rear spring, centre of gravity 1.3 m
# behind the front and 1.6 m ahead of the rear wheels, radius of gyration 0.95 m.
CAR = {
    "sprung_mass": 1600.0,
    "front_rate": 2 * 19e3,
    "rear_rate": 2 * 17e3,
    "front_distance": 1.3,
    "rear_distance": 1.6,
    "gyration": 0.95,
}


def test_standard_gravity() -> None:
    # NIST SP 811, appendix B (from memory): 9.80665 m/s2 exactly.
    assert STANDARD_GRAVITY == 9.80665


@pytest.mark.parametrize(
    ("frequency", "millimetres"),
    # d = g / (2 pi f)^2, worked by hand with 9.80665.
    [(1.0, 248.41), (1.2, 172.50), (1.5, 110.40), (2.0, 62.10)],
)
def test_static_deflection(frequency: float, millimetres: float) -> None:
    assert static_deflection_at_frequency(frequency) * 1e3 == pytest.approx(millimetres, abs=0.01)
    # The same by way of a mass of 400 kg on the spring that gives that frequency.
    rate = 400 * (2 * pi * frequency) ** 2
    assert ride_frequency(rate, 400) == pytest.approx(frequency, rel=1e-12)
    assert static_deflection(rate, 400) * 1e3 == pytest.approx(millimetres, abs=0.01)


def test_frequency_by_hand() -> None:
    # sqrt(30 000 / 400) / (2 pi) = 1.3783 Hz.
    assert ride_frequency(30e3, 400) == pytest.approx(1.3783, abs=0.0001)


def test_passenger_climbing_in() -> None:
    # Worked problem: 65 kg compress the springs 31 mm (g = 9.8): 20 548 N/m; with 1065 kg 0.6991 Hz.
    rate = 20548.0
    assert load_settle(65 * 9.8, 0.0, rate) == pytest.approx(0.031, abs=2e-6)
    assert ride_frequency(rate, 1065) == pytest.approx(0.6991, abs=0.0002)


def test_critical_damping() -> None:
    # 2 sqrt(30 000 x 400) = 6928.2 N s/m.
    assert critical_damping(30e3, 400) == pytest.approx(6928.2, abs=0.1)
    # A body so damped has a double root: s^2 + (c/m) s + k/m has no discriminant (numpy's own roots).
    roots = np.roots([400, critical_damping(30e3, 400), 30e3])
    assert roots[0] == pytest.approx(roots[1], rel=1e-6)


def test_damping_ratio_is_the_angle_of_the_roots() -> None:
    # Mechanics of vibration: the ratio is minus the real part of the root over its size (numpy's own roots).
    root = np.roots([400, 1500.0, 30e3])[0]
    assert damping_ratio(1500.0, 30e3, 400) == pytest.approx(-root.real / abs(root), rel=1e-9)


def test_modes_of_the_partly_loaded_car() -> None:
    # Answers of the problem, computed as eigenvalues: 1.0655 and 1.6303 Hz.
    assert bounce_pitch_frequency("lower", **CAR) == pytest.approx(1.0655, abs=0.0001)
    assert bounce_pitch_frequency("upper", **CAR) == pytest.approx(1.6303, abs=0.0001)


def test_nodes_of_the_partly_loaded_car() -> None:
    # Same: nodes 17.31 and 0.0521 m from the centre of gravity, on opposite sides; product k^2 = 0.9025 m2.
    lower, upper = bounce_pitch_node("lower", **CAR), bounce_pitch_node("upper", **CAR)
    assert abs(lower) == pytest.approx(17.31, abs=0.005)
    assert abs(upper) == pytest.approx(0.0521, abs=0.00005)
    assert -lower * upper == pytest.approx(0.9025, abs=0.0001)


@pytest.mark.parametrize(
    "car",
    [
        CAR,
        {**CAR, "front_rate": 20e3, "rear_rate": 60e3},
        {**CAR, "front_distance": 1.7, "rear_distance": 1.0},
        {**CAR, "gyration": 1.9},
        {**CAR, "gyration": 1.9, "front_rate": 70e3},
    ],
)
def test_modes_against_eigenvalues(car: dict[str, float]) -> None:
    # scipy.linalg.eigh on mass and stiffness matrices in heave z (up) and pitch (tail up), with the mode shapes.
    m, kf, kr, a, b, k = car.values()
    stiffness = np.array([[kf + kr, kr * b - kf * a], [kr * b - kf * a, kf * a**2 + kr * b**2]])
    squared, shapes = eigh(stiffness, np.diag([m, m * k**2]))
    for index, mode in enumerate(("lower", "upper")):
        assert bounce_pitch_frequency(mode, **car) == pytest.approx(np.sqrt(squared[index]) / (2 * pi), rel=1e-9)
        heave, pitch = shapes[:, index]
        # The point x behind the centre of gravity stands still where z + x pitch = 0.
        assert bounce_pitch_node(mode, **car) == pytest.approx(-heave / pitch, rel=1e-6)


def test_two_mass_model_lies_near_the_simple_frequencies() -> None:
    # scipy.linalg.eigh on body, axle, spring and tyre: the simple forms leave one mass out and err by a few per cent.
    k, kt, m, mu = 21.4e3, 225e3, 310.0, 80.0
    squared = eigh(np.array([[k, -k], [-k, k + kt]]), np.diag([m, mu]), eigvals_only=True)
    low, high = np.sqrt(squared) / (2 * pi)
    assert ride_frequency_with_tyre(k, kt, m) == pytest.approx(low, rel=0.02)
    assert hop_frequency(k, kt, mu) == pytest.approx(high, rel=0.02)


def test_two_mass_model_is_the_simple_one_where_one_mass_does_not_count() -> None:
    # The same eigenvalues with an axle of a milligram, and with a body so heavy that it stands still.
    k, kt = 21.4e3, 225e3
    stiffness = np.array([[k, -k], [-k, k + kt]])
    low = np.sqrt(eigh(stiffness, np.diag([310.0, 1e-6]), eigvals_only=True)[0]) / (2 * pi)
    assert ride_frequency_with_tyre(k, kt, 310.0) == pytest.approx(low, rel=1e-6)
    high = np.sqrt(eigh(stiffness, np.diag([1e9, 80.0]), eigvals_only=True)[1]) / (2 * pi)
    assert hop_frequency(k, kt, 80.0) == pytest.approx(high, rel=1e-6)


def test_roll_gradient() -> None:
    # Automotive Chassis Engineering (2018), p. 174, eq. 3.18: 1280 kg, arm 0.365 m, 28 650 N m/rad, g = 9.81:
    # 0.0194 rad per m/s2, 10.9 deg per g.
    per_g = roll_gradient(1280, 0.365, 28650 / 2, 28650 / 2)
    assert degrees(per_g) == pytest.approx(10.9, abs=0.05)
    assert per_g / 9.81 == pytest.approx(0.0194, abs=0.00005)


def test_roll_stiffness_from_spring_forces() -> None:
    # Statics: leaning 0.01 rad, each of two 25 kN/m springs 1.02 m apart gives 0.0051 m x 25 kN/m at 0.51 m of arm.
    moment = 2 * 25e3 * 0.0051 * 0.51
    assert roll_stiffness(25e3, 1.02, 0.0) * 0.01 == pytest.approx(moment, rel=1e-12)
    # The wheels, 1.43 m apart, feel the same moment as two springs of the rate in roll.
    assert roll_wheel_rate(25e3, 1.02, 1.43) * 1.43**2 / 2 * 0.01 == pytest.approx(moment, rel=1e-12)


def test_axle_point_by_interpolation() -> None:
    # numpy: a straight line between the wheels.
    places = np.interp([0.2, 0.7, 1.2], [0.0, 1.4], [0.06, -0.08])
    assert axle_point_travel(0.06, -0.08, 1.0, 1.4) == pytest.approx(places[0], rel=1e-12)
    assert axle_point_travel(0.06, -0.08, 0.0, 1.4) == pytest.approx(places[1], rel=1e-12)
    assert axle_point_travel(-0.08, 0.06, 1.0, 1.4) == pytest.approx(places[2], rel=1e-12)


def test_centre_of_gravity_is_the_weighted_mean() -> None:
    # numpy.average with masses as weights.
    assert cg_height_with_mass(1420, 0.64, 75, 0.8) == pytest.approx(np.average([0.64, 0.8], weights=[1420, 75]))


def test_corner_load_is_a_weight() -> None:
    # 1 kgf = 9.80665 N (NIST SP 811): two corners of one kilogram each.
    assert sprung_corner_load(102.0, 100.0) == pytest.approx(9.80665, rel=1e-12)


def test_rake() -> None:
    # One in a hundred is 0.5729 deg.
    assert degrees(rake_angle(0.0256, 2.56)) == pytest.approx(0.5729, abs=0.0001)


@pytest.mark.parametrize(("added", "place"), [(45.0, -0.65), (80.0, 1.2), (120.0, 3.1), (-30.0, 2.6)])
def test_axle_loads_by_solving_for_both(added: float, place: float) -> None:
    """numpy.linalg.solve on forces up and moments about the front axle, the whole car's centre worked out first."""
    wheelbase, masses = 2.56, np.array([780.0, 640.0])
    centre = wheelbase * masses[1] / masses.sum()
    whole = masses.sum() + added
    moment = masses.sum() * centre + added * place
    front, rear = np.linalg.solve([[1.0, 1.0], [0.0, wheelbase]], [whole, moment])
    assert front_axle_mass_with_load(780.0, added, place, wheelbase) == pytest.approx(float(front), rel=1e-12)
    assert rear_axle_mass_with_load(640.0, added, place, wheelbase) == pytest.approx(float(rear), rel=1e-12)


def test_body_without_its_axles() -> None:
    """numpy.average puts the parts together again: body and axles by their masses give the whole car's height."""
    body = sprung_cg_height(1420.0, 0.64, 230.0, 0.35)
    assert np.average([body, 0.35], weights=[1190.0, 230.0]) == pytest.approx(0.64, rel=1e-12)
    assert sprung_fraction(1420.0, 230.0) == pytest.approx(1190 / 1420, rel=1e-12)
    # Scales under two corners of an axle of 780 kg of which 120 kg do not ride on the springs read 330 kg each.
    assert sum([sprung_corner_mass(780.0, 120.0)] * 2) + 120.0 == pytest.approx(780.0, rel=1e-12)


@pytest.mark.parametrize(("front", "rear"), [(0.05, 0.05), (0.075, 0.04), (0.0, 0.06)])
def test_heights_of_a_lifted_body_by_turning_it(front: float, rear: float) -> None:
    """A rigid body turned and raised until both its ends stand as lifted: good to the square of the rake."""
    wheelbase, pitch = 2.56, atan((rear - front) / 2.56)
    turn = Rotation.from_euler("y", -pitch)  # x rearward, z up: the rear goes up

    def stands(x: float, z: float) -> float:
        pivot = np.array([0.0, 0.0, 0.35])
        return float((turn.apply(np.array([x, 0.0, z]) - pivot) + pivot)[2] + front)

    for x, z in [(-0.7, 0.55), (1.1, 0.75), (3.2, 0.6)]:
        found = height_with_lift(z, front, rear, x, wheelbase, 0.015)
        assert found == pytest.approx(stands(x, z) + 0.015, abs=wheelbase * pitch**2 + 1e-12)
    # The body's centre, by its share of mass over the front springs; and the whole car's, whose axles stay.
    share = 1 - 1.1 / wheelbase
    rise = body_lift(front, rear, share)
    assert rise == pytest.approx(stands(1.1, 0.7) - 0.7, abs=wheelbase * pitch**2 + 1e-12)
    whole = np.average([0.7 + rise + 0.015, 0.35 + 0.015], weights=[1190.0, 230.0])
    before = float(np.average([0.7, 0.35], weights=[1190.0, 230.0]))
    assert cg_height_lifted(before, 1190 / 1420, rise, 0.015) == pytest.approx(float(whole), rel=1e-12)
    assert rake_height(front, rear) == pytest.approx(wheelbase * np.tan(pitch), rel=1e-12, abs=1e-15)


def test_tipping_on_a_table() -> None:
    """A rigid car on a table tilted until its weight passes over the lower wheels: the tangent is that share of g.

    NHTSA's rollover notices (read): the factor is half the track over the height of the centre of gravity.
    """
    track, height = 1.46, 0.68

    def lower_side(tilt: float) -> float:  # moment about the lower wheels that holds the car down
        return track / 2 * cos(tilt) - height * sin(tilt)

    tips = brentq(lower_side, 0.0, 1.5, xtol=1e-15)
    assert static_stability_factor(track, height) == pytest.approx(np.tan(tips), rel=1e-9)


def test_frequencies_in_step() -> None:
    """After how many swings of the front the rear is one ahead: 1.2 is 6 against 5 in the same time."""
    front = 1 / 5
    rear = 1 / 6
    assert ride_frequency_ratio(1 / rear, 1 / front) == pytest.approx(6 / 5, rel=1e-12)


@pytest.mark.parametrize(("lift", "longer"), [(0.0, 0.0), (0.05, 0.0), (0.05, 0.03), (-0.02, 0.01)])
def test_stops_as_heights(lift: float, longer: float) -> None:
    """The stop hangs from the body and goes up with it; the axle's pad stays where it was."""
    pad = 0.40
    stop, crushed = 0.40 + 0.055 + lift - longer, 0.40 + 0.085 + lift - longer
    assert bump_stop_gap(0.055, lift, longer) == pytest.approx(stop - pad, abs=1e-12)
    assert metal_travel(0.085, lift, longer) == pytest.approx(crushed - pad, abs=1e-12)
    # Settling by 70 mm under a load: what the pad goes past the stop's end, of a stop 60 mm high.
    past = max(0.0, pad + 0.07 - stop)
    assert bump_stop_crush(0.07, stop - pad) == pytest.approx(past, abs=1e-12)
    assert bump_stop_crush_share(0.07, stop - pad, 0.06) * 60 == pytest.approx(past * 1000, abs=1e-9)


def test_two_thirds_of_the_travel() -> None:
    # VSB 14, section LS (memory): two thirds of the travel, up and down, has to be left; 60 of 90 mm just does.
    assert travel_kept_share(0.060, 0.090) == pytest.approx(2 / 3, rel=1e-12)
