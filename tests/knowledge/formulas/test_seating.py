import pytest

from knowledge.formulas.seating import (
    coil_length_at_metal,
    coil_preload_at_droop,
    coil_ride_lift,
    coil_seat_load,
    parallel_rate,
    series_rate,
    wheel_rate,
)


def test_reference_coil_through_its_travel() -> None:
    # Reference car: 270 mm at ride, 80 mm to metal, 190 mm there; 100 mm of droop leave 42 mm of 412 free.
    assert coil_length_at_metal(0.270, 0.080, 1.0) == pytest.approx(0.190)
    assert coil_preload_at_droop(0.412, 0.270, 0.100, 1.0) == pytest.approx(0.042)


def test_stiff_short_coil_comes_loose() -> None:
    # 43.8 N/mm (1.89 Hz) is pressed 69.6 mm by 3046 N: 30 mm short of the seat after 100 mm of droop.
    length = 0.4 - 3046 / 43.8e3
    assert coil_preload_at_droop(0.4, length, 0.100, 1.0) * 1e3 == pytest.approx(-30, abs=0.5)


def test_long_soft_coil_stays() -> None:
    # Free 480, 307.2 mm at ride: seated by 73 mm.
    assert coil_preload_at_droop(0.480, 0.3072, 0.100, 1.0) * 1e3 == pytest.approx(73, abs=0.5)


def test_lift() -> None:
    assert coil_ride_lift(0.27, 0.27, 0.0, 0.0, 1.0) == 0.0
    # 37 mm of coil and 20 mm of spacer: 57 mm.
    assert coil_ride_lift(0.307, 0.270, 0.020, 0.0, 1.0) == pytest.approx(0.057)
    # An inboard spring lifts the wheel by more than its own growth.
    assert coil_ride_lift(0.307, 0.270, 0.0, 0.0, 0.5) == pytest.approx(0.074)


def test_upright_on_the_axle() -> None:
    assert wheel_rate(21e3, 1.0) == 21e3
    assert coil_seat_load(3046, 1.0) == 3046


def test_energy_is_the_same_at_wheel_and_spring() -> None:
    load, rate, ratio = 3000.0, 40e3, 0.7
    spring = coil_seat_load(load, ratio)
    assert spring**2 / (2 * rate) == pytest.approx(load**2 / (2 * wheel_rate(rate, ratio)))


def test_limits_of_two_springs() -> None:
    assert series_rate(20e3, 1e12) == pytest.approx(20e3)
    assert series_rate(20e3, 20e3) == pytest.approx(10e3)
    assert parallel_rate(20e3, 0.0) == 20e3
