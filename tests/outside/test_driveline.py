"""Propeller shafts and cross joints against a handbook, published tables and the mechanism itself."""

from __future__ import annotations

from math import cos, degrees, hypot, pi, radians, sin, sqrt, tau

import numpy as np
import pytest
import sympy
from scipy.optimize import brentq
from scipy.spatial.transform import Rotation

from knowledge.formulas.driveline import plan_angle, shaft_drop_lifted, shaft_slope, shaft_slope_level, transfer_tilt
from knowledge.formulas.joint_angles import (
    bind_margin,
    joint_angle_output,
    joint_angle_pinion,
    pinion_inclination_turned,
    working_angle,
)
from knowledge.formulas.joint_motion import (
    angle_for_unevenness,
    double_joint_half_angle,
    joint_speed_ratio,
    ripple_share,
    turn_error,
    two_joint_speed_ratio,
    unevenness,
)
from knowledge.formulas.joint_shake import (
    allowed_joint_angle,
    inertia_acceleration,
    joint_angle_limit,
    residual_compound_angle,
    residual_joint_angle,
    torsional_acceleration,
)
from knowledge.formulas.propshaft import (
    propshaft_length,
    propshaft_length_change,
    propshaft_run,
    propshaft_shortening,
    slip_engaged_at_droop,
    slip_left_at_bump,
)
from knowledge.formulas.propshaft_speeds import critical_speed, propshaft_speed

RPM = tau / 60
HANDBOOK = "Mechanical Engineer's Data Handbook, 2.4.3, p. 72"


def close(value: float, expected: float, tolerance: float) -> bool:
    return abs(value - expected) <= tolerance


class TestHandbook:
    """Single joint, Mechanical Engineer's Data Handbook, 2.4.3, p. 72."""

    def test_greatest_ratio_at_10_deg(self) -> None:
        assert close(joint_speed_ratio(radians(10), 0), 1.015427, 1e-6)  # 1/cos a

    def test_least_ratio_at_10_deg(self) -> None:
        assert close(joint_speed_ratio(radians(10), pi / 2), 0.984808, 1e-6)  # cos a

    def test_ratio_at_20_deg_an_eighth_of_a_turn_on(self) -> None:
        assert close(joint_speed_ratio(radians(20), radians(45)), 0.998069, 1e-6)  # cos a/(1 - sin2 a cos2 t)

    def test_unevenness_at_10_deg(self) -> None:
        assert close(unevenness(radians(10)), 0.030619, 1e-6)  # tan a sin a

    def test_angle_for_a_published_unevenness_limit(self) -> None:
        # A shaft maker's handbook allows 0.0027 where the driveline is not fully compensated.
        assert close(degrees(angle_for_unevenness(0.0027)), 2.9765, 0.0005)
        # The same angle by a root finder on the definition, 1/cos a - cos a.
        root = brentq(lambda a: 1 / cos(a) - cos(a) - 0.0027, 1e-6, 0.5, xtol=1e-14)
        assert angle_for_unevenness(0.0027) == pytest.approx(root, rel=1e-9)

    def test_greatest_error_of_angle_at_10_deg(self) -> None:
        assert close(degrees(turn_error(radians(10))), 0.43856, 0.00005)  # tan e = (1 - cos a)/(2 sqrt(cos a))


@pytest.mark.parametrize(
    ("rpm", "first", "second"),
    # A driveline design guide's table of allowed angles, printed to 0.1 deg, on the 400 rad/s2 of SAE AE-7, 3.1.1.
    [(1500, 0, 7.3), (1500, 4, 8.3), (1500, 9, 11.6), (1600, 5, 8.5), (1700, 6, 8.8)],
)
def test_table_of_allowed_angles(rpm: float, first: float, second: float) -> None:
    assert close(degrees(allowed_joint_angle(radians(first), rpm * RPM, 400.0)), second, 0.05)
    # Back again: the limit lies between what half a digit of print less and more would give.
    less, more = (torsional_acceleration(radians(second + d), radians(first), rpm * RPM) for d in (-0.05, 0.05))
    assert less < 400 < more


def test_acceleration_behind_that_table() -> None:
    # w2 a2 by hand: (157.080 x 0.127409)^2 = 20.0134^2.
    assert torsional_acceleration(radians(7.3), 0, 1500 * RPM) == pytest.approx(400.53, abs=0.02)
    assert inertia_acceleration(radians(7.3), 1500 * RPM) == pytest.approx(400.53, abs=0.02)
    # 11 000 deg rpm over 1500 rpm reproduces the table's first row; the limit in rad/s2 gives the same angle.
    assert close(degrees(joint_angle_limit(1500 * RPM, 400.0)), 11000 / 1500, 0.05)


def test_residual_of_two_joints_in_one_plane() -> None:
    assert close(degrees(residual_joint_angle(radians(8.3), radians(4))), 7.273, 0.001)  # sqrt(8.3^2 - 4^2)


def test_shaft_angle_before_and_after_75_mm() -> None:
    assert close(degrees(shaft_slope_level(1.0, 0.18)), 10.204, 0.001)  # atan(180/1000)
    assert close(degrees(shaft_slope_level(1.0, 0.255)), 14.306, 0.001)  # atan(255/1000)
    assert close(propshaft_length_change(1.0, 0.18, 0.075) * 1e3, 15.930, 0.002)  # hypot
    # Slope by length and by level distance are one angle.
    assert shaft_slope(hypot(1.0, 0.18), 0.18) == pytest.approx(shaft_slope_level(1.0, 0.18), rel=1e-14)


class TestCriticalSpeed:
    def test_constant_in_mm_and_rpm(self) -> None:
        # A shaft supplier's data sheet: n = 1.21e8 sqrt(D2 + d2)/L2, mm and rpm.
        assert critical_speed(0.0635, 0.0593, 1.0) / RPM == pytest.approx(
            1.21e8 * hypot(63.5, 59.3) / 1000**2, rel=0.001
        )

    def test_constant_in_inches(self) -> None:
        # 4.764e6 in rpm (the sheet prints 4.8e6): 1.21e8/25.4.
        inch = 0.0254
        n = critical_speed(2.5 * inch, 2.334 * inch, 50 * inch) / RPM
        assert n == pytest.approx(4.764e6 * hypot(2.5, 2.334) / 50**2, rel=0.001)

    def test_a_tube(self) -> None:
        # 63.5 x 2.108 mm wall, 1270 mm between joints, with K = 1.20993e8.
        assert close(critical_speed(0.0635, 0.0635 - 2 * 0.002108, 1.27) / RPM, 6517, 5)

    def test_against_beam_theory(self) -> None:
        # First bending frequency of a pinned Euler-Bernoulli beam, (pi/L)^2 sqrt(E I/(rho A)).
        outside, inside, length = 0.070, 0.064, 1.1
        inertia = pi / 64 * (outside**4 - inside**4)
        area = pi / 4 * (outside**2 - inside**2)
        first = (pi / length) ** 2 * sqrt(207e9 * inertia / (7850 * area))
        assert critical_speed(outside, inside, length) == pytest.approx(first, rel=1e-12)


def cross_joint_output(angle: float, turned: float) -> float:
    """Turn of the driven yoke, from nothing but its pin staying square to the driving yoke's pin."""
    one = np.array([0.0, cos(turned), sin(turned)])
    # The driven shaft lies in the x-z plane; its pin turns in the plane square to it.
    across, up = np.array([0.0, 1.0, 0.0]), np.array([-sin(angle), 0.0, cos(angle)])

    def square(t: float) -> float:
        return float(one @ (-sin(t) * across + cos(t) * up))

    return float(brentq(square, turned - 1.2, turned + 1.2, xtol=1e-15, rtol=1e-15))


@pytest.mark.parametrize("angle_deg", [3, 10, 20, 35])
def test_speed_ratio_against_the_mechanism(angle_deg: float) -> None:
    """The ratio is the slope of the driven yoke's turn, found from the square pins alone."""
    angle, h = radians(angle_deg), 1e-4
    for turned in np.linspace(0.1, 3.0, 13):
        slope = (cross_joint_output(angle, turned + h) - cross_joint_output(angle, turned - h)) / (2 * h)
        # The driving pin lies square to the plane of the shafts at 0, in that plane a quarter turn on.
        assert slope == pytest.approx(joint_speed_ratio(angle, turned - pi / 2), abs=1e-6)
    mean = (cross_joint_output(angle, pi / 2 + 0.3) - cross_joint_output(angle, -pi / 2 + 0.3)) / pi
    assert mean == pytest.approx(1.0, rel=1e-12)  # half a turn in is half a turn out


def test_speed_ratio_by_symbolic_derivative() -> None:
    a, t = sympy.symbols("a t", positive=True)
    driven = sympy.atan2(sympy.sin(t), sympy.cos(t) * sympy.cos(a))  # tan(t2) = tan(t)/cos(a)
    ratio = sympy.lambdify((a, t), sympy.diff(driven, t))
    for angle in (0.05, 0.2, 0.6):
        for turned in (0.0, 0.4, 1.1, 2.5, 4.0):
            assert joint_speed_ratio(angle, turned) == pytest.approx(float(ratio(angle, turned)), rel=1e-12)
    greatest = sympy.simplify(sympy.diff(driven, t).subs(t, 0) - 1 / sympy.cos(a))
    assert greatest == 0


def test_unevenness_is_greatest_less_least() -> None:
    angle = radians(14)
    ratios = [joint_speed_ratio(angle, t) for t in np.linspace(0, pi, 721)]
    assert unevenness(angle) == pytest.approx(max(ratios) - min(ratios), rel=1e-12)


def test_turn_error_against_a_search() -> None:
    angle = radians(10)
    ahead = max(np.arctan2(np.sin(t), np.cos(t) * cos(angle)) - t for t in np.linspace(0.5, 1.1, 60001))
    assert turn_error(angle) == pytest.approx(ahead, rel=1e-8)


def test_equal_angles_in_phase_run_evenly() -> None:
    # Compensation of two joints: the ratio is 1 at every moment.
    for t in np.linspace(0, tau, 97):
        assert close(two_joint_speed_ratio(radians(9), radians(9), float(t)), 1.0, 1e-12)


def test_a_quarter_turn_out_of_phase_doubles_the_swing() -> None:
    # With the yokes a quarter turn out, both joints speed up together: greatest ratio (1/cos a)^2.
    a = radians(9)
    ratios = [two_joint_speed_ratio(a, a, float(t), pi / 2) for t in np.linspace(0, pi, 721)]
    assert max(ratios) == pytest.approx(1 / cos(a) ** 2, rel=1e-12)


@pytest.mark.parametrize(("first", "second"), [(0.5, 0.25), (1, 0.5), (2, 1), (8, 4), (10, 5), (15, 10), (20, 10)])
def test_small_angle_shake_is_near_the_exact_one(first: float, second: float) -> None:
    """A small-angle form leaves out what goes with the square of the angle: at half a degree it is as good as exact.

    Three hundredths at 20 deg, a fifty-thousandth at half a degree of the steepest change of the exact ratio.
    """
    one, two = radians(first), radians(second)
    turns = np.linspace(0, pi, 20001)
    ratio = np.array([two_joint_speed_ratio(one, two, float(t)) for t in turns])
    steepest = float(np.abs(np.gradient(ratio, turns)).max())
    assert torsional_acceleration(one, two, 1.0) == pytest.approx(steepest, rel=one**2 / 4)


def test_compound_residual_against_vectors() -> None:
    """Two planes: the second harmonics of the two joints subtract as vectors at twice the plane's angle."""
    s1, p1, s2, p2 = radians(4), radians(1.5), radians(2.5), radians(1.5)
    first, second = complex(s1, p1) ** 2, complex(s2, p2) ** 2
    assert residual_compound_angle(s1, p1, s2, p2) == pytest.approx(abs(first - second) ** 0.5, rel=1e-12)
    # In one plane it is the plain residual.
    assert residual_compound_angle(s1, 0, s2, 0) == pytest.approx(residual_joint_angle(s1, s2), rel=1e-12)


def test_working_angle_against_vectors() -> None:
    """Angle between the car's length and a shaft turned in plan out of a plane that slopes in side view."""
    for side_deg, plan_deg in [(5, 0), (5, 3), (0.01, 0.02), (12, -7), (-30, 20)]:
        side, plan = radians(side_deg), radians(plan_deg)
        shaft = np.array([cos(side) * cos(plan), sin(plan), -sin(side) * cos(plan)])
        expected = np.arctan2(np.linalg.norm(np.cross([1, 0, 0], shaft)), shaft[0])
        assert working_angle(side, plan) == pytest.approx(float(expected), rel=1e-12)


def test_shortest_length_against_a_search() -> None:
    for run, drop, bump, droop in [(0.78, 0.06, 0.105, 0.1), (0.78, 0.06, 0.03, 0.1), (0.7, -0.05, 0.1, 0.2)]:
        lengths = [hypot(run, drop + t) for t in np.linspace(-bump, droop, 200001)]
        expected = min(lengths) - hypot(run, drop)
        assert propshaft_shortening(run, drop, bump, droop) == pytest.approx(expected, abs=1e-11)


def turned_up(angle: float) -> Rotation:
    """A turn in side view, x ahead to the axle and z up, that brings the nose at x up."""
    return Rotation.from_euler("y", -angle)


@pytest.mark.parametrize(
    ("slope_deg", "output_deg", "pinion_deg"), [(10.2, 4.0, 3.0), (14.3, -2.0, 11.5), (-3.0, 1.0, 6.0)]
)
def test_joint_angles_between_directions(slope_deg: float, output_deg: float, pinion_deg: float) -> None:
    """Output, shaft and pinion as unit vectors: the signed angle from one to the next about the axle's own line."""
    ahead = np.array([1.0, 0.0, 0.0])
    output = turned_up(-radians(output_deg)).apply(ahead)  # points down towards the axle
    shaft = turned_up(-radians(slope_deg)).apply(ahead)  # falls to the axle
    pinion = turned_up(-radians(pinion_deg)).apply(ahead)  # from the nose, which is up, down into the axle
    for found, one, two in [
        (joint_angle_output(radians(slope_deg), radians(output_deg)), output, shaft),
        (joint_angle_pinion(radians(slope_deg), radians(pinion_deg)), pinion, shaft),
    ]:
        bend = float(np.arctan2(np.cross(one, two)[1], one @ two))
        assert found == pytest.approx(bend, abs=1e-12)
    # A joint that binds at 24 deg with 3 kept has as much left as turning the shaft on would take to reach 21.
    angle = abs(joint_angle_pinion(radians(slope_deg), radians(pinion_deg)))
    left = brentq(lambda more: degrees(angle + more) - 21.0, -1.0, 1.0, xtol=1e-15)
    assert bind_margin(radians(24), angle, radians(3)) == pytest.approx(left, abs=1e-12)


@pytest.mark.parametrize("turn_deg", [-2.4, 0.0, 5.0])
@pytest.mark.parametrize("wedge_deg", [-4.0, 2.0])
def test_turns_of_an_axle_one_after_the_other(turn_deg: float, wedge_deg: float) -> None:
    """scipy rotations: the spring turns the axle, the wedge turns it on; the nose points where both have brought it."""
    nose = (turned_up(radians(wedge_deg)) * turned_up(radians(turn_deg)) * turned_up(radians(4.0))).apply(
        [1.0, 0.0, 0.0]
    )
    stands = pinion_inclination_turned(radians(4.0), radians(turn_deg), radians(wedge_deg))
    assert stands == pytest.approx(float(np.arctan2(nose[2], nose[0])), abs=1e-12)


@pytest.mark.parametrize("lift", [0.0, 0.05, 0.1])
@pytest.mark.parametrize("turn_deg", [-3.0, 0.0, 6.0])
def test_drop_of_a_lifted_car_by_moving_both_joints(lift: float, turn_deg: float) -> None:
    """Joints as points: the transfer rises with the body, less what it was lowered; the pinion turns about its axle."""
    arm, standing = 0.31, radians(7.0)
    axle = np.zeros(3)
    nose = axle + turned_up(standing).apply([arm, 0.0, 0.0])
    transfer = nose + np.array([0.7, 0.0, 0.16])
    transfer = transfer + np.array([0.0, 0.0, lift - 0.025])
    nose = axle + turned_up(radians(turn_deg)).apply(nose)
    found = shaft_drop_lifted(0.16, lift, 0.025, arm, standing, radians(turn_deg))
    assert found == pytest.approx(float(transfer[2] - nose[2]), abs=1e-12)


def test_tilt_of_a_lowered_engine_and_plan_of_a_shaft() -> None:
    """Right-angled triangles solved for their angle by scipy: 25 mm over 1.2 m, and 60 mm aside over 0.9 m."""
    tilt = brentq(lambda a: 1.2 * sin(a) - 0.025, 0, 0.5, xtol=1e-15)
    assert transfer_tilt(0.025, 1.2) == pytest.approx(tilt, abs=1e-12)
    plan = brentq(lambda a: 0.9 * sin(a) - 0.06, 0, 0.5, xtol=1e-15)
    assert plan_angle(0.9, 0.06) == pytest.approx(plan, abs=1e-12)


def test_length_and_run_in_space() -> None:
    """numpy's distance of two points, and the part of it that lies level."""
    joint, pinion = np.array([0.0, 0.0, 0.0]), np.array([0.78, 0.0, -0.16])
    assert propshaft_length(0.78, 0.16) == pytest.approx(float(np.linalg.norm(pinion - joint)), rel=1e-12)
    along = (pinion - joint) / np.linalg.norm(pinion - joint)
    length = 0.9
    assert propshaft_run(length, -length * along[2]) == pytest.approx(length * along[0], rel=1e-12)


@pytest.mark.parametrize(
    ("run", "drop", "bump", "droop"), [(0.78, 0.06, 0.105, 0.1), (0.78, 0.2, 0.08, 0.15), (0.5, -0.05, 0.1, 0.2)]
)
def test_slip_over_the_whole_travel(run: float, drop: float, bump: float, droop: float) -> None:
    """The shaft's length at 200 001 heights of the axle: what is pulled out at most, what is pushed in at most."""
    lengths = np.hypot(run, drop + np.linspace(-bump, droop, 200_001))
    ride = hypot(run, drop)
    assert slip_engaged_at_droop(run, drop, bump, droop, 0.07) == pytest.approx(
        0.07 - (lengths.max() - ride), abs=1e-10
    )
    assert slip_left_at_bump(run, drop, bump, droop, 0.03) == pytest.approx(0.03 - (ride - lengths.min()), abs=1e-10)


def test_ripple_is_half_of_what_the_mechanism_swings() -> None:
    """Greatest and least slope of the driven yoke, found from its square pins, at 6 deg: half their distance."""
    angle, h = radians(6), 1e-4
    slopes = [
        (cross_joint_output(angle, t + h) - cross_joint_output(angle, t - h)) / (2 * h) for t in np.linspace(0, pi, 181)
    ]
    assert ripple_share(angle) == pytest.approx((max(slopes) - min(slopes)) / 2, rel=1e-4)


def test_double_joint_runs_evenly_at_the_half_angle_only() -> None:
    """Two mechanisms in a row, each at half of 22 deg and the middle yoke's pins in one plane: the ratio stays 1."""
    half = double_joint_half_angle(radians(22))
    for t in np.linspace(0.1, 3.0, 9):
        assert two_joint_speed_ratio(half, radians(22) - half, float(t)) == pytest.approx(1.0, abs=1e-12)
    uneven = [two_joint_speed_ratio(radians(13), radians(9), float(t)) for t in np.linspace(0, pi, 91)]
    assert max(uneven) - min(uneven) > 0.02


def test_shaft_speed_by_counting_turns_over_a_kilometre() -> None:
    """1 km of road in 36 s (100 km/h): the wheel turns 1000 / circumference times, the shaft 3.73 times as often."""
    radius = 0.342
    turns = 1000 / (tau * radius) * 3.73
    assert propshaft_speed(1000 / 36, radius, 3.73) == pytest.approx(turns * tau / 36, rel=1e-12)
