"""The three radii: limits, errors, and the reference car's 215/75R15."""

from __future__ import annotations

import pytest

from knowledge.formulas.tyre_radii import (
    revolutions_per_distance,
    tyre_effective_radius,
    tyre_loaded_radius,
    tyre_loaded_radius_estimate,
    tyre_rolling_circumference,
)
from shared.errors import NoSolution


def test_reference_car() -> None:
    """Hand-worked: circumference 2145.7 mm, effective radius 341.5 mm, loaded 333 mm at 430 kg and 225 N/mm."""
    assert tyre_rolling_circumference(0.7035) == pytest.approx(2.1457, abs=5e-5)
    assert tyre_effective_radius(0.7035) == pytest.approx(0.3415, abs=5e-5)
    assert tyre_loaded_radius(430 * 9.80665, 225e3, 0.7035) == pytest.approx(0.333, abs=5e-4)


def test_unloaded_is_free() -> None:
    assert tyre_loaded_radius(0.0, 225e3, 0.7035) == 0.35175


def test_the_three_radii_lie_in_their_order() -> None:
    free, effective, loaded = 0.35175, tyre_effective_radius(0.7035), tyre_loaded_radius_estimate(0.7035)
    assert loaded < effective < free


def test_a_flat_tyre_is_refused() -> None:
    with pytest.raises(NoSolution, match="pressed in by 200 mm"):
        tyre_loaded_radius(10e3, 50e3, 0.7)


def test_turns_and_circumference_are_inverse() -> None:
    assert revolutions_per_distance(2.0) * 2000 == 1000
