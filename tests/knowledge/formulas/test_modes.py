from math import pi, sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from knowledge.formulas.modes import bounce_pitch_frequency, bounce_pitch_node
from shared.errors import FormulaError, NoSolution

# Springs in balance about the centre of gravity: bounce and pitch keep apart.
EVEN = {
    "sprung_mass": 1000.0,
    "front_rate": 40e3,
    "rear_rate": 40e3,
    "front_distance": 1.3,
    "rear_distance": 1.3,
    "gyration": 1.0,
}


def test_uncoupled_modes() -> None:
    # Bounce sqrt(80 000/1000), pitch sqrt(2 x 40 000 x 1.69/1000).
    assert bounce_pitch_frequency("lower", **EVEN) == pytest.approx(sqrt(80) / (2 * pi))
    assert bounce_pitch_frequency("upper", **EVEN) == pytest.approx(sqrt(80 * 1.69) / (2 * pi))
    # It pitches about its centre of gravity, and bounces about no point at all.
    assert bounce_pitch_node("upper", **EVEN) == 0.0
    with pytest.raises(NoSolution, match="without a node"):
        bounce_pitch_node("lower", **EVEN)


def test_slow_pitch() -> None:
    # A long body pitches more slowly than it bounces: the modes change places.
    long = {**EVEN, "gyration": 2.0}
    assert bounce_pitch_node("lower", **long) == 0.0
    with pytest.raises(NoSolution, match="without a node"):
        bounce_pitch_node("upper", **long)


def test_no_telling_the_modes_apart() -> None:
    same = {**EVEN, "front_distance": 1.0, "rear_distance": 1.0}
    assert bounce_pitch_frequency("lower", **same) == pytest.approx(bounce_pitch_frequency("upper", **same))
    with pytest.raises(NoSolution, match="any point"):
        bounce_pitch_node("lower", **same)


def test_each_axle_by_itself_when_the_dynamic_index_is_one() -> None:
    # k^2 = a b: each end bounces as if alone, on its share of the mass, and swings about the other axle.
    car = {**EVEN, "front_distance": 1.0, "rear_distance": 1.6, "gyration": sqrt(1.6)}
    front_mass, rear_mass = 1000 * 1.6 / 2.6, 1000 * 1.0 / 2.6
    assert bounce_pitch_frequency("lower", **car) == pytest.approx(sqrt(40e3 / front_mass) / (2 * pi))
    assert bounce_pitch_frequency("upper", **car) == pytest.approx(sqrt(40e3 / rear_mass) / (2 * pi))
    assert bounce_pitch_node("lower", **car) == pytest.approx(1.6)
    assert bounce_pitch_node("upper", **car) == pytest.approx(-1.0)


@settings(derandomize=True, database=None)
@given(st.floats(10e3, 100e3), st.floats(10e3, 100e3), st.floats(0.5, 2.5), st.floats(0.5, 2.5), st.floats(0.5, 2.5))
def test_nodes_multiply_to_the_gyration(kf: float, kr: float, a: float, b: float, k: float) -> None:
    car = (1000.0, kf, kr, a, b, k)
    try:
        lower, upper = bounce_pitch_node("lower", *car), bounce_pitch_node("upper", *car)
    except NoSolution:
        return
    assert lower * upper == pytest.approx(-(k**2))


def test_a_word_that_is_no_mode() -> None:
    with pytest.raises(FormulaError, match="lower or upper"):
        bounce_pitch_frequency("middle", **EVEN)
