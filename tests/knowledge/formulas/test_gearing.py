"""Ratios and speeds: inverses, and the reference car."""

from __future__ import annotations

from math import pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from knowledge.formulas.gearing import crawl_ratio, engine_speed_at, overall_ratio, road_speed_at
from knowledge.formulas.tyre_radii import tyre_effective_radius

RPM = 2 * pi / 60
KMH = 1 / 3.6


@pytest.mark.parametrize(
    ("diameter", "gear", "axle", "rpm"),
    [(0.7035, 0.79, 3.73, 2289), (0.7335, 0.79, 3.73, 2195), (0.7335, 1.00, 4.10, 3054)],
)
def test_reference_car_at_100_km_h(diameter: float, gear: float, axle: float, rpm: float) -> None:
    radius = tyre_effective_radius(diameter)
    assert engine_speed_at(100 * KMH, radius, gear, axle) / RPM == pytest.approx(rpm, abs=1)


def test_reference_car_crawl() -> None:
    assert crawl_ratio(3.85, 2.48, 3.73) == pytest.approx(35.6, abs=0.05)


@given(speed=st.floats(0, 60), radius=st.floats(0.25, 0.5), gear=st.floats(0.5, 6), axle=st.floats(2, 7))
def test_engine_and_road_speed_are_inverse(speed: float, radius: float, gear: float, axle: float) -> None:
    assert road_speed_at(engine_speed_at(speed, radius, gear, axle), radius, gear, axle) == pytest.approx(speed)


def test_direct_gear_leaves_the_axle_ratio() -> None:
    assert overall_ratio(1.0, 1.0, 3.73) == 3.73
