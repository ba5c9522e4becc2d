"""Offset, track and kingpin: limits, and the reference car's 15 x 6.5 at +20 mm."""

from __future__ import annotations

from math import radians

import pytest
from hypothesis import given
from hypothesis import strategies as st

from knowledge.formulas.wheel_offset import (
    backspacing_from_offset,
    kingpin_to_tyre_centre,
    offset_from_backspacing,
    scrub_radius,
    track_change,
    wheel_track,
)


def test_reference_car() -> None:
    """Hand-worked: track 1430 mm, 105 mm from kingpin to wheel centre at the hub, 55 mm at the ground."""
    assert wheel_track(1.470, 0.020) == pytest.approx(1.430)
    assert kingpin_to_tyre_centre(0.125, 0.020) == pytest.approx(0.105)
    assert scrub_radius(0.125, radians(8.5), 0.333, 0.020) == pytest.approx(0.055, abs=5e-4)


@given(offset=st.floats(-0.1, 0.1), width=st.floats(0.1, 0.35), flange=st.floats(0, 0.02))
def test_backspacing_and_offset_are_inverse(offset: float, width: float, flange: float) -> None:
    spacing = backspacing_from_offset(offset, width, flange)
    assert offset_from_backspacing(spacing, width, flange) == pytest.approx(offset, abs=1e-12)


def test_centred_wheel_has_half_its_width_behind() -> None:
    assert backspacing_from_offset(0.0, 0.2, 0.0) == 0.1


def test_track_change_is_the_difference_of_two_tracks() -> None:
    assert track_change(0.020, 0.030, 0.005) == pytest.approx(
        wheel_track(1.47, 0.030, 0.005) - wheel_track(1.47, 0.020)
    )
    assert track_change(0.020, 0.020) == 0.0


def test_upright_kingpin_keeps_its_offset_to_the_ground() -> None:
    assert scrub_radius(0.125, 0.0, 0.333, 0.020) == pytest.approx(0.105)
