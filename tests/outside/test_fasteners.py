"""Bolts and tapers against a design text's example and published tables."""

from __future__ import annotations

from math import degrees

import numpy as np
import pytest

from knowledge.formulas.bolted_joints import bolt_stress, joint_constant, share_of_proof, ubolt_clamp
from knowledge.formulas.fasteners import (
    nut_factor,
    preload_from_torque,
    proof_load,
    tensile_stress_area,
    torque_from_friction,
    torque_from_preload,
)
from knowledge.formulas.tapers import (
    taper_angle_between,
    taper_between,
    taper_included_angle,
    taper_large_end,
    taper_stand_out,
)
from knowledge.standards.fastening import grade, threads

INCH = 0.0254
LBF = 4.4482216152605
KPSI = 1000 * LBF / INCH**2
LBF_IN = LBF * INCH
LBF_FT = LBF_IN * 12


class TestDesignTextExample:
    """Shigley, Mechanical Engineering Design, example 8-3: 3/4-16 UNF, preload 25 kip, 6 kip outside."""

    area = 0.373 * INCH**2
    preload = 25e3 * LBF

    def test_preload_stress(self) -> None:
        assert abs(bolt_stress(self.preload, 0.0, 0.32, self.area) / KPSI - 67.02) <= 0.01

    def test_joint_constant(self) -> None:
        rate = LBF / INCH
        assert abs(joint_constant(6.50e6 * rate, 13.8e6 * rate) - 0.320) <= 0.0005

    def test_stress_under_load(self) -> None:
        assert abs(bolt_stress(self.preload, 6e3 * LBF, 0.32, self.area) / KPSI - 72.17) <= 0.01

    def test_torque_by_nut_factor(self) -> None:
        # Part (b), eq. 8-27.
        assert torque_from_preload(self.preload, 0.20, 0.75 * INCH) / LBF_IN == pytest.approx(3750, rel=1e-12)

    def test_torque_by_friction(self) -> None:
        # Part (c), eq. 8-26, f = fc = 0.15: 3551 lbf in, which is K = 0.18938.
        d = 0.75 * INCH
        torque = torque_from_friction(self.preload, d, INCH / 16, 0.15, 0.15, 1.25 * d)
        assert abs(torque / LBF_IN - 3551) <= 2
        assert nut_factor(torque, self.preload, d) == pytest.approx(0.18938, abs=0.0001)


def test_unified_stress_area() -> None:
    # ASME B1.1: pi/4 (d - 0.9743/n)^2, 1/2-20.
    assert abs(tensile_stress_area("unified", 0.5 * INCH, INCH / 20) / INCH**2 - 0.1599) <= 0.0001


def test_metric_stress_area() -> None:
    # ISO 898-1: pi/4 (d - 0.9382 P)^2, M12 x 1.75.
    assert abs(tensile_stress_area("metric", 0.012, 0.00175) * 1e6 - 84.27) <= 0.01


@pytest.mark.parametrize("name", sorted(threads()))
def test_published_stress_areas(name: str) -> None:
    # Tables after ASME B1.1 and ISO 898-1, printed to three or four figures.
    thread = threads()[name]
    assert tensile_stress_area(thread.form, thread.major, thread.pitch) == pytest.approx(thread.stress_area, rel=0.004)


def test_m12_class_10_9() -> None:
    area, strength = 84.3e-6, grade("ISO 898-1 class 10.9", 0.012)
    assert abs(proof_load(area, strength.proof) - 69969) <= 50  # ISO 898-1, table of proof loads: 70 000
    assert abs(proof_load(area, strength.tensile) - 87672) <= 50  # ISO 898-1: 84.3 x 1040, table 87 700


def test_preload_of_an_m10() -> None:
    # Worked example: K 0.20, 50 N m, 25 kN, 431 MPa on 58 mm2.
    preload = preload_from_torque(50, 0.20, 0.010)
    assert preload == pytest.approx(25000, rel=1e-12)
    assert bolt_stress(preload, 0, 0, 58e-6) / 1e6 == pytest.approx(431, abs=0.5)


def test_torque_of_an_m12_at_70_per_cent() -> None:
    # Worked example: class 8.8 at 70 % of proof, K 0.20: 82 N m.
    m12 = threads()["M12x1.75"]
    preload = 0.7 * proof_load(m12.stress_area, grade("ISO 898-1 class 8.8", m12.major).proof)
    assert abs(torque_from_preload(preload, 0.20, m12.major) - 82.1) <= 0.2


@pytest.mark.parametrize(
    ("thread", "name", "torque", "tolerance"),
    # T = K F d at 75 % of proof, K 0.20, areas and proof strengths as printed in inches.
    [("1/2-20", "SAE J429 grade 8", 119.9, 0.1), ("7/16-20", "SAE J429 grade 5", 55.18, 0.02)],
)
def test_torque_of_unified_bolts(thread: str, name: str, torque: float, tolerance: float) -> None:
    bolt = threads()[thread]
    strength = {"SAE J429 grade 8": 120 * KPSI, "SAE J429 grade 5": 85 * KPSI}[name]
    assert grade(name, bolt.major).proof == pytest.approx(strength, abs=0.5e6)  # the table rounds to the MPa
    preload = 0.75 * proof_load(bolt.stress_area, strength)
    assert abs(torque_from_preload(preload, 0.20, bolt.major) / LBF_FT - torque) <= tolerance
    assert share_of_proof(preload, bolt.stress_area, strength) == pytest.approx(0.75, rel=1e-12)


def test_two_u_bolts_clamp_as_four_bolts() -> None:
    # The M10 example's 25 kN, four legs.
    assert ubolt_clamp(50, 0.20, 0.010, 4) == pytest.approx(100e3, rel=1e-12)


@pytest.mark.parametrize(
    ("taper", "angle"),
    [
        (1.5 / 12, 7.1527),  # 1.5 in per foot, SAE J491 practice: 2 atan(1.5/24)
        (1 / 8, 7.1527),  # 1:8, the same cone
        (1 / 10, 5.7248),  # 1:10
        (2 / 12, 9.5273),  # 2 in per foot
    ],
)
def test_taper_angles(taper: float, angle: float) -> None:
    assert abs(degrees(taper_included_angle(taper)) - angle) <= 0.0005
    large, length = 0.020, 0.018
    assert abs(degrees(taper_angle_between(large, large - taper * length, length)) - angle) <= 0.0005


def test_large_end() -> None:
    # Small end 0.500 in, 0.75 in long at 1.5 in/ft: 0.125 in per in.
    assert abs(taper_large_end(0.5 * INCH, 0.125, 0.75 * INCH) / INCH - 0.59375) <= 1e-6


def test_taper_as_the_slope_of_a_drawn_cone() -> None:
    """A line fitted by numpy through the diameters of a cone of 1.5 in per foot (SAE J491 practice, from memory)."""
    along = np.linspace(0.0, 0.75, 16)  # in
    diameters = 0.5 + 1.5 / 12 * along
    slope = float(np.polyfit(along, diameters, 1)[0])
    assert taper_between(diameters[-1] * INCH, diameters[0] * INCH, 0.75 * INCH) == pytest.approx(slope, rel=1e-9)


@pytest.mark.parametrize(("pin", "bore"), [(0.0158, 0.0156), (0.0156, 0.0158), (0.0156, 0.0156)])
def test_a_pin_seats_where_its_diameter_is_the_bores(pin: float, bore: float) -> None:
    """Diameter against depth by interpolation: the pin goes in until, at the bore's face, it is as thick as the bore.

    0.1 mm too thick at 1:8 stands 0.8 mm out: a ball joint's nut runs on 1 mm or so (common practice, no source).
    """
    depth = np.linspace(-0.01, 0.01, 20001)  # into the bore, from the pin's large end
    thickness = pin - depth / 8  # of the pin at that depth
    seated = float(np.interp(-bore, -thickness, depth))  # how far the large end stands above the face
    assert taper_stand_out(pin, bore, 1 / 8) == pytest.approx(seated, abs=1e-9)
