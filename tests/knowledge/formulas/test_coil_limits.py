from math import pi

import pytest

from knowledge.formulas.coil_limits import (
    coil_bind_margin,
    coil_gap_needed,
    coil_solid_length,
    coil_stress,
    coil_stress_factor,
)
from shared.errors import FormulaError, NoSolution


def test_reference_coil() -> None:
    # Reference car: wire 14, mean diameter 125, 9 active of 10.5 coils: solid 162.4, gap needed 25.0 mm.
    assert coil_solid_length(0.014, 10.5) * 1e3 == pytest.approx(162.4)
    assert coil_gap_needed(0.014, 0.125, 9.0) * 1e3 == pytest.approx(25.0, abs=0.05)
    # At metal 190 mm long: 27.6 mm above solid, 2.6 in hand.
    assert coil_bind_margin(0.190, 0.1624, 0.0) * 1e3 == pytest.approx(27.6)
    assert coil_bind_margin(0.190, 0.1624, 0.025) * 1e3 == pytest.approx(2.6)


def test_reference_stress() -> None:
    # By hand at 3046 N: w = 8.9286, k_w = 9.4286/8.1786 = 1.1528, 8 x 3046 x 125 x 1.1528 / (pi x 2744) = 407.3 MPa.
    assert coil_stress(3046, 0.014, 0.125) / 1e6 == pytest.approx(407.3, abs=0.1)


def test_stress_factor_dies_out_in_a_wide_coil() -> None:
    assert coil_stress_factor(0.001, 0.5) == pytest.approx(1.0, abs=0.003)
    # There the stress is that of a straight bar in torsion.
    assert coil_stress(100, 0.001, 0.5) == pytest.approx(100 * 0.25 * 16 / (pi * 0.001**3), rel=0.003)


@pytest.mark.parametrize(
    ("ends", "turns"), [("hot_unground", 11.6), ("hot_ground", 10.2), ("cold_unground", 12.0), ("cold_ground", 10.5)]
)
def test_ends(ends: str, turns: float) -> None:
    assert coil_solid_length(0.01, 10.5, ends) == pytest.approx(turns * 0.01)


def test_no_load_no_stress() -> None:
    assert coil_stress(0.0, 0.014, 0.125) == 0.0


def test_what_does_not_exist() -> None:
    with pytest.raises(NoSolution, match="spring index"):
        coil_stress(100, 0.02, 0.03)
    with pytest.raises(FormulaError, match="ends are one of"):
        coil_solid_length(0.014, 10.5, "curly")
