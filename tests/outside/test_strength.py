"""Shafts and splines against textbook problems and published spline tables."""

from __future__ import annotations

from math import cos, degrees, pi, radians, sin, sqrt

import numpy as np
import pytest
from scipy.integrate import quad

from knowledge.formulas.axle_torque import engine_limited_axle_torque, grip_limited_axle_torque, half_shaft_torque
from knowledge.formulas.splines import (
    spline_major_diameter,
    spline_minor_diameter,
    spline_module,
    spline_pitch_diameter,
)
from knowledge.formulas.strength import (
    joint_capacity,
    round_shaft_section_modulus,
    safety_factor,
    shaft_diameter_needed,
    shaft_shear_stress,
    shaft_twist,
    shaft_yield_torque,
)

INCH = 0.0254
PER_24 = INCH / 24


def test_diameter_that_keeps_to_a_twist() -> None:
    # Textbook problem: 12 kN m over 6 m, 3 deg, G 83 GPa: at least 113.98 mm, and 41.28 MPa there.
    assert abs(degrees(shaft_twist(12e3, 6.0, 0.11398, 83e9)) - 3) <= 3 * 4 * 0.01 / 113.98
    assert abs(shaft_shear_stress(12e3, 0.11398) / 1e6 - 41.28) <= 0.02


@pytest.mark.parametrize(
    ("torque", "stress", "diameter", "tolerance"),
    [
        (5000.0, 65e6, 73.17, 0.01),  # course example, page 73.2
        (424.413, 75e6, 30.660, 0.001),  # course example
    ],
)
def test_diameter_that_keeps_to_a_stress(torque: float, stress: float, diameter: float, tolerance: float) -> None:
    assert abs(shaft_diameter_needed(torque, stress) * 1e3 - diameter) <= tolerance
    assert shaft_yield_torque(diameter / 1e3, stress) == pytest.approx(torque, rel=3 * tolerance / diameter)


def test_bore_half_the_outside() -> None:
    # Textbook problem 310: the strength is 15/16 of the solid shaft's.
    share = round_shaft_section_modulus(0.06, 0.03) / round_shaft_section_modulus(0.06)
    assert share == pytest.approx(0.9375, rel=1e-12)


def test_section_modulus_against_integration() -> None:
    # Torque is the integral of the stress, rising from the middle, times its radius.
    outer, bore = 0.0155, 0.004
    per_stress = quad(lambda r: r / outer * r * 2 * pi * r, bore, outer)[0]
    assert round_shaft_section_modulus(2 * outer, 2 * bore) == pytest.approx(per_stress, rel=1e-10)


@pytest.mark.parametrize(
    ("teeth", "major", "pitch", "minor"),
    # ANSI B92.1, 24/48 pitch, 30 deg flat root: D = N/P, Do = (N + 1)/P, Dre = (N - 1.35)/P (from memory), in inches.
    [
        (24, 1.0417, 1.0000, 0.9437),
        (26, 1.1250, 1.0833, 1.0271),
        (27, 1.1667, 1.1250, 1.0687),
        (28, 1.2083, 1.1667, 1.1104),
        (29, 1.2500, 1.2083, 1.1521),
        (30, 1.2917, 1.2500, 1.1937),
        (31, 1.3333, 1.2917, 1.2354),
        (32, 1.3750, 1.3333, 1.2771),
        (35, 1.5000, 1.4583, 1.4021),
    ],
)
def test_axle_splines(teeth: int, major: float, pitch: float, minor: float) -> None:
    assert abs(spline_major_diameter(teeth, PER_24) / INCH - major) <= 0.0001
    assert abs(spline_pitch_diameter(teeth, PER_24) / INCH - pitch) <= 0.0001
    assert abs(spline_minor_diameter(teeth, PER_24) / INCH - minor) <= 0.0001
    # and back: the printed outside diameter names the pitch, 24 an inch.
    assert INCH / spline_module(teeth, major * INCH) == pytest.approx(24, abs=0.003)


def test_trade_sizes_of_axle_splines() -> None:
    # Common practice, no source: 27 about 1.17 in, 28 1.20, 30 1.29, 31 1.33, 35 1.50.
    for teeth, inches in [(27, 1.17), (28, 1.20), (30, 1.29), (31, 1.33), (35, 1.50)]:
        assert abs(spline_major_diameter(teeth, PER_24) / INCH - inches) <= 0.01


def test_metric_module_spline() -> None:
    # ISO 4156, 30 deg, module 1, 30 teeth: m (Z + 1).
    assert spline_major_diameter(30, 0.001) == pytest.approx(0.031, rel=1e-12)


def test_30_against_27_teeth() -> None:
    # (28.65/25.65) cubed.
    steel = 1e9
    strong, weak = (shaft_yield_torque(spline_minor_diameter(n, PER_24), steel) for n in (30, 27))
    assert abs(strong / weak - 1.3935) <= 0.0001


def test_axle_torque_by_engine() -> None:
    # 300 N m, ratios 4.0, 2.5, 4.0, efficiency 0.85.
    assert engine_limited_axle_torque(300, 4.0, 2.5, 4.0, 0.85) == pytest.approx(10200, rel=1e-12)


def test_axle_torque_by_grip() -> None:
    # 9000 N on the axle, mu 0.8, radius 0.38 m.
    assert grip_limited_axle_torque(9000, 0.8, 0.38) == pytest.approx(2736, rel=1e-12)


@pytest.mark.parametrize("bias", [1.0, 2.5, 4.0])
def test_limited_slip_against_a_search_over_load_splits(bias: float) -> None:
    """Every split of the axle's load: a shaft bears its wheel's grip, and at most the bias times the other's."""
    grip = 3000.0
    worst = max(min(share * grip, bias * (1 - share) * grip) for share in np.linspace(0, 1, 100001))
    assert half_shaft_torque("limited", 1e5, grip, bias) == pytest.approx(worst, rel=1e-4)


def test_peak_of_a_steered_half_shaft() -> None:
    # Handbook's least speed ratio at 33 deg, cos 33 = 0.83867: the torque goes as its inverse.
    from knowledge.formulas.axle_torque import front_half_shaft_torque
    from knowledge.formulas.joint_motion import joint_speed_ratio

    lock = radians(33)
    slowest = min(joint_speed_ratio(lock, float(t)) for t in np.linspace(0, pi, 721))
    assert front_half_shaft_torque(1000.0, lock) == pytest.approx(1000.0 / slowest, rel=1e-12)


def greatest_moment_on_a_cross(angle: float, torque: float = 1.0) -> float:
    """Greatest moment the cross of a joint bears over a turn.

    Pins without friction bear no moment about themselves, so that on the cross it lies along the normal to both, and
    its part along the driving shaft is the driving torque.
    """
    greatest = 0.0
    for turned in np.linspace(0, pi, 2001):
        driving_pin = np.array([0.0, cos(turned), sin(turned)])
        driven_shaft = np.array([cos(angle), 0.0, sin(angle)])
        driven_pin = np.cross(driven_shaft, driving_pin)  # square to the driven shaft and to the other pin
        normal = np.cross(driving_pin, driven_pin)
        normal /= np.linalg.norm(normal)
        greatest = max(greatest, torque / abs(float(normal[0])))
    return greatest


@pytest.mark.parametrize("angle_deg", [0.0, 3.0, 10.0, 25.0])
@pytest.mark.parametrize("arm", [0.004, 0.009, 0.014])
def test_what_a_cross_bears_by_integrating_over_its_section(angle_deg: float, arm: float) -> None:
    """A trunnion as a cantilever: stress from bending by its second moment, from shear by V Q / (I b), both summed.

    The moment on the cross is followed round a whole turn.  Equilibrium; Shigley, chapter 3 (memory).
    """
    d, span, tensile, shear, angle = 0.0165, 0.064, 900e6, 520e6, radians(angle_deg)
    second = d**4 * quad(lambda y: 2 * y * y * sqrt(max(0.0, 0.25 - y * y)), -0.5, 0.5)[0]
    half = d**3 * quad(lambda y: 2 * y * sqrt(max(0.0, 0.25 - y * y)), 0, 0.5)[0]  # first moment above the middle
    force = greatest_moment_on_a_cross(angle) / span  # on each trunnion of a pair, for 1 N m of driving torque
    bending = force * arm * (d / 2) / second
    sheared = force * half / (second * d)
    expected = min(tensile / bending, shear / sheared)
    assert joint_capacity(d, span, arm, tensile, shear, angle) == pytest.approx(expected, rel=1e-6)


def test_shaft_power_goes_through_a_joint_at_an_angle() -> None:
    """The driven shaft's greatest torque is the driving one's over the cosine: the least of its speed (D-02)."""
    angle = radians(10)
    slowest = min(cos(angle) / (1 - (sin(angle) * cos(t)) ** 2) for t in np.linspace(0, pi, 721))
    assert greatest_moment_on_a_cross(angle) == pytest.approx(1 / slowest, rel=1e-9)


def test_safety_is_the_load_that_just_yields_over_the_load() -> None:
    """By raising the load until the surface stress of the shaft is the yield stress: a search, not a quotient."""
    d, strength, demand = 0.0297, 480e6, 1450.0
    grown = np.linspace(1.0, 3.0, 200001)
    stress = grown * demand / (pi / 16 * d**3)
    expected = float(grown[np.searchsorted(stress, strength)])
    assert safety_factor(shaft_yield_torque(d, strength), demand) == pytest.approx(expected, abs=2e-5)
