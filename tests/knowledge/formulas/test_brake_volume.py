"""Fluid volumes: limits and errors."""

from __future__ import annotations

from math import pi

import pytest

from knowledge.formulas.brake_volume import (
    circuit_compliance,
    master_stroke_share,
    pedal_travel,
    pedal_volume,
    reservoir_displacement,
)
from shared.errors import FormulaError, NoSolution


def test_nothing_moves_nothing_is_taken() -> None:
    assert pedal_volume(0.06, 1, 0.0, 0.02, 2, 0.0, 0.0, 65e5) == 0.0


def test_reservoir_by_hand() -> None:
    """Two calipers of 60 mm wearing 20 mm of piston travel: 2 x 2827.43 mm2 x 20 mm = 113.1 cm3."""
    assert reservoir_displacement(0.060, 1, 0.020, 0.0206, 2, 0.0) == pytest.approx(2 * pi * 0.03**2 * 0.020)
    assert reservoir_displacement(0.060, 1, 0.020, 0.0206, 2, 0.0) * 1e6 == pytest.approx(113.1, abs=0.05)


def test_low_expansion_hose_swells_half_as_much() -> None:
    assert circuit_compliance(1.0, "low") == pytest.approx(circuit_compliance(1.0, "regular") / 2)


def test_unknown_hose() -> None:
    with pytest.raises(FormulaError, match="hose is one of"):
        circuit_compliance(1.0, "steel")


def test_stroke() -> None:
    assert pedal_travel(0.0156, 4.0) == pytest.approx(0.0624)
    assert master_stroke_share(0.034, 0.034) == 1.0
    with pytest.raises(NoSolution, match=r"35\.0 mm of a master cylinder that has 34\.0 mm"):
        master_stroke_share(0.035, 0.034)
