from math import radians, sin

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from knowledge.formulas.shackle_pivot import shackle_pivot_x, shackle_pivot_z
from knowledge.formulas.shackles import shackle_angle, shackle_axle_height


def test_upright_and_level() -> None:
    assert shackle_pivot_x(0.1, 0.0, 1.2, 0.0) == 1.2
    assert shackle_pivot_z(0.1, 0.0, 1.2, 0.0) == 0.1


def test_reference_pivot() -> None:
    # Reference car by hand, chord 1247 falling 1 deg, shackle 100 leaning 20 deg: x = 1246.81 - 34.20 = 1212.61,
    # z = 93.97 - 21.76 = 72.21 mm.
    assert shackle_pivot_x(0.1, radians(20), 1.247, radians(1)) * 1e3 == pytest.approx(1212.61, abs=0.01)
    assert shackle_pivot_z(0.1, radians(20), 1.247, radians(1)) * 1e3 == pytest.approx(72.21, abs=0.01)


@settings(derandomize=True, database=None)
@given(st.floats(0.03, 0.3), st.floats(-0.8, 1.2), st.floats(0.7, 2.0), st.floats(-0.3, 0.3))
def test_the_shackle_comes_back_as_measured(eye_distance: float, lean: float, chord: float, slope: float) -> None:
    x = shackle_pivot_x(eye_distance, lean, chord, slope)
    z = shackle_pivot_z(eye_distance, lean, chord, slope)
    assert shackle_angle(eye_distance, chord, x, z) == pytest.approx(lean, abs=1e-6)
    # The free eye lies below the fixed one by the fall of the chord.
    assert shackle_axle_height(eye_distance, chord, x, z, 1.0) == pytest.approx(chord * sin(slope), abs=1e-6)
