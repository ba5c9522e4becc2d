"""Leaf springs against handbooks, textbook problems and beam theory."""

from math import sin

import numpy as np
import pytest
from scipy.integrate import cumulative_trapezoid, quad
from scipy.optimize import brentq

from knowledge.formulas.laminated import (
    full_length_leaf_stress,
    leaf_effective_span,
    quarter_elliptic_rate,
    quarter_elliptic_stress,
    semi_elliptic_rate,
)
from knowledge.formulas.leaf_limits import leaf_stress, leaf_stress_at_metal
from knowledge.formulas.leaf_pack import leaf_equivalent_thickness, leaf_second_moment
from knowledge.formulas.leaves import (
    leaf_arch_under_load,
    leaf_chord,
    leaf_deflection,
    leaf_deflection_two_stage,
    leaf_rate,
    leaf_ride_lift,
)

YOUNG = 207e9  # Shigley's Mechanical Engineering Design, table A-5, carbon steel.
HANDBOOK = {"leaves": 4, "width": 0.0635, "thickness": 0.007}


def test_quarter_elliptic() -> None:
    # Mechanical Engineer's Data Handbook, 1.5.2: E n b t^3 / (6 L^3) with n 4, b 63.5, t 7, L 600: 13.915 N/mm.
    assert quarter_elliptic_rate(YOUNG, length=0.6, **HANDBOOK) / 1e3 == pytest.approx(13.915, abs=0.001)
    # Same section: 6 W L / (n b t^2) at 1000 N: 289.25 MPa.
    assert quarter_elliptic_stress(1000.0, length=0.6, **HANDBOOK) / 1e6 == pytest.approx(289.25, abs=0.01)


def test_semi_elliptic_is_two_quarters() -> None:
    # Same handbook: 8 E n b t^3 / (3 L^3) over the full span of 1200 mm: 27.831 N/mm.
    assert semi_elliptic_rate(YOUNG, span=1.2, **HANDBOOK) / 1e3 == pytest.approx(27.831, abs=0.001)


def test_rate_with_equal_halves_is_the_uniform_strength_beam() -> None:
    # SAE HS-788 basis, 32 E I / L^3 at a stiffening factor of 1: the same 27.831 N/mm.
    second_moment = leaf_second_moment(**HANDBOOK)
    assert leaf_rate(second_moment, 0.6, 0.6, 0.0, YOUNG, 1.0) / 1e3 == pytest.approx(27.831, abs=0.001)


def test_stress_with_equal_halves_is_the_handbooks() -> None:
    # 1000 N at each eye is 2000 N at the axle: the 289.25 MPa of the handbook's 6 W L / (n b t^2).
    stress = leaf_stress(2000.0, 0.6, 0.6, 0.0, 0.007, leaf_second_moment(**HANDBOOK))
    assert stress / 1e6 == pytest.approx(289.25, abs=0.01)


def test_effective_span() -> None:
    # Course notes on leaf springs, 2 L = 2 L1 - 2/3 l: eyes 1100 mm apart, U-bolts 80 mm apart: 1046.67 mm.
    assert leaf_effective_span(1.1, 0.08) * 1e3 == pytest.approx(1046.67, abs=0.01)


def test_thickness_with_full_length_leaves() -> None:
    # Textbook problem: 6000 N, 7 leaves of which 2 full, 65 mm wide, 350 MPa, effective span 1046.67 mm: 8.811 mm.
    half = leaf_effective_span(1.1, 0.08) / 2
    thickness = brentq(lambda t: full_length_leaf_stress(3000.0, 5, 2, 0.065, t, half) - 350e6, 0.002, 0.03)
    assert thickness * 1e3 == pytest.approx(8.811, abs=0.002)


def test_thickness_from_stress_and_deflection_at_once() -> None:
    # Textbook example (from memory): 140 kN on four springs, 10 leaves, half span 500, 600 MPa, 80 mm, 200 GPa:
    # b t^2 = 8750 mm3 and b t^3 = 82 031 mm4, hence t = 9.375 mm.
    load = 140e3 / 4 / 2

    def excess(thickness: float) -> float:
        width = 8750e-9 / thickness**2
        return load / quarter_elliptic_rate(200e9, 10, width, thickness, 0.5) - 0.080

    thickness = brentq(excess, 0.005, 0.02)
    assert thickness * 1e3 == pytest.approx(9.375, abs=0.001)
    width = 8750e-9 / thickness**2
    assert quarter_elliptic_stress(load, 10, width, thickness, 0.5) / 1e6 == pytest.approx(600, rel=1e-9)
    assert width * thickness**3 * 1e12 == pytest.approx(82031, abs=1)


def test_offset_axle_pad() -> None:
    # Beam theory, 3 E I L / (a^2 b^2) against 48 E I / L^3: pad at 500/700 mm of 1200 mm, 1.0580.
    offset = leaf_rate(5e-9, 0.5, 0.7, 0.0, YOUNG, 1.0)
    assert offset / leaf_rate(5e-9, 0.6, 0.6, 0.0, YOUNG, 1.0) == pytest.approx(1.0580, abs=0.0001)


def test_thickness_counts_cubed() -> None:
    # (8/7)^3 = 1.4927.
    ratio = leaf_second_moment(4, 0.06, 0.008) / leaf_second_moment(4, 0.06, 0.007)
    assert ratio == pytest.approx(1.4927, abs=0.0001)


@pytest.mark.parametrize(("front", "rear"), [(0.545, 0.645), (0.6, 0.6), (0.4, 0.8)])
def test_rate_against_the_bending_integral(front: float, rear: float) -> None:
    # Castigliano: deflection at the load is the integral of M^2 / (F E I) over both halves.  Of a beam of uniform
    # strength I falls with M from the clamp to nothing at the eye.
    second_moment, load = 5.5e-9, 2400.0
    moment = load * front * rear / (front + rear)

    def half(length: float) -> float:
        bent = quad(lambda s: (moment * s / length) ** 2 / (YOUNG * second_moment * s / length), 0, length)[0]
        return float(bent) / load

    assert load / leaf_rate(second_moment, front, rear, 0.0, YOUNG, 1.0) == pytest.approx(half(front) + half(rear))


@pytest.mark.parametrize("arch", [0.001, 0.037, 0.133, -0.068, 0.3])
def test_chord_against_a_root_finder(arch: float) -> None:
    # Circular arc: sagitta R (1 - cos p), arc 2 R p, chord 2 R sin p; p found by bisection.
    length = 1.25
    p = brentq(lambda p: length / (2 * p) * 2 * np.sin(p / 2) ** 2 - abs(arch), 1e-9, 1.6, xtol=1e-15)
    assert leaf_chord(length, arch) == pytest.approx(length / p * sin(p), rel=1e-12)


def test_chord_of_a_sixth_of_a_circle() -> None:
    # A sixth of a circle of radius 1: arc pi/3, chord 1, rise 1 - cos 30 deg = 0.1339746.
    assert leaf_chord(np.pi / 3, 1 - np.sqrt(3) / 2) == pytest.approx(1.0, rel=1e-12)


def test_chord_against_an_integrated_arc() -> None:
    # The eye's place by adding up small pieces of an arc of constant curvature.
    length, half_angle = 1.25, 0.35
    along = np.linspace(0, length, 200_001)
    slope = half_angle - 2 * half_angle * along / length
    rise = cumulative_trapezoid(np.sin(slope), along, initial=0)
    assert leaf_chord(length, rise.max()) == pytest.approx(np.trapezoid(np.cos(slope), along), rel=1e-9)


def test_unequal_leaves_by_sharing_the_bending() -> None:
    """Leaves bent to one curvature share the moment by their stiffness: the sum is that of as many equal ones."""
    thicknesses, width, curvature = [0.007, 0.007, 0.006, 0.011], 0.0635, 0.4
    moment = sum(YOUNG * curvature * quad(lambda y: width * y * y * 1e9, -t / 2, t / 2)[0] / 1e9 for t in thicknesses)
    equal = leaf_second_moment(4, width, leaf_equivalent_thickness(*thicknesses))
    assert equal * YOUNG * curvature == pytest.approx(moment, rel=1e-9)


@pytest.mark.parametrize("load", [400.0, 2200.0, 3300.0, 6000.0])
def test_two_stages_by_least_energy(load: float) -> None:
    """Energy of the main leaves, of the overload leaf once it touches, and of the load, least on a grid."""
    first, second, gap = 22e3, 35e3, 0.12
    travel = np.linspace(0.0, 0.4, 4_000_001)
    energy = first * travel**2 / 2 + second * np.maximum(0.0, travel - gap) ** 2 / 2 - load * travel
    rest = float(travel[np.argmin(energy)])
    assert leaf_deflection_two_stage(load, first, second, gap) == pytest.approx(rest, abs=2e-7)
    if rest < gap:
        assert leaf_deflection(load, first) == pytest.approx(rest, abs=2e-7)
        assert leaf_arch_under_load(0.150, load, first) == pytest.approx(0.150 - rest, abs=2e-7)


def test_lift_of_a_leaf_and_a_block_as_heights() -> None:
    """Heights above the axle tube's seat: the body's eyes stand above it by the arch and by the block beneath."""
    stock_eyes, new_eyes = 0.0 + 0.018, 0.040 + 0.055
    assert leaf_ride_lift(0.055, 0.018, 0.040, 0.0) == pytest.approx(new_eyes - stock_eyes, rel=1e-12)


def test_stress_at_metal_by_bending_the_beam_there() -> None:
    """The stress of the load that a root finder needs to press the spring on by the travel to metal."""
    halves, second = {"front_half": 0.55, "rear_half": 0.70, "clamped_each_side": 0.04}, 6.2e-9
    rate = leaf_rate(second, **halves, young_modulus=206e9, stiffening=1.0)
    load, travel = 2400.0, 0.075
    pressed = brentq(lambda f: leaf_deflection(f, rate) - leaf_deflection(load, rate) - travel, load, 1e5, xtol=1e-9)
    # Beam theory: moment at the near edge of the clamp of a simply supported beam, times half the thickness over I.
    a, b = 0.51, 0.66
    moment = pressed * b / (a + b) * a
    expected = moment * 0.0035 / second
    found = leaf_stress_at_metal(load, rate, travel, **halves, thickness=0.007, second_moment=second)
    assert found == pytest.approx(expected, rel=1e-9)
