"""Coil springs against published examples and closed forms."""

from math import pi

import numpy as np
import pytest
from scipy import constants
from scipy.optimize import brentq

from knowledge.formulas.coil_limits import (
    coil_bind_margin,
    coil_gap_needed,
    coil_solid_length,
    coil_stress,
    coil_stress_factor,
)
from knowledge.formulas.cut_coils import coil_cut_free_length, coil_cut_rate
from knowledge.formulas.damping import damping_at_wheel
from knowledge.formulas.seating import (
    coil_length_at_metal,
    coil_preload_at_droop,
    coil_ride_lift,
    coil_seat_load,
    parallel_rate,
    series_rate,
    wheel_rate,
)
from knowledge.formulas.springs import (
    coil_deflection,
    coil_length,
    coil_mean_diameter,
    coil_rate,
    coil_rate_measured,
)

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


# A corner with its coil on a lever: the coil moves 0.8 of what the wheel does.
CORNER, LEVER, STOCK, LONGER = 3100.0, 0.8, (30.5e3, 0.412), (27.0e3, 0.480)


def at_rest(rate: float, free: float, under: float) -> float:
    """Height of the body over the wheel where forces balance: least potential energy, on a grid that closes in.

    The coil's seats stand ``under`` farther apart by what lies between them; at height 0 they are 0.30 m apart.
    """

    def energy(height: np.ndarray) -> np.ndarray:
        squeezed = free - (0.30 + LEVER * height - under)
        return CORNER * height + rate * squeezed**2 / 2

    low, high = -0.5, 0.8
    for _ in range(12):
        heights = np.linspace(low, high, 201)
        best = int(np.argmin(energy(heights)))
        low, high = heights[max(0, best - 2)], heights[min(200, best + 2)]
    return float((low + high) / 2)


def test_lift_of_a_longer_coil_and_a_spacer_by_least_energy() -> None:
    stock, lifted = at_rest(*STOCK, 0.010), at_rest(*LONGER, 0.030)
    seat = coil_seat_load(CORNER, LEVER)
    lengths = [coil_length(free, seat, rate) for rate, free in (STOCK, LONGER)]
    lift = coil_ride_lift(lengths[1], lengths[0], 0.030, 0.010, LEVER)
    assert lift == pytest.approx(lifted - stock, abs=1e-6)
    # Squeezed by 70 mm of wheel travel to metal, and let down by 110 mm: lengths between the seats as they then stand.
    between = 0.30 + LEVER * (lifted - 0.070) - 0.030
    assert coil_length_at_metal(lengths[1], 0.070, LEVER) == pytest.approx(between, abs=1e-6)
    room = 0.30 + LEVER * (lifted + 0.110) - 0.030
    assert coil_preload_at_droop(LONGER[1], lengths[1], 0.110, LEVER) == pytest.approx(LONGER[1] - room, abs=1e-6)


def test_seat_load_and_wheel_damping_by_work() -> None:
    """Over a small travel of the wheel, the coil does the wheel's work and the damper takes the wheel's power."""
    travel, speed, damping = 1e-6, 0.3, 1800.0
    assert coil_seat_load(CORNER, LEVER) * LEVER * travel == pytest.approx(CORNER * travel, rel=1e-12)
    along_the_rod = LEVER * speed
    assert damping_at_wheel(damping, LEVER) * speed**2 == pytest.approx(damping * along_the_rod**2, rel=1e-12)


def test_rate_from_two_lengths_by_a_fitted_line() -> None:
    """numpy fits force against length through the free coil and the loaded one: the slope is the rate."""
    slope = -np.polyfit([0.412, 0.3105], [0.0, 3100.0], 1)[0]
    assert coil_rate_measured(3100.0, 0.412, 0.3105) == pytest.approx(slope, rel=1e-9)


@pytest.mark.parametrize("cut", [0.5, 1.0, 2.25])
def test_free_length_of_a_coil_cut_from_its_helix(cut: float) -> None:
    """The wire's centre line drawn as points over the active turns, two ends turns flat: cut, the rest measured."""
    wire, active, free = 0.014, 7.5, 0.390
    dead = 2.0
    solid = (active + dead) * wire
    pitch = (free - dead * wire) / active  # rise a turn, which takes its wire and its gap
    helix = np.linspace(0.0, active, 7501)
    rise = helix * pitch
    left = np.interp(active - cut, helix, rise) + dead * wire
    assert coil_cut_free_length(free, solid, wire, active, cut) == pytest.approx(left, abs=1e-9)


def test_room_above_solid() -> None:
    """EN 13906-1:2013, 9.9 (read in a program written to it): hot coiled, 0.02 n (D + d); 7.5 coils of 14 on 130 mm."""
    assert coil_gap_needed(0.014, 0.130, 7.5) == pytest.approx(7.5 * 0.00288, rel=1e-12)
    # Squeezed on from 190 mm by a testing machine in steps of 0.01 mm, until 9.6 turns and that gap are all there is.
    limit = coil_solid_length(0.014, 8.5) + 0.0216
    steps = np.arange(0.190, 0.100, -1e-5)
    travelled = 0.190 - steps[np.argmax(steps <= limit)]
    assert coil_bind_margin(0.190, coil_solid_length(0.014, 8.5), 0.0216) == pytest.approx(float(travelled), abs=1.1e-5)
