import pytest

from knowledge.formulas.axle_loads import (
    body_lift,
    cg_height_lifted,
    cg_height_with_mass,
    front_axle_mass_with_load,
    rear_axle_mass_with_load,
    sprung_cg_height,
    sprung_corner_load,
    sprung_corner_mass,
    sprung_fraction,
)
from shared.errors import NoSolution


def test_reference_corner_loads() -> None:
    # Reference car: axle loads 781 and 639 kg with 160 and 150 unsprung: 310.5 and 244.5 kg a corner.
    assert sprung_corner_mass(781, 160) == 310.5
    assert sprung_corner_mass(639, 150) == 244.5
    # 3046 and 2399 N were worked with g = 9.81; standard gravity makes them 1 N less.
    assert sprung_corner_load(781, 160) == pytest.approx(3046 * 9.80665 / 9.81, abs=0.5)
    assert sprung_corner_load(639, 150) == pytest.approx(2399 * 9.80665 / 9.81, abs=0.5)


def test_driver_and_winch() -> None:
    # A driver of 75 kg 1.4 m behind the front axle of 2.56 m: 815 and 680 kg.
    assert front_axle_mass_with_load(781, 75, 1.4, 2.56) == pytest.approx(815, abs=0.5)
    assert rear_axle_mass_with_load(639, 75, 1.4, 2.56) == pytest.approx(680, abs=0.5)
    # Bar and winch, 70 kg 0.293 m ahead of the axle: 859 kg in front, and the rear is relieved of 8.
    assert front_axle_mass_with_load(781, 70, -0.293, 2.56) == pytest.approx(859, abs=0.5)
    assert rear_axle_mass_with_load(639, 70, -0.293, 2.56) == pytest.approx(631, abs=0.5)


@pytest.mark.parametrize("distance", [-1.0, 0.0, 1.3, 2.56, 3.4])
def test_no_mass_is_lost(distance: float) -> None:
    front = front_axle_mass_with_load(781, 120, distance, 2.56)
    assert front + rear_axle_mass_with_load(639, 120, distance, 2.56) == pytest.approx(781 + 639 + 120)


def test_over_an_axle_it_carries_all() -> None:
    assert front_axle_mass_with_load(781, 100, 0.0, 2.56) == 881
    assert rear_axle_mass_with_load(639, 100, 2.56, 2.56) == 739


def test_centre_of_gravity() -> None:
    # A driver of 75 kg at 0.8 m raises 640 mm of 1420 kg to 648 mm.
    assert cg_height_with_mass(1420, 0.640, 75, 0.800) * 1e3 == pytest.approx(648, abs=0.5)
    assert cg_height_with_mass(1420, 0.640, 75, 0.640) == pytest.approx(0.640)
    # And takes it back when getting out.
    there = cg_height_with_mass(1420, 0.640, 75, 0.800)
    assert cg_height_with_mass(1495, there, -75, 0.800) == pytest.approx(0.640)
    # By hand, axles at 346 mm: (1420 x 640 - 310 x 346) / 1110 = 722 mm.
    assert sprung_cg_height(1420, 0.640, 310, 0.346) * 1e3 == pytest.approx(722, abs=0.5)


def lifted(height: float, mass: float, unsprung: float, front: float, rear: float, share: float, tyre: float) -> float:
    return cg_height_lifted(height, sprung_fraction(mass, unsprung), body_lift(front, rear, share), tyre)


def test_reference_lift_of_the_centre_of_gravity() -> None:
    # 75 mm of springs and 15 mm of tyre: 714 mm.
    assert lifted(0.640, 1420, 310, 0.075, 0.075, 0.559, 0.015) * 1e3 == pytest.approx(714, abs=0.5)


def test_lift_in_its_limits() -> None:
    # Tyres alone raise everything; springs alone leave the axles.
    assert lifted(0.64, 1420, 310, 0.0, 0.0, 0.5, 0.02) == pytest.approx(0.66)
    assert lifted(0.64, 1420, 0.0, 0.05, 0.05, 0.5, 0.0) == pytest.approx(0.69)
    # Front alone counts by the front's share of the body.
    assert lifted(0.64, 1000, 0.0, 0.1, 0.0, 0.6, 0.0) == pytest.approx(0.70)
    # The same as the body's own centre lifted and weighed with the axles.
    body = sprung_cg_height(1420, 0.640, 310, 0.346) + 0.09
    assert lifted(0.640, 1420, 310, 0.075, 0.075, 0.5, 0.015) == pytest.approx(
        cg_height_with_mass(1110, body, 310, 0.361)
    )


def test_what_does_not_exist() -> None:
    with pytest.raises(NoSolution, match="nothing sprung"):
        sprung_corner_load(150, 160)
    with pytest.raises(NoSolution, match="cannot be taken off"):
        cg_height_with_mass(100, 0.6, -100, 0.6)
    with pytest.raises(NoSolution, match="no body"):
        sprung_cg_height(310, 0.6, 310, 0.35)
    with pytest.raises(NoSolution, match="no body"):
        sprung_fraction(300, 310)
