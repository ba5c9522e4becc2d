"""Tie rods: limit cases, refusals, and the reference car."""

from __future__ import annotations

import pytest

from knowledge.formulas.tie_rods import tie_rod_buckling, tie_rod_safety, tie_rod_slenderness
from shared.errors import NoSolution

ROD = (0.028, 0.019, 1.15)  # the reference car: 28 x 4.5 mm tube, 1 150 mm


def test_reference_car() -> None:
    # Euler 36.4 kN (E 205 GPa), link force 12.0 kN: 3.0.
    assert round(tie_rod_buckling(*ROD, 205e9) / 1e3, 1) == 36.4
    assert round(tie_rod_safety(*ROD, 205e9, 350e6, 12000), 1) == 3.0
    assert tie_rod_slenderness(*ROD) > 100


def test_stocky_rod_is_governed_by_yield() -> None:
    # 30 mm solid, 300 mm long: slenderness 40; area 706.86 mm2 at 350 MPa is 247.4 kN, of which the parabola takes
    # (350 x 40 / 2 pi)^2 / 207 000 = 24.0 MPa, so that 326.0 MPa and 230.4 kN are left.
    assert tie_rod_slenderness(0.03, 0.0, 0.3) == pytest.approx(40)
    assert tie_rod_safety(0.03, 0.0, 0.3, 207e9, 350e6, 1000) == pytest.approx(230.4, abs=0.05)


def test_half_the_length_is_four_times_as_strong() -> None:
    assert tie_rod_buckling(0.028, 0.019, 0.575, 205e9) == pytest.approx(4 * tie_rod_buckling(*ROD, 205e9))


def test_bore_wider_than_the_tube() -> None:
    for asked in (
        lambda: tie_rod_buckling(0.02, 0.021, 1.0, 207e9),
        lambda: tie_rod_slenderness(0.02, 0.021, 1.0),
        lambda: tie_rod_safety(0.02, 0.021, 1.0, 207e9, 3e8, 1e3),
    ):
        with pytest.raises(NoSolution, match=r"tube of 20\.0 mm cannot have a bore of 21\.0 mm"):
            asked()
