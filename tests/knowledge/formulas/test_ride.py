import pytest

from knowledge.formulas.ride import (
    hop_frequency,
    load_settle,
    ride_frequency,
    ride_frequency_ratio,
    ride_frequency_with_tyre,
    static_deflection,
    static_deflection_at_frequency,
)

# Reference car: front 21.44 N/mm on 310.5 kg, rear 25.06 on 244.5; tyre 225; unsprung 80 and 75 kg a wheel.
FRONT, REAR, TYRE = 21.44e3, 25.06e3, 225e3


def test_reference_frequencies() -> None:
    front, rear = ride_frequency(FRONT, 310.5), ride_frequency(REAR, 244.5)
    assert front == pytest.approx(1.32, abs=0.005)
    assert rear == pytest.approx(1.61, abs=0.005)
    assert ride_frequency_ratio(rear, front) == pytest.approx(1.22, abs=0.005)


def test_reference_frequencies_with_tyre() -> None:
    assert ride_frequency_with_tyre(FRONT, TYRE, 310.5) == pytest.approx(1.26, abs=0.005)
    assert ride_frequency_with_tyre(REAR, TYRE, 244.5) == pytest.approx(1.53, abs=0.005)


def test_reference_frequencies_laden() -> None:
    # 894 and 1006 kg on the axles: 367 and 428 kg sprung a corner.
    assert ride_frequency(FRONT, 367) == pytest.approx(1.22, abs=0.005)
    assert ride_frequency(REAR, 428) == pytest.approx(1.22, abs=0.005)


def test_reference_hop() -> None:
    assert hop_frequency(FRONT, TYRE, 80) == pytest.approx(8.8, abs=0.05)
    assert hop_frequency(REAR, TYRE, 75) == pytest.approx(9.2, abs=0.05)


def test_winch_bar() -> None:
    # Wire 15 coils of 29.9 N/mm under 349.5 kg: 1.47 Hz; soft ones of 17.63: 1.13 Hz; 39 kg sag 18 mm on stock coils.
    assert ride_frequency(29.92e3, 349.5) == pytest.approx(1.47, abs=0.005)
    assert ride_frequency(17.63e3, 349.5) == pytest.approx(1.13, abs=0.005)
    assert load_settle(349.5 * 9.81, 310.5 * 9.81, FRONT) * 1e3 == pytest.approx(18, abs=0.5)


def test_reference_settling_laden() -> None:
    # 428 against 244.5 kg on the rear springs: 72 mm.
    assert load_settle(428 * 9.81, 244.5 * 9.81, REAR) * 1e3 == pytest.approx(72, abs=0.5)
    assert load_settle(3000, 3000, REAR) == 0.0


def test_a_hard_tyre_is_no_tyre() -> None:
    assert ride_frequency_with_tyre(FRONT, 1e15, 310.5) == pytest.approx(ride_frequency(FRONT, 310.5))


def test_deflection_both_ways() -> None:
    assert static_deflection_at_frequency(ride_frequency(FRONT, 310.5)) == pytest.approx(
        static_deflection(FRONT, 310.5)
    )
    # Reference car: 142 mm.
    assert static_deflection(FRONT, 310.5) * 1e3 == pytest.approx(142, abs=0.5)
