import pytest

from knowledge.formulas.damping import critical_damping, damping_at_wheel, damping_ratio


def test_reference_damping() -> None:
    # Reference car: critical 5161 front (21.445 N/mm, 310.5 kg), 4951 rear (25.06, 244.5); 0.3 of them 1548, 1485.
    assert critical_damping(21.445e3, 310.5) == pytest.approx(5161, abs=1)
    assert critical_damping(25.06e3, 244.5) == pytest.approx(4951, abs=1)
    assert damping_ratio(1548, 21.445e3, 310.5) == pytest.approx(0.3, abs=0.0005)
    assert damping_ratio(1485, 25.06e3, 244.5) == pytest.approx(0.3, abs=0.0005)


def test_limits() -> None:
    assert damping_ratio(0.0, 21e3, 300) == 0.0
    assert damping_ratio(critical_damping(21e3, 300), 21e3, 300) == pytest.approx(1.0)
    assert damping_at_wheel(1500, 1.0) == 1500
    assert damping_at_wheel(1500, 0.5) == 375
