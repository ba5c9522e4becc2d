"""Control arms against closed forms and against other solvers of the same two circles."""

from __future__ import annotations

from math import atan2, cos, degrees, hypot, radians, sin

import numpy as np
import pytest
import sympy
from scipy.optimize import fsolve
from scipy.spatial.transform import Rotation

from knowledge.formulas.caster import caster_at_lift, pinion_inclination_at_lift, radius_arm_rotation
from knowledge.formulas.links import axle_fore_aft_shift, axle_rotation_at_lift

Ends = tuple[float, float, float, float, float, float, float, float]
CARS: list[Ends] = [
    (-0.030, -0.075, -0.430, -0.045, -0.020, 0.110, -0.430, 0.105),
    (-0.050, -0.090, -0.700, -0.020, 0.000, 0.140, -0.500, 0.120),
    (0.040, -0.080, 0.640, -0.030, 0.020, 0.120, 0.480, 0.150),
]


def test_radius_arm() -> None:
    # Arm 900 mm, level, lifted 75 mm: asin(75/900).
    assert abs(degrees(-radius_arm_rotation(0.9, 0.0, 0.075)) - 4.780) <= 0.001


@pytest.mark.parametrize("lift", [-0.08, 0.03, 0.075, 0.2])
def test_equal_parallel_links_do_not_turn_the_axle(lift: float) -> None:
    # A parallelogram: 0 deg, exact.
    parallel = (-0.03, -0.08, -0.53, -0.05, -0.03, 0.10, -0.53, 0.13)
    assert axle_rotation_at_lift(*parallel, lift) == pytest.approx(0.0, abs=1e-12)
    # and the axle then swings on one circle of the links' length.
    length = hypot(0.5, 0.03)
    expected = 0.5 - (length**2 - (0.03 + lift) ** 2) ** 0.5
    assert axle_fore_aft_shift(*parallel, lift) == pytest.approx(-expected, abs=1e-12)


@pytest.mark.parametrize("car", CARS)
@pytest.mark.parametrize("lift", [-0.1, 0.02, 0.075, 0.15])
def test_four_links_against_a_general_solver(car: Ends, lift: float) -> None:
    lower_a, lower_b, upper_a, upper_b = (np.array(car[i : i + 2]) for i in (0, 2, 4, 6))

    def missing(pose: np.ndarray) -> list[float]:
        x, t = pose
        turn = np.array([[np.cos(t), -np.sin(t)], [np.sin(t), np.cos(t)]])
        return [
            float(np.linalg.norm([x, -lift] + turn @ a - b) - np.linalg.norm(a - b))
            for a, b in ((lower_a, lower_b), (upper_a, upper_b))
        ]

    x, t = fsolve(missing, [0.0, 0.0], xtol=1e-14)
    # x forward, z up: turning from x to z moves the top back, which is caster gained.
    assert axle_rotation_at_lift(*car, lift) == pytest.approx(t, abs=1e-10)
    assert axle_fore_aft_shift(*car, lift) == pytest.approx(x, abs=1e-10)


def test_four_links_against_two_circle_intersections() -> None:
    """Turn the lower link, find the upper pin where two circles cross, read off how high that puts the axle."""
    car = CARS[0]
    (lax, laz), (lbx, lbz), (uax, uaz), (ubx, ubz) = (car[i : i + 2] for i in (0, 2, 4, 6))
    slope = atan2(laz - lbz, lax - lbx) - 0.1
    pin_x, pin_z = lbx + hypot(lax - lbx, laz - lbz) * cos(slope), lbz + hypot(lax - lbx, laz - lbz) * sin(slope)
    x, z = sympy.symbols("x z", real=True)
    coupler = (x - pin_x) ** 2 + (z - pin_z) ** 2 - ((uax - lax) ** 2 + (uaz - laz) ** 2)
    upper = (x - ubx) ** 2 + (z - ubz) ** 2 - ((uax - ubx) ** 2 + (uaz - ubz) ** 2)
    top_x, top_z = max(sympy.solve([coupler, upper], [x, z]), key=lambda point: float(point[1]))
    turn = atan2(float(top_z) - pin_z, float(top_x) - pin_x) - atan2(uaz - laz, uax - lax)
    cosine, sine = np.cos(turn), np.sin(turn)
    centre_x, centre_z = pin_x - (cosine * lax - sine * laz), pin_z - (sine * lax + cosine * laz)
    assert axle_rotation_at_lift(*car, -centre_z) == pytest.approx(turn, abs=1e-9)
    assert axle_fore_aft_shift(*car, -centre_z) == pytest.approx(centre_x, abs=1e-9)


def test_small_lift_against_the_instant_centre() -> None:
    """At ride height the axle turns about where the two links' lines cross: turn = lift / distance."""
    ax, az, bx, bz, cx, cz, dx, dz = CARS[1]
    lines = np.array([[bz - az, ax - bx], [dz - cz, cx - dx]])
    centre = np.linalg.solve(lines, [(bz - az) * ax + (ax - bx) * az, (dz - cz) * cx + (cx - dx) * cz])
    lift = 1e-6
    # The centre lies behind the axle: the axle going down brings its top forward, caster lost.
    assert centre[0] < 0
    assert axle_rotation_at_lift(*CARS[1], lift) / lift == pytest.approx(1 / centre[0], rel=1e-4)


def test_longer_lower_links_turn_the_axle_by_length_over_spacing() -> None:
    """Level links one above the other: a small change of the lower one turns the axle by change / spacing."""
    level = (0.0, -0.1, -0.5, -0.1, 0.0, 0.1, -0.5, 0.1)
    change = 1e-5
    assert axle_rotation_at_lift(*level, 0.0, change) == pytest.approx(change / 0.2, rel=1e-4)
    assert axle_rotation_at_lift(*level, 0.0, 0.0, change) == pytest.approx(-change / 0.2, rel=1e-4)


@pytest.mark.parametrize("turn_deg", [-4.78, 0.0, 2.5])
@pytest.mark.parametrize("back_deg", [0.0, 1.5])
def test_one_casting_turns_kingpin_and_pinion_alike(turn_deg: float, back_deg: float) -> None:
    """Kingpin and pinion as two vectors of one rigid body, turned by scipy: x rearward, z up.

    The front pinion's nose points rearward; top of the kingpin back is caster gained and the nose goes down by it.
    """
    caster, nose = radians(7.0), radians(6.0)
    kingpin, pinion = np.array([sin(caster), 0.0, cos(caster)]), np.array([cos(nose), 0.0, sin(nose)])
    turned = Rotation.from_euler("y", turn_deg + back_deg, degrees=True)  # z towards x: the top goes back
    kingpin_now, pinion_now = turned.apply(kingpin), turned.apply(pinion)
    found = caster_at_lift(caster, radians(turn_deg), radians(back_deg))
    assert found == pytest.approx(atan2(kingpin_now[0], kingpin_now[2]), abs=1e-12)
    assert pinion_inclination_at_lift(caster + nose, found) == pytest.approx(
        atan2(pinion_now[2], pinion_now[0]), abs=1e-12
    )
