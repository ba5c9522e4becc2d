"""Shackle geometry against worked figures, a symbolic solver and a root finder."""

from math import atan2, cos, degrees, hypot, radians, sin

import pytest
import sympy
from scipy.optimize import brentq

from knowledge.formulas.shackle_pivot import shackle_pivot_x, shackle_pivot_z
from knowledge.formulas.shackles import (
    pinion_turn_from_shackle,
    shackle_angle,
    shackle_angle_from_vertical,
    shackle_axle_height,
    shackle_lift,
    shackle_to_chord_angle,
)

# Two-circle intersection worked by hand: fixed eye at the origin, chord 1200 mm.
UPRIGHT = {"chord": 1.2, "pivot_x": 1.2, "pivot_z": 0.08}
LEANING = {"chord": 1.2, "pivot_x": 1.17, "pivot_z": 0.06}


def test_drop_with_an_upright_shackle() -> None:
    # Pivot (1200, +80), shackle 100 to 150 mm: the middle of the chord drops 24.993 mm; half the change is 25.
    assert shackle_lift(0.15, 0.10, axle_fraction=0.5, **UPRIGHT) * 1e3 == pytest.approx(24.993, abs=0.002)


def test_turn_of_the_chord() -> None:
    # Same: the chord turns by -2.3885 deg (clockwise, shackle end down), which is pinion nose up.
    assert -degrees(pinion_turn_from_shackle(0.15, 0.10, **UPRIGHT)) == pytest.approx(-2.3885, abs=0.0005)


def test_drop_with_a_leaning_shackle() -> None:
    # Pivot (1170, +60): 26.014 mm, so that the rule of half the change is 3.90 % low.
    drop = shackle_lift(0.15, 0.10, axle_fraction=0.5, **LEANING)
    assert drop * 1e3 == pytest.approx(26.014, abs=0.002)
    assert (0.025 / drop - 1) * 100 == pytest.approx(-3.90, abs=0.02)


def test_lean_of_the_shackle() -> None:
    # Same: 17.141 deg from upright at 100 mm, 10.292 deg at 150 mm.
    assert degrees(shackle_angle_from_vertical(0.10, **LEANING)) == pytest.approx(17.141, abs=0.002)
    assert degrees(shackle_angle(0.15, **LEANING)) == pytest.approx(10.292, abs=0.002)


def test_height_of_the_free_eye() -> None:
    # Same: free eye at x = 1199.473, y = -35.558 mm; with the whole chord as fraction that is the depth below.
    assert -shackle_axle_height(0.10, axle_fraction=1.0, **LEANING) * 1e3 == pytest.approx(-35.558, abs=0.002)
    # and from lean and length: x = 1170 + 100 sin(lean).
    assert 1170 + 100 * sin(shackle_angle(0.10, **LEANING)) == pytest.approx(1199.473, abs=0.002)


@pytest.mark.parametrize("eye_distance", [0.08, 0.10, 0.125, 0.17])
@pytest.mark.parametrize("pivot", [(1.2, 0.08), (1.17, 0.06), (1.25, -0.02), (1.13, 0.15)])
def test_free_eye_against_symbolic_circles(eye_distance: float, pivot: tuple[float, float]) -> None:
    # sympy's own intersection of two circles; the lower of the two points.
    px, pz = (sympy.Rational(str(v)) for v in pivot)
    chord = sympy.Rational("1.2")
    points = sympy.Circle((0, 0), chord).intersection(sympy.Circle((px, pz), sympy.Rational(str(eye_distance))))
    assert len(points) == 2
    eye = min(points, key=lambda p: float(p.y))
    ours = -shackle_axle_height(eye_distance, 1.2, *pivot, axle_fraction=1.0)
    assert ours == pytest.approx(float(eye.y), rel=1e-12)
    lean = shackle_angle(eye_distance, 1.2, *pivot)
    assert lean == pytest.approx(atan2(float(eye.x) - pivot[0], pivot[1] - float(eye.y)), rel=1e-10)


@pytest.mark.parametrize("eye_distance", [0.10, 0.125, 0.15, 0.17])
def test_free_eye_against_a_root_finder(eye_distance: float) -> None:
    # scipy: swing the shackle until the eye stands a chord's length from the fixed eye.
    px, pz, chord = 1.2128, 0.0722, 1.247

    def misfit(lean: float) -> float:
        return hypot(px + eye_distance * sin(lean), pz - eye_distance * cos(lean)) - chord

    lean = brentq(misfit, -0.2, 1.2, xtol=1e-15)
    assert shackle_angle(eye_distance, chord, px, pz) == pytest.approx(lean, abs=1e-12)
    depth = eye_distance * cos(lean) - pz
    assert shackle_axle_height(eye_distance, chord, px, pz, 0.46) == pytest.approx(0.46 * depth, abs=1e-12)


def test_angle_to_the_chord_against_vectors() -> None:
    # sympy: angle between the lines from the free eye to the fixed eye and to the pivot.
    px, pz, chord, eye_distance = 1.17, 0.06, 1.2, 0.1
    lean = shackle_angle(eye_distance, chord, px, pz)
    eye = sympy.Point(px + eye_distance * sin(lean), pz - eye_distance * cos(lean))
    between = sympy.Line(eye, sympy.Point(0, 0)).smallest_angle_between(sympy.Line(eye, sympy.Point(px, pz)))
    assert shackle_to_chord_angle(eye_distance, chord, px, pz) == pytest.approx(float(between), abs=1e-9)


def test_pivot_found_again_from_what_is_measured() -> None:
    # The leaning shackle above, measured at ride: lean 17.141 deg, chord falling asin(35.558/1200) = 1.698 deg.
    slope = atan2(35.558, 1199.473)
    assert shackle_pivot_x(0.1, radians(17.141), 1.2, slope) == pytest.approx(1.170, abs=2e-6)
    assert shackle_pivot_z(0.1, radians(17.141), 1.2, slope) == pytest.approx(0.060, abs=2e-6)
