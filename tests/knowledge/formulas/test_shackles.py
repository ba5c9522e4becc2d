from math import degrees, hypot, pi, radians

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from knowledge.formulas.leaves import leaf_chord
from knowledge.formulas.shackle_pivot import shackle_pivot_x, shackle_pivot_z
from knowledge.formulas.shackles import (
    pinion_turn_from_shackle,
    shackle_angle,
    shackle_angle_from_vertical,
    shackle_axle_height,
    shackle_lift,
    shackle_to_chord_angle,
)
from shared.errors import NoSolution

# Reference car: shackle 100 leaning 20 deg, chord 1247 falling 1 deg to it, halves 575 and 675.
STOCK = 0.100
REFERENCE = {
    "chord": 1.247,
    "pivot_x": shackle_pivot_x(STOCK, radians(20), 1.247, radians(1)),
    "pivot_z": shackle_pivot_z(STOCK, radians(20), 1.247, radians(1)),
}
FRACTION = 0.575 / 1.250


@pytest.mark.parametrize(("eye_distance", "lift", "turn"), [(0.125, 12, 1.2), (0.150, 24, 2.4), (0.170, 34, 3.4)])
def test_reference_shackles(eye_distance: float, lift: float, turn: float) -> None:
    # 100 to 125, 150, 170 mm: 12, 24, 34 mm at the axle; pinion nose up 1.2, 2.4, 3.4 deg.
    assert shackle_lift(eye_distance, STOCK, axle_fraction=FRACTION, **REFERENCE) * 1e3 == pytest.approx(lift, abs=0.5)
    assert degrees(pinion_turn_from_shackle(eye_distance, STOCK, **REFERENCE)) == pytest.approx(turn, abs=0.05)
    # 0.48 mm for each millimetre of shackle.
    ratio = shackle_lift(eye_distance, STOCK, axle_fraction=FRACTION, **REFERENCE) / (eye_distance - STOCK)
    assert ratio == pytest.approx(0.48, abs=0.01)


def test_reference_shackle_stands_as_measured() -> None:
    assert degrees(shackle_angle(STOCK, **REFERENCE)) == pytest.approx(20)
    # Lean 20 deg against a chord falling 1 deg: 20 + 1 off square, so 69 deg from in line.
    assert degrees(shackle_to_chord_angle(STOCK, **REFERENCE)) == pytest.approx(69)


def test_same_shackle_no_change() -> None:
    assert shackle_lift(STOCK, STOCK, axle_fraction=FRACTION, **REFERENCE) == 0.0
    assert pinion_turn_from_shackle(STOCK, STOCK, **REFERENCE) == 0.0


def test_an_axle_at_the_fixed_eye_is_not_lifted() -> None:
    assert shackle_lift(0.15, STOCK, axle_fraction=0.0, **REFERENCE) == 0.0


def test_shackle_swings_through_the_travel() -> None:
    # The leaf is longest flat: there the shackle leans furthest, inside the travel and not at its ends.
    leans = [
        shackle_angle(STOCK, leaf_chord(1.25, h / 1000), REFERENCE["pivot_x"], REFERENCE["pivot_z"])
        for h in (37, 0, -68)
    ]
    assert leans[1] > max(leans[0], leans[2])


def test_touching_circles_lie_in_line() -> None:
    # Chord 1000 and shackle 100 stretched over 1100 mm.
    assert shackle_to_chord_angle(0.1, 1.0, 1.1, 0.0) == pytest.approx(0.0, abs=1e-6)
    assert shackle_axle_height(0.1, 1.0, 1.1, 0.0, 1.0) == pytest.approx(0.0, abs=1e-6)


def test_unsigned_lean() -> None:
    # A pivot beyond the eye: the shackle leans the wrong way.
    lean = shackle_angle(0.1, 1.2, 1.23, 0.06)
    assert lean < 0
    assert shackle_angle_from_vertical(0.1, 1.2, 1.23, 0.06) == -lean


@settings(derandomize=True, database=None)
@given(st.floats(0.05, 0.3), st.floats(0.05, 0.3), st.floats(-0.4, 0.9), st.floats(0.8, 2.0), st.floats(-0.15, 0.15))
def test_eye_keeps_its_distances(new: float, old: float, lean: float, chord: float, slope: float) -> None:
    x = shackle_pivot_x(old, lean, chord, slope)
    z = shackle_pivot_z(old, lean, chord, slope)
    try:
        depth = shackle_axle_height(new, chord, x, z, 1.0)
    except NoSolution:
        assert hypot(x, z) > chord + new or hypot(x, z) < abs(chord - new)
        return
    across = (chord**2 - depth**2) ** 0.5
    assert hypot(across - x, -depth - z) == pytest.approx(new, abs=1e-9)
    assert 0 <= shackle_to_chord_angle(new, chord, x, z) <= pi / 2


@pytest.mark.parametrize(("chord", "pivot_x"), [(1.0, 1.2), (1.2, 1.0)])
def test_circles_that_do_not_meet(chord: float, pivot_x: float) -> None:
    for call in (
        lambda: shackle_axle_height(0.1, chord, pivot_x, 0.0, 0.5),
        lambda: shackle_lift(0.15, 0.1, chord, pivot_x, 0.0, 0.5),
        lambda: pinion_turn_from_shackle(0.15, 0.1, chord, pivot_x, 0.0),
        lambda: shackle_angle(0.1, chord, pivot_x, 0.0),
        lambda: shackle_to_chord_angle(0.1, chord, pivot_x, 0.0),
    ):
        with pytest.raises(NoSolution, match="do not meet"):
            call()
