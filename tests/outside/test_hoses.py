"""Hose lengths against plain distances, the brake hose standard's definition of slack, and a rotation library."""

from __future__ import annotations

from math import radians

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from knowledge.formulas.hoses import hose_bend_length, hose_length_needed, hose_slack, hose_straight_length


def test_straight_length() -> None:
    # Ends (0, 0, 0) and (250, 100, -300) mm: 3-D distance.
    assert abs(hose_straight_length(0.25, 0.1, -0.3) * 1e3 - 403.113) <= 0.001
    # The same with 100 mm more droop.
    assert abs(hose_straight_length(0.25, 0.1, -0.4) * 1e3 - 482.183) <= 0.001


def test_needed_length_is_that_distance_without_steering() -> None:
    assert abs(hose_length_needed(0.25, 0.1, 0.3, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0) * 1e3 - 403.113) <= 0.001
    assert abs(hose_length_needed(0.25, 0.1, 0.3, 0.0, 0.0, 0.0, 0.1, 0.0, 0.0) * 1e3 - 482.183) <= 0.001
    assert abs(hose_length_needed(0.25, 0.1, 0.3, 0.0, 0.0, 0.0, 0.0, 0.1, 0.0) * 1e3 - 482.183) <= 0.001


def test_slack_as_the_brake_hose_standard_defines_it() -> None:
    # 49 CFR 571.106, agency letter: straight free length less projected mounted length.
    assert hose_slack(0.4, 0.36) == pytest.approx(0.04, abs=1e-12)


def test_half_a_turn_of_hose() -> None:
    # Half the circumference of a circle of 50 mm radius.
    assert hose_bend_length(0.05, np.pi) == pytest.approx(0.15708, abs=1e-5)


@pytest.mark.parametrize("inclination_deg", [0.0, 8.5, 13.0])
@pytest.mark.parametrize("caster_deg", [0.0, 7.0])
@pytest.mark.parametrize("bracket", [(0.02, -0.13, 0.2), (0.15, -0.1, 0.25), (-0.1, 0.05, 0.1)])
def test_worst_lock_against_a_rotation_library(
    bracket: tuple[float, float, float], caster_deg: float, inclination_deg: float
) -> None:
    """Turn the caliper end about the leaning kingpin in small steps and keep the longest distance."""
    lock, droop, end = radians(33), 0.1, np.array([-0.06, 0.045, 0.02])
    inclination, caster = radians(inclination_deg), radians(caster_deg)
    # The axis: upright, leant inboard by turning about x, then back by turning about y.
    axis = (Rotation.from_euler("y", -caster) * Rotation.from_euler("x", inclination)).apply([0.0, 0.0, 1.0])
    assert axis[0] <= 0 and axis[1] <= 0
    body = np.array([bracket[0], bracket[1], bracket[2] + droop])
    turns = Rotation.from_rotvec(np.linspace(-lock, lock, 6601)[:, None] * axis)
    paths = np.linalg.norm(turns.apply(end) - body, axis=1)
    needed = hose_length_needed(*bracket, *end, droop, 0.0, 0.0, lock, inclination, caster)
    assert needed == pytest.approx(float(paths.max()), abs=1e-8)
