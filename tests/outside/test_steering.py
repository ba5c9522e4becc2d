"""Steering linkage against textbook problems and plain mechanics."""

from __future__ import annotations

from math import asin, cos, degrees, pi, radians, sin, sqrt, tan

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.optimize import brentq

from knowledge.formulas.steering import (
    ackermann_outer_angle,
    bump_steer_per_travel,
    drag_link_angle,
    drag_link_steer,
    link_angle_mismatch,
    track_bar_angle,
    track_bar_axle_shift,
)
from knowledge.formulas.steering_box import (
    box_sweep_margin,
    overall_steering_ratio,
    sector_sweep_needed,
    steering_box_ratio,
    steering_link_force,
)
from knowledge.formulas.tie_rods import tie_rod_buckling, tie_rod_safety, tie_rod_slenderness


def test_track_bar_pulls_the_axle_sideways() -> None:
    # 850 mm bar, drop 50 to 125 mm: sqrt(850^2 - 50^2) - sqrt(850^2 - 125^2).
    assert abs(track_bar_axle_shift(0.85, asin(50 / 850), 0.075) * 1e3 - 7.770) <= 0.001


def test_drag_link_turns_the_road_wheel() -> None:
    # 900 mm link from level to 75 mm drop, steering arm 150 mm: (L - sqrt(L^2 - y^2))/arm.
    assert abs(degrees(drag_link_steer(0.9, 0.0, 0.075, 0.15)) - 1.1958) <= 0.0005


@pytest.mark.parametrize(
    ("centres", "wheelbase", "inner", "outer"),
    [
        (1.25, 2.8, 35, 28.078),  # a published examination problem on correct steering
        (1.40, 2.57, 30, 23.712),  # cot o - cot i = c/b
    ],
)
def test_outer_wheel(centres: float, wheelbase: float, inner: float, outer: float) -> None:
    assert abs(degrees(ackermann_outer_angle(radians(inner), centres, wheelbase)) - outer) <= 0.001


def test_both_wheels_roll_about_one_centre() -> None:
    """The two wheels' axles meet on the line of the rear axle: the geometry the equation stands for."""
    wheelbase, centres, inner = 2.56, 1.22, radians(31)
    to_inner = wheelbase / tan(inner)
    outer = ackermann_outer_angle(inner, centres, wheelbase)
    assert wheelbase / tan(outer) == pytest.approx(to_inner + centres, rel=1e-12)


def test_bump_steer_against_solved_circles() -> None:
    """Both arcs by a root finder: the axle's place held by the bar, then the link's length held by turning the arm."""
    link, bar, arm, bump = 0.89, 0.87, 0.15, 0.05
    drag_angle, bar_angle = radians(4.1), radians(6.6)
    # Front view, axle moving up by the bump: its sideways shift x keeps the bar's length.
    level, high = bar * cos(bar_angle), bar * sin(bar_angle)
    shift = brentq(lambda x: (level + x) ** 2 + (high - bump) ** 2 - bar**2, -0.05, 0.05, xtol=1e-15)
    level, high = link * cos(drag_angle), link * sin(drag_angle)
    pull = brentq(lambda x: (level + x) ** 2 + (high - bump) ** 2 - link**2, -0.05, 0.05, xtol=1e-15)
    expected = abs(pull - shift) / arm
    assert bump_steer_per_travel(link, drag_angle, bar, bar_angle, arm, bump) == pytest.approx(expected, rel=1e-9)


def test_sector_sweep_against_the_four_bar() -> None:
    """A 1 m link joining the two arms, lock to lock, differs from the long-link form by under 1 %."""
    arm, pitman, link, lock = 0.15, 0.14, 1.0, radians(33)

    def sector_at(knuckle: float) -> float:
        # Arms lie along y at rest and the link along x between their ends, square to both.
        px, py = link + arm * sin(knuckle), arm * cos(knuckle) - arm + pitman

        def miss(s: float) -> float:
            return (px - pitman * sin(s)) ** 2 + (py - pitman * cos(s)) ** 2 - link**2

        return float(brentq(miss, knuckle - 0.4, knuckle + 0.4, xtol=1e-14))

    swept = sector_at(lock) - sector_at(-lock)
    assert sector_sweep_needed(arm, pitman, lock, lock) == pytest.approx(swept, rel=0.01)


def test_euler_load_of_a_solid_rod() -> None:
    # Textbook form P = pi^2 E A / (L/i)^2, with i = d/4 for a solid rod: another path to the same load.
    d, length, e = 0.025, 1.2, 207e9
    slenderness = length / (d / 4)
    assert tie_rod_slenderness(d, 0.0, length) == pytest.approx(slenderness, rel=1e-12)
    expected = pi**2 * e * (pi / 4 * d**2) / slenderness**2
    assert tie_rod_buckling(d, 0.0, length, e) == pytest.approx(expected, rel=1e-12)


def test_euler_load_against_a_finite_difference_column() -> None:
    """Smallest eigenvalue of -E I y'' = P y with pinned ends on 2 000 steps."""
    outside, inside, length, e = 0.028, 0.019, 1.15, 205e9
    second = pi / 64 * (outside**4 - inside**4)
    steps = 2000
    h = length / steps
    # Smallest eigenvalue of the second difference with zero ends, in closed form.
    eigenvalue = 2 * (1 - cos(pi / steps)) / h**2
    assert tie_rod_buckling(outside, inside, length, e) == pytest.approx(e * second * eigenvalue, rel=1e-5)
    assert sqrt(second / (pi / 4 * (outside**2 - inside**2))) == pytest.approx(
        length / tie_rod_slenderness(outside, inside, length), rel=1e-12
    )


def test_a_rod_between_yield_and_euler() -> None:
    """J. B. Johnson's parabola, Sy - (Sy L / 2 pi i)^2 / E (read in a machine designer's pages; Shigley, chapter 4)."""
    outside, inside, length, e, strength = 0.032, 0.020, 0.75, 207e9, 350e6
    i = sqrt(outside**2 + inside**2) / 4
    stress = strength - (strength * length / (2 * pi * i)) ** 2 / e
    expected = stress * pi / 4 * (outside**2 - inside**2)
    assert tie_rod_safety(outside, inside, length, e, strength, 1.0) == pytest.approx(expected, rel=1e-12)


def test_the_parabola_meets_euler_at_half_the_yield_stress() -> None:
    """Where L/i is sqrt(2 pi^2 E / Sy), both give Sy / 2 and fall alike (the same pages)."""
    d, e, strength, area = 0.03, 207e9, 350e6, pi / 4 * 0.03**2
    tangent = sqrt(2 * pi**2 * e / strength) * d / 4
    near = [tie_rod_safety(d, 0.0, tangent + step, e, strength, 1000.0) * 1000 / area for step in (-1e-6, 0.0, 1e-6)]
    assert near[1] == pytest.approx(strength / 2, rel=1e-9)
    assert near[1] - near[0] == pytest.approx(near[2] - near[1], rel=1e-4)


@pytest.mark.parametrize("length", [0.3, 0.5, 0.57, 0.7, 0.8, 1.0, 1.4])
def test_never_much_above_a_nearly_straight_rod(length: float) -> None:
    """A rod bowed by a 10 000th of its length, by Perry's equation of its inner fibre: the lesser of Euler's load and
    yield is 13 % above that where the two meet; the formula is nowhere 3 % above it."""
    d, e, strength = 0.03, 207e9, 350e6
    area, second = pi / 4 * d**2, pi / 64 * d**4
    euler = pi**2 * e * second / length**2
    bow = length / 10_000

    def fibre(force: float) -> float:  # stress of the inner fibre of a half-sine bow that the force deepens
        return force / area + force * bow / (1 - force / euler) * (d / 2) / second - strength

    bowed = brentq(fibre, 0.0, min(euler * (1 - 1e-9), strength * area))
    assert tie_rod_safety(d, 0.0, length, e, strength, 1.0) <= bowed * 1.03


@pytest.mark.parametrize("stock_deg", [-3.0, 0.0, 4.1, 12.0])
@pytest.mark.parametrize(("lift", "lowered"), [(0.0, 0.0), (0.075, 0.0), (0.075, 0.05), (-0.03, 0.0), (0.02, 0.08)])
def test_link_angles_from_both_ends(stock_deg: float, lift: float, lowered: float) -> None:
    """scipy brentq keeps the link's length between an axle end that slides sideways and a body end that rose."""
    length, stock = 0.88, radians(stock_deg)
    body = np.array([length * cos(stock), length * sin(stock) + lift - lowered])
    shift = brentq(lambda x: (body[0] - x) ** 2 + body[1] ** 2 - length**2, -0.2, 0.4, xtol=1e-15)
    expected = float(np.arctan2(body[1], body[0] - shift))
    assert drag_link_angle(length, stock, lift, lowered) == pytest.approx(expected, abs=1e-9)
    assert track_bar_angle(length, stock, lift, lowered) == pytest.approx(expected, abs=1e-9)


@pytest.mark.parametrize(("drag_deg", "bar_deg"), [(4.1, 6.6), (-3.0, 2.0), (9.0, 9.0)])
def test_links_out_of_parallel_by_the_angle_between_two_vectors(drag_deg: float, bar_deg: float) -> None:
    one, two = (np.array([cos(radians(a)), sin(radians(a))]) for a in (drag_deg, bar_deg))
    between = abs(float(np.arctan2(one[0] * two[1] - one[1] * two[0], one @ two)))
    assert link_angle_mismatch(radians(drag_deg), radians(bar_deg)) == pytest.approx(between, abs=1e-12)


def test_box_by_counting_the_turns_of_its_shafts() -> None:
    """A box that takes 3.5 turns for 90 deg of its sector: 14 turns would bring the sector once round."""
    assert steering_box_ratio(3.5, radians(90)) == pytest.approx(14.0, rel=1e-12)


def test_overall_ratio_as_the_slope_of_the_linkage() -> None:
    """The four-bar of the sweep test near straight ahead: how far the hand wheel turns per turn of the knuckle."""
    box, arm, pitman, link, step = 14.0, 0.155, 0.14, 0.95, 1e-5

    def sector_at(knuckle: float) -> float:
        px, py = link + arm * sin(knuckle), arm * cos(knuckle) - arm + pitman
        return float(
            brentq(lambda s: (px - pitman * sin(s)) ** 2 + (py - pitman * cos(s)) ** 2 - link**2, -0.3, 0.3, xtol=1e-15)
        )

    slope = (sector_at(step) - sector_at(-step)) / (2 * step)
    assert overall_steering_ratio(box, arm, pitman) == pytest.approx(box * slope, rel=1e-4)


def test_sweep_in_hand_on_a_circle() -> None:
    """Stops marked on a protractor: box from -47 to 47 deg, knuckle from -36 to 36: 11 deg at each end, 5 kept."""
    left = min(-36 - -47, 47 - 36) - 5
    assert degrees(box_sweep_margin(radians(94), radians(72), radians(5))) == pytest.approx(2 * left, abs=1e-9)


def test_link_force_by_the_work_of_a_small_turn() -> None:
    """Work of the sector shaft over a turn is the link's force over the way its end goes, summed by quadrature."""
    torque, pitman, turn = 1680.0, 0.14, 1e-4
    force = steering_link_force(torque, pitman)
    work = quad(lambda a: force * pitman * cos(a), 0.0, turn)[0]
    assert work == pytest.approx(torque * turn, rel=1e-7)
