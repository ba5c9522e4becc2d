"""Axle ratios: limits, and the reference car's 3.73 against 4.10."""

from __future__ import annotations

import pytest

from knowledge.formulas.axle_ratios import (
    axle_ratio_from_teeth,
    effective_ratio,
    ground_speed_mismatch,
    ratio_mismatch,
    ratio_to_restore,
)


def test_reference_car_with_another_rear_axle() -> None:
    assert ratio_mismatch(3.73, 4.10) == pytest.approx(0.099, abs=5e-4)


def test_mismatch_takes_no_side() -> None:
    assert ratio_mismatch(4.10, 3.73) == ratio_mismatch(3.73, 4.10)
    assert ratio_mismatch(3.73, 3.73) == 0.0


def test_unlike_tyres_can_make_up_for_unlike_ratios() -> None:
    assert ground_speed_mismatch(4.0, 4.4, 0.340, 0.374) == pytest.approx(0.0, abs=1e-12)
    assert ground_speed_mismatch(4.0, 4.0, 0.340, 0.357) == pytest.approx(0.05)
    assert ground_speed_mismatch(3.73, 4.10, 0.34, 0.34) == pytest.approx(ratio_mismatch(3.73, 4.10))


def test_restored_ratio_feels_like_the_stock_one() -> None:
    assert effective_ratio(ratio_to_restore(3.73, 0.7035, 0.7335), 0.7035, 0.7335) == pytest.approx(3.73)
    assert effective_ratio(3.73, 0.7, 0.7) == 3.73


def test_teeth() -> None:
    assert axle_ratio_from_teeth(41, 11) == pytest.approx(3.727, abs=5e-4)
