import pytest

from knowledge.formulas.leaf_pack import leaf_second_moment
from knowledge.formulas.leaves import (
    leaf_arch_under_load,
    leaf_chord,
    leaf_deflection,
    leaf_deflection_two_stage,
    leaf_rate,
    leaf_ride_lift,
)
from shared.errors import NoSolution

# Reference car, rear leaf: 4 x 6.5 mm of 60, halves 575 and 675, 30 clamped each side, 206 GPa, stiffening 1.15.
REFERENCE = {
    "front_half": 0.575,
    "rear_half": 0.675,
    "clamped_each_side": 0.030,
    "young_modulus": 206e9,
    "stiffening": 1.15,
}
LOAD = 2399.0


def rate(thickness: float) -> float:
    return leaf_rate(leaf_second_moment(4, 0.060, thickness), **REFERENCE)


def test_reference_leaf() -> None:
    # 25.06 N/mm and 95.7 mm of deflection.
    assert rate(0.0065) / 1e3 == pytest.approx(25.06, abs=0.005)
    assert leaf_deflection(LOAD, rate(0.0065)) * 1e3 == pytest.approx(95.7, abs=0.05)


def test_what_a_reading_is_worth() -> None:
    # 0.3 mm of thickness: +14.5 % of rate, 12 mm of height.
    assert (rate(0.0068) / rate(0.0065) - 1) * 100 == pytest.approx(14.5, abs=0.06)
    heights = [leaf_arch_under_load(0.13, LOAD, rate(t)) for t in (0.0065, 0.0068)]
    assert (heights[1] - heights[0]) * 1e3 == pytest.approx(12, abs=0.5)


def test_halves_may_be_swapped() -> None:
    turned = {**REFERENCE, "front_half": 0.675, "rear_half": 0.575}
    assert leaf_rate(5e-9, **turned) == pytest.approx(leaf_rate(5e-9, **REFERENCE))


def test_arch_and_lift() -> None:
    assert leaf_arch_under_load(0.1, 0.0, 25e3) == 0.1
    assert leaf_arch_under_load(0.1, 2500.0, 25e3) == pytest.approx(0.0)
    assert leaf_ride_lift(0.04, 0.04) == 0.0
    assert leaf_ride_lift(0.072, 0.037) == pytest.approx(0.035)
    assert leaf_ride_lift(0.072, 0.037, 0.05, 0.01) == pytest.approx(0.075)


def test_two_stages() -> None:
    # 25 N/mm alone for 40 mm (1000 N), then 50 N/mm: 2000 N press it 60 mm.
    assert leaf_deflection_two_stage(500, 25e3, 25e3, 0.04) == pytest.approx(0.02)
    assert leaf_deflection_two_stage(1000, 25e3, 25e3, 0.04) == pytest.approx(0.04)
    assert leaf_deflection_two_stage(2000, 25e3, 25e3, 0.04) == pytest.approx(0.06)
    # Without a gap, or without a second stage, it is one spring.
    assert leaf_deflection_two_stage(2000, 25e3, 25e3, 0.0) == pytest.approx(leaf_deflection(2000, 50e3))
    assert leaf_deflection_two_stage(2000, 25e3, 0.0, 0.04) == pytest.approx(leaf_deflection(2000, 25e3))


def test_chord_in_its_limits() -> None:
    assert leaf_chord(1.25, 0.0) == 1.25
    assert leaf_chord(1.25, -0.05) == leaf_chord(1.25, 0.05)
    assert leaf_chord(1.25, 1e-12) == pytest.approx(1.25)
    # Flat arcs: c = S - 8 h^2 / (3 S); the reference leaf of 1250 mm with 37.5 mm of arch has its chord of 1247.
    assert leaf_chord(1.25, 0.0375) * 1e3 == pytest.approx(1247, abs=0.05)


def test_chord_is_longest_when_flat() -> None:
    chords = [leaf_chord(1.25, h / 1000) for h in range(-70, 71, 10)]
    assert max(chords) == chords[7] == 1.25
    assert chords[:8] == sorted(chords[:8])


def test_what_does_not_exist() -> None:
    with pytest.raises(NoSolution, match="nothing to bend"):
        leaf_rate(5e-9, 0.15, 0.6, 0.15, 206e9, 1.0)
    with pytest.raises(NoSolution, match="cannot stand"):
        leaf_chord(1.0, 0.31)
