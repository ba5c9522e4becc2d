"""Damper geometry against plane geometry and root finders."""

from math import cos, pi, radians, sin

import numpy as np
import pytest
from scipy.optimize import approx_fprime, brentq

from knowledge.formulas.damper_travel import damper_bump_margin, damper_bump_travel, damper_droop_travel
from knowledge.formulas.dampers import (
    damper_angle_lifted,
    damper_closed_length,
    damper_dead_length,
    damper_installed_length,
    damper_length_at,
    damper_motion_ratio,
)


def test_leaning_twenty_degrees() -> None:
    # cos 20 deg = 0.93969.
    assert damper_motion_ratio(radians(20)) == pytest.approx(0.93969, abs=0.00001)


def test_motion_ratio_is_the_slope_of_the_length() -> None:
    # scipy: numerical derivative of the exact length at the height the angle was taken.
    slope = approx_fprime([0.0], lambda z: damper_length_at(0.49, float(z[0]), radians(20)), 1e-7)[0]
    assert damper_motion_ratio(radians(20)) == pytest.approx(slope, abs=1e-6)


@pytest.mark.parametrize("travel", [-0.1, -0.03, 0.0, 0.06, 0.12])
def test_length_by_the_law_of_cosines(travel: float) -> None:
    # Law of cosines: the travel is the third side, its angle to the damper the supplement of the mounting angle.
    l0, a = 0.49, radians(20)
    by_cosines = (l0**2 + travel**2 - 2 * l0 * travel * cos(pi - a)) ** 0.5
    assert damper_length_at(l0, travel, a) == pytest.approx(by_cosines, rel=1e-12)


def test_three_four_five() -> None:
    # A 3-4-5 triangle drawn out to 5-12-13: 300 mm sideways, 400 mm up, 320 mm of lift makes 720 by 300 = 780 mm.
    angle = 0.6435011087932844  # atan(3/4)
    assert damper_installed_length(0.5, 0.32, angle) == pytest.approx(0.78, rel=1e-12)
    # tan of the new angle is 5/12.
    assert damper_angle_lifted(0.5, 0.32, angle) == pytest.approx(0.3947911196997615, rel=1e-12)
    # From 500 to 780 mm drawn out is 320 mm of droop; from 780 down to 500 mm closed, 320 mm of bump.
    assert damper_droop_travel(0.5, 0.78, angle) == pytest.approx(0.32, rel=1e-12)
    assert damper_bump_travel(0.78, 0.5, 0.3947911196997615) == pytest.approx(0.32, rel=1e-12)


@pytest.mark.parametrize(("installed", "end", "angle"), [(0.43, 0.545, 8), (0.492, 0.61, 20), (0.492, 0.375, 20)])
def test_travel_to_an_end_against_a_root_finder(installed: float, end: float, angle: float) -> None:
    # scipy: the travel at which the length is the damper's own, open or closed.
    a = radians(angle)
    travel = brentq(lambda z: damper_length_at(installed, z, a) - end, -0.3, 0.3, xtol=1e-15)
    if end > installed:
        assert damper_droop_travel(installed, end, a) == pytest.approx(travel, abs=1e-12)
    else:
        assert damper_bump_travel(installed, end, a) == pytest.approx(-travel, abs=1e-12)


@pytest.mark.parametrize("angle_deg", [0.0, 12.0, 35.0])
@pytest.mark.parametrize("travel", [0.02, 0.075, 0.12])
def test_margin_at_metal_from_both_ends_as_points(angle_deg: float, travel: float) -> None:
    """numpy's distance of the two ends after the axle end rose; 6 mm kept back."""
    body = np.array([0.46 * sin(radians(angle_deg)), 0.46 * cos(radians(angle_deg))])
    risen = np.array([0.0, travel])
    expected = float(np.linalg.norm(body - risen)) - 0.33 - 0.006
    assert damper_bump_margin(0.46, 0.33, travel, radians(angle_deg), 0.006) == pytest.approx(expected, abs=1e-12)


def test_a_rod_in_a_tube_drawn_to_scale() -> None:
    """A tube takes in a rod no longer than itself: drawn out it is the tube, the rod and what the ends take up."""
    ends, tube = 0.130, 0.205  # closed: ends and tube; drawn out: the rod's stroke of a tube's length more
    closed, extended = ends + tube, ends + tube + tube
    assert damper_dead_length(extended, closed) == pytest.approx(ends, abs=1e-12)
    longer = tube + 0.030
    assert damper_closed_length(ends + 2 * longer, ends) == pytest.approx(ends + longer, abs=1e-12)
