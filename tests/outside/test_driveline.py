"""Propeller shafts and cross joints against a handbook, published tables and the mechanism itself."""

from __future__ import annotations

from math import cos, degrees, hypot, pi, radians, sin, sqrt, tau

import numpy as np
import pytest
import sympy
from scipy.optimize import brentq

from knowledge.formulas.driveline import shaft_slope, shaft_slope_level
from knowledge.formulas.joint_angles import working_angle
from knowledge.formulas.joint_motion import (
    angle_for_unevenness,
    joint_speed_ratio,
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
from knowledge.formulas.propshaft import propshaft_length_change, propshaft_shortening
from knowledge.formulas.propshaft_speeds import critical_speed

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
