"""Coil springs against published examples and closed forms."""

from math import pi

import pytest
from scipy import constants
from scipy.optimize import brentq

from knowledge.formulas.coil_limits import coil_solid_length, coil_stress, coil_stress_factor
from knowledge.formulas.cut_coils import coil_cut_rate
from knowledge.formulas.seating import parallel_rate, series_rate, wheel_rate
from knowledge.formulas.springs import coil_deflection, coil_length, coil_mean_diameter, coil_rate

INCH = constants.inch
LBF = constants.lbf
PSI = constants.psi
LBF_PER_INCH = LBF / INCH

# Machine Elements in Mechanical Design, 4th ed., example on p. 751: wire 0.0625 in, index 9.60, 11.2e6 psi.
BOOK_WIRE = 0.0625 * INCH
BOOK_MEAN = 9.60 * BOOK_WIRE
BOOK_G = 11.2e6 * PSI


def test_active_coils_of_the_design_example() -> None:
    coils = brentq(lambda n: coil_rate(BOOK_WIRE, BOOK_MEAN, n, BOOK_G) - 8.0 * LBF_PER_INCH, 2, 30)
    # Machine Elements in Mechanical Design, 4th ed., p. 751, eq. 19-8: 12.36 active coils for 8.0 lbf/in.
    assert coils == pytest.approx(12.36, abs=0.01)


def test_solid_length_of_the_design_example() -> None:
    # Same page: squared and ground ends add two turns; solid length 0.898 in.
    solid = coil_solid_length(BOOK_WIRE, 12.36 + 2, "cold_ground")
    assert solid / INCH == pytest.approx(0.898, abs=0.001)


def test_force_and_stress_at_solid_of_the_design_example() -> None:
    solid = coil_solid_length(BOOK_WIRE, 12.36 + 2, "cold_ground")
    force = brentq(lambda f: coil_length(2.75 * INCH, f, 8.0 * LBF_PER_INCH) - solid, 1.0, 90.0)
    # Same page: free length 2.75 in, 14.8 lbf at solid (14.82 unrounded).
    assert force / LBF == pytest.approx(14.82, abs=0.02)
    # Same page: 86 450 psi at 12.0 lbf gives 106 750 psi at solid (106 757 unrounded).
    rise = coil_stress(force, BOOK_WIRE, BOOK_MEAN) / coil_stress(12.0 * LBF, BOOK_WIRE, BOOK_MEAN)
    assert 86450 * rise == pytest.approx(106757, rel=0.0005)
    # Same page: 86 450 psi itself, from the Wahl factor read off a chart, 0.8 % above ours at this index.
    assert coil_stress(12.0 * LBF, BOOK_WIRE, BOOK_MEAN) / PSI == pytest.approx(86450, rel=0.01)


def test_calculation_sheet() -> None:
    # Calculation sheet after Shigley's Mechanical Engineering Design, ch. 10: OD 24.75 mm, wire 2.5 mm, 16 active.
    mean = coil_mean_diameter(24.75e-3, 2.5e-3)
    rate = coil_rate(2.5e-3, mean, 16, 79.3e9)
    assert rate == pytest.approx(2197.0, abs=0.1)
    # Same sheet: factor for direct shear 1 + 0.5/C = 1.0562, and 378.65 MPa at 45 mm with that factor alone.
    direct_shear = 1 + 0.5 * 2.5e-3 / mean
    assert direct_shear == pytest.approx(1.0562, abs=0.0001)
    load = brentq(lambda f: coil_deflection(f, rate) - 0.045, 1.0, 1e3)
    plain = coil_stress(load, 2.5e-3, mean) / coil_stress_factor(2.5e-3, mean)
    assert plain * direct_shear / 1e6 == pytest.approx(378.65, abs=0.1)


def test_music_wire() -> None:
    # Shigley's Mechanical Engineering Design, example 10-1 (from memory): No. 16 music wire 0.037 in, outside 7/16 in,
    # 10.5 active, 11.85e6 psi: 4.13 lbf/in.
    mean = coil_mean_diameter(7 / 16 * INCH, 0.037 * INCH)
    assert coil_rate(0.037 * INCH, mean, 10.5, 11.85e6 * PSI) / LBF_PER_INCH == pytest.approx(4.13, abs=0.02)


def test_standard_rate() -> None:
    # EN 13906-1, R = G d^4 / (8 D^3 n): wire 15, mean diameter 130, 7.5 active, 79.3 GPa: 30.455 N/mm.
    rate = coil_rate(0.015, 0.130, 7.5, 79.3e9)
    assert rate / 1e3 == pytest.approx(30.455, abs=0.001)
    # The rate goes as 1/n: 35.140 N/mm with one active coil cut off.
    assert coil_cut_rate(rate, 7.5, 1.0) / 1e3 == pytest.approx(35.140, abs=0.001)


def test_exact_deflection_term() -> None:
    coils = brentq(lambda n: coil_rate(0.006, 0.050, n, 75e9) - 6e3, 2, 30)
    # The plain formula gives 16.200 coils for 6 N/mm; with the direct-shear term 1 + 1/(2 C^2), 16.0842 (asserted by
    # the test suite of the package me-toolbox 0.0.18).  Ours is the plain one, as in EN 13906-1.
    assert coils == pytest.approx(16.200, abs=0.0005)
    assert coils / (1 + 1 / (2 * (50 / 6) ** 2)) == pytest.approx(16.0842, abs=0.0001)


def test_shear_modulus_of_carbon_steel_is_inside_the_valid_range() -> None:
    from knowledge.formulas import formulas

    # Shigley's Mechanical Engineering Design, table A-5: 79.3 GPa for carbon steel; texts vary from 77 to 82.
    low, high = formulas()["coil_rate"].valid["shear_modulus"]
    assert low < 77e9 < 79.3e9 < 82e9 < high


@pytest.mark.parametrize("index", [4.0, 6.0, 8.0, 12.0, 20.0])
def test_stress_factor(index: float) -> None:
    factor = coil_stress_factor(0.010, 0.010 * index)
    # Shigley's Mechanical Engineering Design, eq. 10-6: (4C + 2)/(4C - 3).
    assert factor == pytest.approx((4 * index + 2) / (4 * index - 3), rel=1e-12)
    # Same, eq. 10-5, Wahl: (4C - 1)/(4C - 4) + 0.615/C; the text has them apart by the order of 1 %.
    assert factor == pytest.approx((4 * index - 1) / (4 * index - 4) + 0.615 / index, rel=0.015)


def test_stress_without_curvature_is_torsion_of_a_bar() -> None:
    # Mechanics of materials: a bar of diameter d under torque F D/2 has 16 T / (pi d^3).
    load, wire, mean = 3000.0, 0.014, 0.125
    bar = 16 * (load * mean / 2) / (pi * wire**3)
    assert coil_stress(load, wire, mean) / coil_stress_factor(wire, mean) == pytest.approx(bar, rel=1e-12)


def test_rate_is_the_twist_of_the_wire() -> None:
    # Mechanics of materials: the wire, pi D n long, twists by T l / (G J), and the spring closes by D/2 of it.
    wire, mean, coils, modulus, load = 0.0136, 0.125, 9.75, 78.5e9, 3046.0
    polar = pi * wire**4 / 32
    twist = load * mean / 2 * pi * mean * coils / (modulus * polar)
    assert coil_deflection(load, coil_rate(wire, mean, coils, modulus)) == pytest.approx(twist * mean / 2, rel=1e-12)


def test_springs_together() -> None:
    # Statics: 100 and 150 N/mm make 60 N/mm in series and 250 N/mm in parallel.
    assert series_rate(100e3, 150e3) == pytest.approx(60e3, rel=1e-12)
    assert parallel_rate(100e3, 150e3) == pytest.approx(250e3, rel=1e-12)
    # Virtual work: a motion ratio of 0.7 turns 30 N/mm into 14.7 N/mm at the wheel.
    assert wheel_rate(30e3, 0.7) == pytest.approx(14.7e3, rel=1e-12)
