"""Speedometer: limits, and the reference car with 235/75R15."""

from __future__ import annotations

import pytest

from knowledge.formulas.speedometer import (
    revs_change_share,
    speedometer_over_reading,
    speedometer_over_reading_limit,
    speedometer_reading_ratio,
)
from knowledge.formulas.tyre_radii import tyre_effective_radius

KMH = 1 / 3.6
STOCK, TALL = tyre_effective_radius(0.7035), tyre_effective_radius(0.7335)


def test_reference_car_reads_low_on_taller_tyres() -> None:
    """Hand-worked: 4.1 % low; a driven gear of 23 in place of 24 teeth mends it."""
    assert 1 - speedometer_reading_ratio(1.0, 3.73, 3.73, STOCK, TALL, 24, 24) == pytest.approx(0.041, abs=5e-4)
    assert speedometer_reading_ratio(1.0, 3.73, 3.73, STOCK, TALL, 24, 23) == pytest.approx(1.0008, abs=1e-4)


def test_reference_car_with_shorter_axle() -> None:
    """Hand-worked: 4.10 with 733 mm tyres turns 5 % faster."""
    assert revs_change_share(3.73, 4.10, STOCK, TALL) == pytest.approx(0.05, abs=0.005)


def test_nothing_changed() -> None:
    assert revs_change_share(3.73, 3.73, STOCK, STOCK) == 0.0
    assert speedometer_reading_ratio(1.03, 3.73, 3.73, STOCK, STOCK, 24, 24) == 1.03
    assert speedometer_over_reading(30.0, 1.0) == 0.0


def test_limit_at_a_standstill_is_the_fixed_part() -> None:
    assert speedometer_over_reading_limit(0.0) == pytest.approx(4 * KMH)
