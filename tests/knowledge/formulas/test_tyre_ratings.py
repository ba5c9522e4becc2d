"""Load and speed: limits, errors, and the reference car's load index 100."""

from __future__ import annotations

import pytest

from knowledge.formulas.tyre_ratings import (
    load_index_capacity,
    load_share_at_speed,
    speed_symbol_limit,
    tyre_axle_capacity,
    tyre_load_share,
)
from shared.errors import FormulaError

KMH = 1 / 3.6


def test_reference_car() -> None:
    """Hand-worked: 800 kg a tyre, 727 kg as a passenger tyre, 540 kg of them asked for by the rear rating."""
    assert load_index_capacity(100) == 800
    assert tyre_axle_capacity(100, "P") / 2 == pytest.approx(727, abs=0.5)
    assert tyre_load_share(1080, tyre_axle_capacity(100, "P")) == pytest.approx(540 / 727.3, abs=0.001)


def test_light_truck_tyres_keep_their_rating() -> None:
    assert tyre_axle_capacity(100, "LT") == 1600


@pytest.mark.parametrize("index", [-1.0, 127.0, 91.5])
def test_load_index_not_in_the_table(index: float) -> None:
    with pytest.raises(FormulaError, match="not in the table"):
        load_index_capacity(index)


def test_unknown_words() -> None:
    with pytest.raises(FormulaError, match="P or LT"):
        tyre_axle_capacity(100, "C")
    with pytest.raises(FormulaError, match="not a speed symbol"):
        speed_symbol_limit("ZR")


def test_full_load_up_to_the_symbols_own_speed() -> None:
    assert load_share_at_speed("S", 180 * KMH) == 1.0
    assert load_share_at_speed("V", 210 * KMH) == 1.0
    with pytest.raises(FormulaError, match="ends at 180 km/h, not 190"):
        load_share_at_speed("S", 190 * KMH)


def test_load_falls_in_a_straight_line() -> None:
    assert load_share_at_speed("V", 225 * KMH) == pytest.approx((1 + 0.91) / 2)
