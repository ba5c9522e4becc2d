import pytest

from knowledge.formulas.bump_stops import (
    bump_stop_crush,
    bump_stop_crush_share,
    bump_stop_gap,
    metal_travel,
    travel_kept_share,
)


def test_lift_does_not_move_the_stops() -> None:
    # Reference car: 80 mm to metal; lifted 75 it is 155, and packing the stop 25 mm makes it 130.
    assert metal_travel(0.080, 0.075, 0.0) == pytest.approx(0.155)
    assert metal_travel(0.080, 0.075, 0.025) == pytest.approx(0.130)
    # A stop as much longer as the lift leaves it where it was.
    assert metal_travel(0.080, 0.075, 0.075) == pytest.approx(0.080)
    assert bump_stop_gap(0.065, 0.035, 0.020) == pytest.approx(0.080)


def test_reference_stop_laden() -> None:
    # Settling 72 mm with a gap of 65: touched by 7 mm; of a stop of 36 mm that is a fifth.
    assert bump_stop_crush(0.072, 0.065) == pytest.approx(0.007)
    assert bump_stop_crush_share(0.072, 0.065, 0.036) == pytest.approx(7 / 36)


def test_untouched_stop() -> None:
    assert bump_stop_crush(0.05, 0.065) == 0.0
    assert bump_stop_crush_share(-0.02, 0.0, 0.036) == 0.0


def test_travel_kept() -> None:
    assert travel_kept_share(0.1, 0.1) == 1.0
    assert travel_kept_share(0.059, 0.100) == pytest.approx(0.59)
