"""Readings in a yard: limit cases, refusals, and the reference car's parts as a caliper and a level meet them."""

from __future__ import annotations

from math import degrees, pi, radians

import pytest

from knowledge.formulas.measuring import (
    angle_from_gap,
    circle_area,
    diameter_from_girth,
    inclination_from_face,
    inclination_from_heights,
    inclination_from_level,
    joint_angle_from_level,
)
from shared.errors import NoSolution


def test_level_on_a_slope() -> None:
    # Everything reads 3 deg more on ground that falls by 3 deg.
    assert degrees(inclination_from_level(radians(5), radians(3))) == pytest.approx(2)
    assert joint_angle_from_level(radians(7.4), radians(5)) == pytest.approx(
        joint_angle_from_level(radians(4.4), radians(2))
    )
    assert joint_angle_from_level(0.1, 0.14) == joint_angle_from_level(0.14, 0.1) >= 0


def test_flange_face_stands_square() -> None:
    assert degrees(inclination_from_face(radians(92), pi / 2)) == pytest.approx(2)
    assert inclination_from_face(0.3, 0.0) == 0.3


def test_bar_from_its_heights() -> None:
    # 870 mm bar with ends 60.7 mm apart in height: 4 deg.
    assert degrees(inclination_from_heights(0.0607, 0.87)) == pytest.approx(4.0, abs=0.01)
    assert inclination_from_heights(0.0, 0.87) == 0.0
    with pytest.raises(NoSolution, match="bar of 100 mm cannot have ends 200 mm apart"):
        inclination_from_heights(-0.2, 0.1)


def test_gap_under_a_string() -> None:
    # 1 mm in 300 mm is 0.19 deg.
    assert degrees(angle_from_gap(0.001, 0.3)) == pytest.approx(0.191, abs=0.0005)
    assert angle_from_gap(0.0, 0.3) == 0.0


def test_circles() -> None:
    # A 60 mm piston: 2 827 mm2.
    assert circle_area(0.06) * 1e6 == pytest.approx(2827.4, abs=0.1)
    assert diameter_from_girth(pi * 0.0635) == pytest.approx(0.0635)
