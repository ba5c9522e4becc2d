"""Tapers: limit cases and refusals."""

from __future__ import annotations

import pytest

from knowledge.formulas.tapers import (
    taper_angle_between,
    taper_between,
    taper_included_angle,
    taper_large_end,
    taper_stand_out,
)
from shared.errors import NoSolution


def test_diameters_and_taper_undo_each_other() -> None:
    assert taper_between(taper_large_end(0.012, 0.125, 0.02), 0.012, 0.02) == pytest.approx(0.125)


def test_straight_pin_has_no_angle() -> None:
    assert taper_between(0.015, 0.015, 0.02) == 0.0
    assert taper_angle_between(0.015, 0.015, 0.02) == 0.0


def test_small_tapers_turn_as_much_as_they_say() -> None:
    assert taper_included_angle(0.001) == pytest.approx(0.001, rel=1e-6)


def test_ends_taken_the_wrong_way_round() -> None:
    with pytest.raises(NoSolution, match=r"small end, 16\.00 mm, is larger than the large one, 15\.00 mm"):
        taper_between(0.015, 0.016, 0.02)


def test_pin_standing_out_of_its_bore() -> None:
    # At 1.5 in per foot 0.125 mm of diameter is 1 mm of height.
    assert taper_stand_out(0.015125, 0.015, 0.125) == pytest.approx(0.001)
    assert taper_stand_out(0.015, 0.015, 0.125) == 0.0
    assert taper_stand_out(0.0149, 0.015, 0.125) < 0
