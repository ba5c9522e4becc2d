"""Wheels against worked examples and plane geometry.  Ids are those of the project's list of check values."""

from __future__ import annotations

from math import cos, pi, radians, sin

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from knowledge.formulas.wheel_offset import (
    backspacing_from_offset,
    kingpin_to_tyre_centre,
    offset_from_backspacing,
    scrub_radius,
    track_change,
    wheel_track,
)
from knowledge.formulas.wheel_room import (
    arch_room_bump,
    arch_room_lock,
    tyre_lock_swing,
    tyre_room_to_leaf,
    wheel_room_over_caliper,
)
from knowledge.formulas.wheels import bolt_circle_from_adjacent, bolt_circle_from_alternate, thread_engagement_ratio

MM = 1e-3
INCH = 0.0254


def test_worked_example_of_six_holes() -> None:
    # W-01: published worked example, adjacent holes 25.00 apart lie on 50.00
    assert bolt_circle_from_adjacent(25.0, 6) == pytest.approx(50.0, rel=1e-9)


@pytest.mark.parametrize(("lugs", "factor"), [(4, 1.41421356), (5, 1.70130162), (6, 2), (8, 2.61312593)])
def test_adjacent_factor(lugs: int, factor: float) -> None:
    assert bolt_circle_from_adjacent(1.0, lugs) == pytest.approx(factor, abs=1e-6)  # W-02 to W-05: 1/sin(pi/n)


@pytest.mark.parametrize(("lugs", "factor"), [(5, 1.05146222), (6, 1.15470054), (8, 1.41421356)])
def test_alternate_factor(lugs: int, factor: float) -> None:
    assert bolt_circle_from_alternate(1.0, lugs) == pytest.approx(factor, abs=1e-6)  # W-06 to W-08: 1/sin(2 pi/n)


@pytest.mark.parametrize(
    ("lugs", "circle", "adjacent", "alternate"),
    [
        (5, 114.3, 67.184, 108.706),  # W-09: chord = PCD sin(k pi/n)
        (5, 139.7, 82.114, 132.863),  # W-10
        (6, 139.7, 69.850, 120.984),  # W-11
        (8, 165.1, 63.181, 116.743),  # W-12
    ],
)
def test_circles_of_the_trade(lugs: int, circle: float, adjacent: float, alternate: float) -> None:
    assert bolt_circle_from_adjacent(adjacent * MM, lugs) / MM == pytest.approx(circle, abs=0.005)
    assert bolt_circle_from_alternate(alternate * MM, lugs) / MM == pytest.approx(circle, abs=0.005)


@pytest.mark.parametrize(("lugs", "inches", "mm"), [(5, 4.5, 114.3), (5, 5.5, 139.7), (8, 6.5, 165.1)])
def test_inch_and_metric_circles_are_the_same(lugs: int, inches: float, mm: float) -> None:
    # W-13, W-14: 25.4 mm to the inch
    chord = inches * INCH * sin(pi / lugs)
    assert bolt_circle_from_adjacent(chord, lugs) / MM == pytest.approx(mm, abs=1e-9)


def test_backspacing() -> None:
    # W-15: rim 8 in, 0.5 in a flange, offset -19.05 mm
    assert backspacing_from_offset(-19.05 * MM, 8 * INCH, 0.5 * INCH) / INCH == pytest.approx(3.75, abs=0.005)


def test_offset() -> None:
    # W-16: overall width 10 in (9 between the seats), backspacing 4.5 in
    assert offset_from_backspacing(4.5 * INCH, 9 * INCH, 0.5 * INCH) / MM == pytest.approx(-12.7, abs=0.05)


def test_track_change() -> None:
    # W-17: +20 to -12 mm on both sides
    assert track_change(20 * MM, -12 * MM) / MM == pytest.approx(64, rel=1e-12)


def test_five_hole_trap() -> None:
    # W-18: two alternate holes of a 4.5 in circle are 4.280 in apart; taken for the circle that is 4.9 % low
    apart = 4.5 / bolt_circle_from_alternate(1.0, 5)
    assert apart == pytest.approx(4.280, abs=0.005)
    assert bolt_circle_from_alternate(4.280 * INCH, 5) / INCH == pytest.approx(4.5, abs=0.001)


@pytest.mark.parametrize("inclination", [0.0, 7.5, 13.0])
@pytest.mark.parametrize(("offset", "spacer"), [(40.0, 0.0), (-12.0, 0.0), (25.0, 30.0)])
def test_scrub_radius_by_a_line_through_the_ground(inclination: float, offset: float, spacer: float) -> None:
    """The steering axis as a line in space, met with the ground; the sense is that of a maker of motion software's
    manual (read): positive where the axis meets the ground inboard of the tyre's patch."""
    face, radius = 125.0, 345.0
    at_hub = np.array([0.0, 0.0, radius])  # x ahead, y outboard, z up; the axis passes here
    up = Rotation.from_euler("x", inclination, degrees=True).apply([0.0, 0.0, 1.0])  # its top leans inboard
    on_ground = at_hub - up * (radius / up[2])
    patch = np.array([0.0, face + spacer - offset, 0.0])
    found = scrub_radius((face + spacer) * MM, radians(inclination), radius * MM, offset * MM)
    assert found == pytest.approx((patch - on_ground)[1] * MM, abs=1e-12)
    assert kingpin_to_tyre_centre(face * MM, offset * MM, spacer * MM) == pytest.approx(patch[1] * MM, abs=1e-12)


@pytest.mark.parametrize(("offset", "spacer"), [(40.0, 0.0), (-12.0, 0.0), (25.0, 30.0)])
def test_track_between_the_centres_of_two_wheels(offset: float, spacer: float) -> None:
    """Both wheels' rims drawn from their faces outwards: a positive offset has its face outboard of the centre."""
    faces = np.array([-735.0, 735.0])
    centres = faces + np.array([-1.0, 1.0]) * (spacer - offset)
    assert wheel_track(1470 * MM, offset * MM, spacer * MM) == pytest.approx(np.ptp(centres) * MM, abs=1e-12)


@pytest.mark.parametrize("offset", [0.0, 60.0, 105.0])
@pytest.mark.parametrize("lock", [0.0, 20.0, 33.0, 45.0])
def test_swing_of_the_whole_tyre_over_both_locks(offset: float, lock: float) -> None:
    """Every point of the tyre at hub height, turned by a rotation library over both locks: none reaches farther."""
    radius, section = 366.0, 235.0
    edge = np.linspace(offset - section / 2, offset + section / 2, 41)
    outline = np.concatenate([np.column_stack([np.full(41, x), edge, np.zeros(41)]) for x in (-radius, radius)])
    angles = np.linspace(-lock, lock, 1801)
    reach = max(float(np.abs(Rotation.from_euler("z", a, degrees=True).apply(outline)[:, 0]).max()) for a in angles)
    swing = tyre_lock_swing(radius * MM, offset * MM, section * MM, radians(lock))
    assert swing >= reach * MM - 1e-9
    assert swing == pytest.approx(reach * MM, abs=1e-6)
    assert arch_room_lock(435 * MM, swing) == pytest.approx((435 - reach) * MM, abs=1e-6)


@pytest.mark.parametrize("lift", [0.0, 50.0, 75.0])
def test_lift_leaves_no_more_room_at_full_bump(lift: float) -> None:
    """Heights over a level floor: lip and stop go up with the body, the hub stays; at metal the stop meets the axle."""
    hub, lip, stop = 345.0, 855.0 + lift, 425.0 + lift
    risen = stop - hub  # the hub's pad meets the crushed stop
    expected = lip - (hub + risen) - 366.0
    assert arch_room_bump((lip - hub) * MM, 366 * MM, risen * MM) == pytest.approx(expected * MM, abs=1e-12)
    assert expected == 64.0  # whatever the lift


def test_room_over_a_caliper_as_two_circles() -> None:
    """The smallest gap between two concentric circles drawn as points (numpy), not the difference of their radii."""
    turn = np.linspace(0.0, 2 * pi, 2000, endpoint=False)
    ring = np.column_stack([np.cos(turn), np.sin(turn)])
    gap = np.linalg.norm(178.0 * ring - 170.5 * ring, axis=1).min()
    assert wheel_room_over_caliper(178 * MM, 170.5 * MM) == pytest.approx(gap * MM, abs=1e-9)


def test_room_beside_a_leaf_from_the_middle_of_the_car() -> None:
    """Distances from the car's middle: tyre from 627.5 to 842.5 mm, leaf from 468.5 to 532.5 mm: 95 mm between."""
    assert tyre_room_to_leaf(1470 * MM, 215 * MM, 1001 * MM, 64 * MM) == pytest.approx(95 * MM, abs=1e-12)


@pytest.mark.parametrize(
    ("stud", "clamped", "nut", "diameters"),
    [
        (40.0, 18.0, 20.0, 20 / 12),  # the whole nut
        (40.0, 28.0, 20.0, 1.0),  # a thick spacer leaves one diameter of an M12
        (40.0, 45.0, 20.0, 0.0),  # the stud does not reach the nut
    ],
)
def test_engaged_thread_of_a_nut(stud: float, clamped: float, nut: float, diameters: float) -> None:
    """Lengths along one line: the nut's thread lies from the seat outwards, the stud's ends where it ends."""
    engaged = max(0.0, min(stud, clamped + nut) - clamped)
    assert engaged / 12 == pytest.approx(diameters)
    assert thread_engagement_ratio(stud * MM, clamped * MM, nut * MM, 12 * MM) == pytest.approx(diameters)


def test_a_tyre_at_its_peak_touches_a_wall_it_clears_at_full_lock() -> None:
    """At 45 deg the corner stands nearer than at its peak: the wall has to clear the peak (calculus: derivative 0)."""
    radius, half = 0.366, 0.105 + 0.235 / 2
    at_lock = radius * cos(radians(45)) + half * sin(radians(45))
    assert tyre_lock_swing(radius, 0.105, 0.235, radians(45)) > at_lock + 0.005
