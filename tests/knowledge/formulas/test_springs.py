import pytest

from knowledge.formulas.cut_coils import coil_cut_free_length, coil_cut_rate
from knowledge.formulas.springs import (
    coil_active_coils,
    coil_deflection,
    coil_length,
    coil_mean_diameter,
    coil_rate,
    coil_rate_measured,
)
from shared.errors import NoSolution

STEEL = 78.5e9
# Reference car, front coil, worked by hand: wire 14, mean diameter 125, 9 active coils, free 412, 3046 N at ride.
WIRE, MEAN, ACTIVE, FREE, LOAD = 0.014, 0.125, 9.0, 0.412, 3046.0


def test_reference_coil() -> None:
    rate = coil_rate(WIRE, MEAN, ACTIVE, STEEL)
    # 21.44 N/mm, 142 mm of deflection, 270 mm at ride.
    assert rate / 1e3 == pytest.approx(21.44, abs=0.005)
    assert coil_deflection(LOAD, rate) * 1e3 == pytest.approx(142, abs=0.5)
    assert coil_length(FREE, LOAD, rate) * 1e3 == pytest.approx(270, abs=0.5)


def test_long_soft_coil() -> None:
    # Wire 13.6, mean diameter 125, 9.75 active, free 480: 17.6 N/mm, standing 37 mm above 270 under the same load.
    rate = coil_rate(0.0136, 0.125, 9.75, STEEL)
    assert rate / 1e3 == pytest.approx(17.6, abs=0.05)
    assert coil_length(0.480, LOAD, rate) * 1e3 - 270 == pytest.approx(37, abs=0.5)


@pytest.mark.parametrize(
    ("wire", "mean", "active", "rise"),
    # 0.2 mm of wire +5.8 %, 1 mm of mean diameter -2.4 %, a quarter turn -2.7 %.
    [(0.0142, MEAN, ACTIVE, 5.8), (WIRE, 0.126, ACTIVE, -2.4), (WIRE, MEAN, 9.25, -2.7)],
)
def test_what_a_reading_is_worth(wire: float, mean: float, active: float, rise: float) -> None:
    change = coil_rate(wire, mean, active, STEEL) / coil_rate(WIRE, MEAN, ACTIVE, STEEL) - 1
    assert change * 100 == pytest.approx(rise, abs=0.06)


def test_a_thicker_wire_stands_higher() -> None:
    # 0.2 mm of wire: 7.8 mm of height.
    lengths = [coil_length(FREE, LOAD, coil_rate(wire, MEAN, ACTIVE, STEEL)) for wire in (0.014, 0.0142)]
    assert (lengths[1] - lengths[0]) * 1e3 == pytest.approx(7.8, abs=0.05)


def test_rate_measured_undoes_length() -> None:
    assert coil_rate_measured(LOAD, FREE, coil_length(FREE, LOAD, 21e3)) == pytest.approx(21e3)


def test_no_load_no_deflection() -> None:
    assert coil_deflection(0.0, 20e3) == 0.0
    assert coil_length(FREE, 0.0, 20e3) == FREE


def test_sizes_from_readings() -> None:
    assert coil_mean_diameter(0.139, 0.014) == pytest.approx(0.125)
    assert coil_active_coils(10.5, 1.5) == 9.0


def test_cutting_nothing_changes_nothing() -> None:
    assert coil_cut_rate(21e3, 9.0, 0.0) == 21e3
    assert coil_cut_free_length(FREE, 0.1624, WIRE, ACTIVE, 0.0) == FREE


def test_cutting_half_doubles_the_rate_and_halves_the_active_length() -> None:
    assert coil_cut_rate(21e3, 9.0, 4.5) == pytest.approx(42e3)
    # Half of what is not dead ends: (L0 - 1.5 dead turns' and end's share) goes with nine pitches; by hand,
    # pitch = 14 + (412 - 162.4)/9 = 41.733 mm, 4.5 of them 187.8 mm.
    assert coil_cut_free_length(FREE, 0.1624, WIRE, ACTIVE, 4.5) * 1e3 == pytest.approx(412 - 187.8, abs=0.01)


def test_two_cuts_are_one() -> None:
    once = coil_cut_free_length(FREE, 0.1624, WIRE, ACTIVE, 1.0)
    # The solid length shrinks by one wire for each turn.
    twice = coil_cut_free_length(once, 0.1624 - WIRE, WIRE, ACTIVE - 1, 0.5)
    assert twice == pytest.approx(coil_cut_free_length(FREE, 0.1624, WIRE, ACTIVE, 1.5))
    assert coil_cut_rate(coil_cut_rate(21e3, 9, 1), 8, 0.5) == pytest.approx(coil_cut_rate(21e3, 9, 1.5))


def test_what_does_not_exist() -> None:
    with pytest.raises(NoSolution, match="spring index"):
        coil_rate(0.02, 0.03, 9, STEEL)
    with pytest.raises(NoSolution, match="not thinner"):
        coil_mean_diameter(0.02, 0.02)
    with pytest.raises(NoSolution, match="none is left"):
        coil_active_coils(1.5, 1.5)
    with pytest.raises(NoSolution, match="more than its free"):
        coil_length(0.3, 1e4, 20e3)
    with pytest.raises(NoSolution, match="not shorter"):
        coil_rate_measured(3000, 0.3, 0.3)
    with pytest.raises(NoSolution, match="cannot be cut"):
        coil_cut_rate(21e3, 2, 2)
    with pytest.raises(NoSolution, match="cannot be cut"):
        coil_cut_free_length(FREE, 0.1624, WIRE, 2, 2)
    with pytest.raises(NoSolution, match="not longer"):
        coil_cut_free_length(0.1, 0.1624, WIRE, ACTIVE, 1)
    with pytest.raises(NoSolution, match="leaves no length"):
        coil_cut_free_length(0.412, 0.05, WIRE, ACTIVE, 8.9)
