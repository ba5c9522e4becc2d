"""Gearing against printed constants, tooth counts and a regulation.  Ids: the project's list of check values."""

from __future__ import annotations

from math import pi

import pytest

from knowledge.formulas.axle_ratios import (
    axle_ratio_from_teeth,
    effective_ratio,
    ratio_mismatch,
    ratio_to_restore,
)
from knowledge.formulas.gearing import engine_speed_at, road_speed_at
from knowledge.formulas.speedometer import speedometer_over_reading_limit

INCH = 0.0254
KMH = 1 / 3.6
MPH = 0.44704  # U-09: m/s in a mile per hour, NIST SP 811
RPM = 2 * pi / 60


def test_constant_of_the_road_speed_rule() -> None:
    # G-01: mi/h = rpm x D(in) / (ratio x 336.135), commonly printed 336
    speed = road_speed_at(1000 * RPM, 30 / 2 * INCH, 1.0, 4.0) / MPH
    assert 1000 * 30 / (4.0 * speed) == pytest.approx(336.135, abs=0.001)


def test_road_speed() -> None:
    # G-02, G-03: 2500 rpm, 31 in, 4.10
    speed = road_speed_at(2500 * RPM, 31 / 2 * INCH, 1.00, 4.10)
    assert speed / MPH == pytest.approx(56.235, abs=0.001)
    assert speed / KMH == pytest.approx(90.501, abs=0.002)
    assert engine_speed_at(speed, 31 / 2 * INCH, 1.00, 4.10) / RPM == pytest.approx(2500)


def test_tyres_and_ratio() -> None:
    assert effective_ratio(4.10, 0.7335, 0.7874) == pytest.approx(3.8193, abs=1e-4)  # G-04: ratio x d/D
    assert ratio_to_restore(3.55, 0.7335, 0.7874) == pytest.approx(3.8109, abs=1e-4)  # G-05: ratio x D/d


def test_teeth() -> None:
    front, rear = axle_ratio_from_teeth(37, 9), axle_ratio_from_teeth(41, 10)
    assert front == pytest.approx(4.1111, abs=1e-4)  # G-06
    assert ratio_mismatch(front, rear) * 100 == pytest.approx(0.2710, abs=5e-4)  # G-07
    assert ratio_mismatch(3.54, 3.55) * 100 == pytest.approx(0.2825, abs=5e-4)  # G-08


@pytest.mark.parametrize(("true", "shown"), [(50, 59), (70, 81), (90, 103), (110, 125), (130, 147)])
def test_speedometer_limit(true: float, shown: float) -> None:
    # UN R39 5.3 as a newspaper works it out: at a true 50 km/h no more than 59 may be shown, and so on
    assert (true * KMH + speedometer_over_reading_limit(true * KMH)) / KMH == pytest.approx(shown)
