"""Shafts and joints: limit cases, refusals, and the reference car's shafts."""

from __future__ import annotations

from math import cos, pi, radians

import pytest

from knowledge.formulas.axle_torque import (
    engine_limited_axle_torque,
    front_half_shaft_torque,
    grip_limited_axle_torque,
    half_shaft_torque,
)
from knowledge.formulas.splines import spline_minor_diameter
from knowledge.formulas.strength import (
    joint_capacity,
    round_shaft_section_modulus,
    safety_factor,
    shaft_diameter_needed,
    shaft_shear_stress,
    shaft_twist,
    shaft_yield_torque,
)
from shared.errors import FormulaError, NoSolution

G = 9.80665
ENGINE = engine_limited_axle_torque(230, 3.85, 2.48, 3.73, 0.85)
REAR = grip_limited_axle_torque(1006 * G, 0.9, 0.333)
FRONT = grip_limited_axle_torque(894 * G, 0.9, 0.333)


class TestReferenceCar:
    """24/48 splines at the flat-root minor diameter, 690 MPa in shear, laden axle loads, grip 0.9, radius 333 mm."""

    @pytest.mark.parametrize(
        ("teeth", "open_margin", "locked_margin"),
        [(26, 1.63, 0.81), (28, 2.06, 1.03), (30, 2.55, 1.28), (31, 2.83, 1.42)],
    )
    def test_rear_shafts(self, teeth: int, open_margin: float, locked_margin: float) -> None:
        strength = shaft_yield_torque(spline_minor_diameter(teeth, 0.0254 / 24), 690e6)
        for kind, margin in (("open", open_margin), ("locked", locked_margin)):
            assert round(safety_factor(strength, half_shaft_torque(kind, ENGINE, REAR, 1.0)), 2) == margin

    def test_front_shaft_at_full_lock(self) -> None:
        torque = front_half_shaft_torque(half_shaft_torque("open", ENGINE, FRONT, 1.0), radians(33))
        assert round(safety_factor(shaft_yield_torque(0.0261, 690e6), torque), 2) == 1.54

    def test_grip_is_the_lesser_in_low_range(self) -> None:
        assert abs(ENGINE - 6962.5) < 0.1
        assert REAR < ENGINE


def test_little_engine_is_the_limit() -> None:
    assert half_shaft_torque("open", 800.0, REAR, 1.0) == 400.0
    assert half_shaft_torque("locked", 800.0, REAR, 1.0) == 800.0


def test_limited_slip_lies_between_open_and_locked() -> None:
    assert half_shaft_torque("limited", ENGINE, REAR, 1.0) == half_shaft_torque("open", ENGINE, REAR, 1.0)
    assert half_shaft_torque("limited", ENGINE, REAR, 3.0) == pytest.approx(0.75 * REAR)


def test_unknown_differential() -> None:
    with pytest.raises(FormulaError, match="open, limited or locked, not 'welded'"):
        half_shaft_torque("welded", ENGINE, REAR, 1.0)


def test_straight_ahead_adds_nothing() -> None:
    assert front_half_shaft_torque(1000.0, 0.0) == 1000.0


def test_bore_takes_away() -> None:
    assert round_shaft_section_modulus(0.03, 0.01) < round_shaft_section_modulus(0.03)
    assert round_shaft_section_modulus(0.03, 0.0) == pytest.approx(pi * 0.03**3 / 16)
    with pytest.raises(NoSolution, match=r"shaft of 20\.0 mm cannot have a bore of 20\.0 mm"):
        round_shaft_section_modulus(0.02, 0.02)


def test_stress_at_the_yield_torque_is_the_yield_stress() -> None:
    assert shaft_shear_stress(shaft_yield_torque(0.026, 690e6), 0.026) == pytest.approx(690e6)
    assert shaft_diameter_needed(shaft_yield_torque(0.026, 690e6), 690e6) == pytest.approx(0.026)


def test_no_torque_no_twist() -> None:
    assert shaft_twist(0.0, 0.7, 0.026, 79e9) == 0.0


class TestJoint:
    """A cross of 18.5 mm trunnions; span, arm and strengths are chosen for a hand sum."""

    def test_bending_governs_a_long_trunnion(self) -> None:
        # Section modulus pi 18.5^3/32 = 621.6 mm3; 1 000 MPa over a 10 mm arm is 62.16 kN; over 70 mm 4 351 N m.
        assert joint_capacity(0.0185, 0.07, 0.010, 1000e6, 600e6) == pytest.approx(4351, abs=1)

    def test_shear_governs_a_short_one(self) -> None:
        # Area 268.8 mm2 at 3/4 of 600 MPa is 120.96 kN; over 70 mm 8 467 N m.
        assert joint_capacity(0.0185, 0.07, 0.002, 1000e6, 600e6) == pytest.approx(8467, abs=1)

    def test_angle_takes_the_cosine(self) -> None:
        straight = joint_capacity(0.0185, 0.07, 0.010, 1000e6, 600e6)
        assert joint_capacity(0.0185, 0.07, 0.010, 1000e6, 600e6, 0.5) == pytest.approx(straight * cos(0.5))
