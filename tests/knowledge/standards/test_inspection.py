"""The table of inspection limits is whole and says for whom each limit is law."""

from __future__ import annotations

from knowledge.standards.inspection import inspection_limits


def test_every_row_is_whole() -> None:
    limits = inspection_limits()
    assert list(limits) == [f"I-{number:02d}" for number in range(1, 36)]
    for limit in limits.values():
        assert limit.limit >= 0 and limit.item and limit.unit and limit.scope and limit.source and limit.clause
    assert sum(limit.known_by == "read" for limit in limits.values()) == 28


def test_scope_tells_light_cars_apart() -> None:
    limits = inspection_limits()
    assert limits["I-01"].binds_light_cars
    assert not limits["I-10"].binds_light_cars  # subpart B: above 10 000 lb
    assert not limits["I-29"].binds_light_cars


def test_no_addresses() -> None:
    for limit in inspection_limits().values():
        assert "://" not in f"{limit.source}{limit.note}{limit.clause}"
