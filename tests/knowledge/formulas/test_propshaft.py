"""Length, slip and speed of a propeller shaft: limit cases, refusals, and the reference car."""

from __future__ import annotations

from math import tau

import pytest

from knowledge.formulas.propshaft import (
    propshaft_length,
    propshaft_length_change,
    propshaft_run,
    propshaft_shortening,
    slip_engaged_at_droop,
    slip_left_at_bump,
)
from knowledge.formulas.propshaft_speeds import critical_speed, propshaft_speed
from shared.errors import NoSolution

RUN = propshaft_run(0.78, 0.06)  # the reference car's rear shaft


class TestReferenceCar:
    def test_shortest_when_level(self) -> None:
        assert round(1e3 * propshaft_length_change(RUN, 0.06, -0.06), 1) == -2.3
        assert round(1e3 * propshaft_shortening(RUN, 0.06, 0.085, 0.1), 1) == -2.3

    def test_not_at_full_bump(self) -> None:
        assert round(1e3 * propshaft_length_change(RUN, 0.06, -0.085), 1) == -1.9

    def test_slip_left_is_taken_at_the_level_point(self) -> None:
        at_end = 0.020 + propshaft_length_change(RUN, 0.06, -0.085)
        assert slip_left_at_bump(RUN, 0.06, 0.085, 0.1, 0.020) < at_end
        assert slip_left_at_bump(RUN, 0.06, 0.085, 0.1, 0.020) == pytest.approx(0.0177, abs=5e-5)

    def test_speed_at_100_km_h(self) -> None:
        # 27.78 m/s / 0.3415 m x 3.73
        assert propshaft_speed(100 / 3.6, 0.3415, 3.73) / tau * 60 == pytest.approx(2897, abs=1)


def test_no_travel_no_change() -> None:
    assert propshaft_length_change(0.7, 0.1, 0.0) == 0.0
    assert propshaft_shortening(0.7, 0.1, 0.0, 0.0) == 0.0
    assert slip_engaged_at_droop(0.7, 0.1, 0.0, 0.0, 0.05) == 0.05
    assert slip_left_at_bump(0.7, 0.1, 0.0, 0.0, 0.03) == 0.03


def test_three_four_five() -> None:
    assert propshaft_length(0.4, 0.3) == pytest.approx(0.5)
    assert propshaft_run(0.5, -0.3) == pytest.approx(0.4)
    assert propshaft_length_change(0.4, 0.0, 0.3) == pytest.approx(0.1)


def test_longest_may_be_at_bump() -> None:
    # A shaft that lies level at ride is longest wherever the travel is greatest, which here is bump.
    engaged = slip_engaged_at_droop(0.7, 0.0, 0.2, 0.05, 0.05)
    assert engaged == pytest.approx(0.05 - (propshaft_length(0.7, 0.2) - 0.7))


def test_shaft_that_never_lies_level() -> None:
    # It hangs lower throughout: shortest at full bump.
    assert propshaft_shortening(0.7, 0.2, 0.1, 0.1) == pytest.approx(propshaft_length_change(0.7, 0.2, -0.1))
    # It stands higher throughout: shortest at full droop.
    assert propshaft_shortening(0.7, -0.2, 0.1, 0.1) == pytest.approx(propshaft_length_change(0.7, -0.2, 0.1))


def test_impossible_shafts() -> None:
    with pytest.raises(NoSolution, match=r"300\.0 mm cannot span a drop of 400\.0 mm"):
        propshaft_run(0.3, 0.4)
    with pytest.raises(NoSolution, match=r"tube of 50\.0 mm cannot have a bore of 60\.0 mm"):
        critical_speed(0.05, 0.06, 1.0)


def test_critical_speed_goes_as_the_inverse_square_of_length() -> None:
    assert critical_speed(0.06, 0.055, 0.5) == pytest.approx(4 * critical_speed(0.06, 0.055, 1.0))
