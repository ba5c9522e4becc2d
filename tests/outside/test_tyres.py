"""Tyres against UN R30 and R54, the yearbooks, and published worked examples.

Ids are those of the project's list of check values; *memory* = the publication was not read.
"""

from __future__ import annotations

from itertools import pairwise
from math import pi

import pytest

from knowledge.formulas.tyre_radii import (
    revolutions_per_distance,
    tyre_effective_radius,
    tyre_loaded_radius_estimate,
    tyre_rolling_circumference,
)
from knowledge.formulas.tyre_ratings import (
    load_index_capacity,
    load_share_at_speed,
    speed_symbol_limit,
    tyre_axle_capacity,
)
from knowledge.formulas.tyres import (
    section_width_on_rim,
    tyre_free_diameter,
    tyre_rim_diameter,
    tyre_section_height,
)
from knowledge.standards import load_index_table, speed_symbol_table
from knowledge.standards.tyre_code import parse_tyre_code

MM = 1e-3
INCH = 0.0254
KMH = 1 / 3.6


@pytest.mark.parametrize(
    ("code", "mm"),
    [
        ("235/75R15", 733.5),  # T-01: UN R30 6.1.2, D = d + 2 H
        ("265/75R16", 803.9),  # T-03: UN R30 6.1.2
        ("205/65R15", 647.5),  # T-04: UN R30 6.1.2; a page that rounds H first prints 647
        ("245/70R16", 749.4),  # T-05: UN R30 6.1.2 with 16 in = 406.4 mm
        ("LT235/85R16", 805.9),  # T-06: UN R30 6.1.2
        ("31x10.50R15", 787.4),  # T-07: flotation designation, the first number is the diameter in inches
    ],
)
def test_overall_diameter(code: str, mm: float) -> None:
    assert tyre_free_diameter(code) / MM == pytest.approx(mm, abs=0.05)


def test_overall_diameter_in_inches() -> None:
    # T-02: a published explanation of 235/75R15 prints 28.88 in
    assert tyre_free_diameter("235/75R15") / INCH == pytest.approx(28.878, abs=0.005)


def test_overall_diameter_by_the_table_of_r30() -> None:
    # T-05: with the table's d = 406 the page read has 749
    assert tyre_free_diameter("245/70R16") / MM == pytest.approx(749, abs=0.5)


def test_flotation_section() -> None:
    assert tyre_section_height("31x10.50R15") / MM == pytest.approx(203.2, abs=0.05)  # T-08: (31 - 15)/2 in
    assert parse_tyre_code("31x10.50R15").aspect * 100 == pytest.approx(76.190, abs=0.005)  # T-09: (31 - 15)/2/10.5


@pytest.mark.parametrize(("rim", "table"), [(14, 356), (15, 381), (16, 406), (17, 432), (18, 457)])
def test_rim_codes(rim: int, table: int) -> None:
    # T-10: UN R30 table of rim codes (memory), which rounds to the millimetre
    assert tyre_rim_diameter(f"235/75R{rim}") / MM == pytest.approx(table, abs=0.5)


def test_section_on_a_wider_rim() -> None:
    # T-11: UN R30 6.1.1, S = S1 + 0.4 (A - A1) (memory)
    assert section_width_on_rim(235 * MM, 6.5 * INCH, 8.0 * INCH) / MM == pytest.approx(250.24, abs=0.05)


def test_revolutions_per_mile() -> None:
    # T-12: a rigid 31.0 in circle turns 63360/(pi 31) times a mile
    assert revolutions_per_distance(pi * 31 * INCH) * 1609.344 == pytest.approx(650.58, abs=0.05)


def test_rolling_circumference_from_a_loaded_radius() -> None:
    # T-13: published worked example, 215/65R15 with 0.96 of the free radius (it prints 1991.01 with pi = 3.14)
    loaded = tyre_loaded_radius_estimate(tyre_free_diameter("215/65R15"))
    assert 2 * pi * loaded / MM == pytest.approx(1992.02, abs=0.05)


def test_rolling_circumference_of_the_yearbook() -> None:
    # T-14: ETRTO, CR = 3.05 D for radials (memory); T-15: the same as a radius ratio, 3.05/pi
    assert tyre_rolling_circumference(733.5 * MM) / MM == pytest.approx(2237.2, abs=0.1)
    assert tyre_effective_radius(733.5 * MM) / (733.5 * MM / 2) == pytest.approx(0.97085, abs=5e-5)


def test_true_speed_on_larger_tyres() -> None:
    # T-16: ratio of diameters
    stock, tall = tyre_effective_radius(tyre_free_diameter("235/75R15")), tyre_effective_radius(787.4 * MM)
    assert 100 * tall / stock == pytest.approx(107.348, abs=0.005)


@pytest.mark.parametrize(("index", "kg"), [(91, 615), (104, 900), (126, 1700)])
def test_load_index(index: int, kg: float) -> None:
    assert load_index_capacity(index) == kg  # T-20, T-21, T-22: UN R30 annex 4, UN R54 annex 4


def test_load_index_is_a_series_of_preferred_numbers() -> None:
    # T-23: UN R30/R54, 80 indices are a factor of ten, the low part rounded to 0.5 or 1 kg
    low = load_index_table()
    assert max(abs(low[i + 80] / 10 - low[i]) for i in range(47)) <= 0.5


def test_load_index_rises_strictly() -> None:
    # T-24: 67 rows from 60 to 126
    loads = [load_index_capacity(i) for i in range(60, 127)]
    assert len(loads) == 67
    assert all(a < b for a, b in pairwise(loads))


@pytest.mark.parametrize(
    ("first", "loads"),
    [
        (60, (250, 257, 265, 272, 280, 290, 300, 307, 315, 325, 335, 345)),
        (72, (355, 365, 375, 387, 400, 412, 425, 437, 450, 462, 475, 487)),
        (84, (500, 515, 530, 545, 560, 580, 600, 615, 630, 650, 670, 690)),
        (96, (710, 730, 750, 775, 800, 825, 850, 875, 900, 925, 950, 975)),
        (108, (1000, 1030, 1060, 1090, 1120, 1150, 1180, 1215, 1250, 1285, 1320, 1360)),
        (120, (1400, 1450, 1500, 1550, 1600, 1650, 1700)),
    ],
)
def test_load_index_table(first: int, loads: tuple[int, ...]) -> None:
    # UN R30 annex 4 as listed beside the check values (120 to 126 memory)
    assert tuple(load_index_capacity(first + i) for i in range(len(loads))) == loads


def test_axle_of_two_tyres() -> None:
    # T-25: a published table, two tyres of index 96 carry 1420 kg
    assert tyre_axle_capacity(96, "LT") == 1420
    # 49 CFR 571.110 and 571.120, agency interpretation: passenger tyres carry 1/1.10 of it on a 4x4
    assert tyre_axle_capacity(96, "P") * 1.10 == pytest.approx(1420)


@pytest.mark.parametrize(("symbol", "kmh", "share"), [("V", 240, 0.91), ("W", 270, 0.85)])
def test_load_at_the_symbols_highest_speed(symbol: str, kmh: float, share: float) -> None:
    assert load_share_at_speed(symbol, kmh * KMH) == pytest.approx(share)  # T-26, T-27: UN R30 2.31


@pytest.mark.parametrize(
    ("symbol", "kmh"),
    list(zip("FGJKLMNPQRSTUHVWY", (*range(80, 91, 10), *range(100, 211, 10), 240, 270, 300), strict=True)),
)
def test_speed_symbol(symbol: str, kmh: float) -> None:
    # UN R30 2.29: from F every letter is 10 km/h, less I, O and X, with H standing at 210 and then V, W, Y
    assert speed_symbol_limit(symbol) == pytest.approx(kmh * KMH)


def test_slowest_symbol_for_a_4x4_in_one_state() -> None:
    # T-28: Road Traffic (Vehicles) Rules, Western Australia, r. 46(3): 140 km/h for a four-wheel off-road car
    enough = [symbol for symbol, speed in speed_symbol_table().items() if speed >= 140 * KMH - 1e-9]
    assert enough[0] == "N"
