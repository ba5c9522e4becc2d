"""The tables of fasteners, fittings and inspection limits against the figures of their publications."""

from __future__ import annotations

import pytest

from knowledge.standards.fastening import flare_fittings, grade, nut_factors, threads
from knowledge.standards.inspection import inspection_limits

KPSI = 6894757.293168361


def test_proof_strengths() -> None:
    assert grade("SAE J429 grade 5", 0.0127).proof / KPSI == pytest.approx(85, abs=0.05)  # Shigley, table 8-9
    assert grade("ISO 898-1 class 8.8", 0.016).proof == 580e6  # ISO 898-1, table 3, up to M16
    assert grade("ISO 898-1 class 8.8", 0.018).proof == 600e6  # ISO 898-1, table 3, above M16


def test_nut_factors() -> None:
    # Shigley, table 8-15.
    assert nut_factors()["zinc-plated"] == 0.20
    assert nut_factors()["plain, black finish"] == 0.30
    assert nut_factors()["lubricated"] == 0.18
    assert nut_factors()["cadmium-plated"] == 0.16


def test_misprinted_thread_is_mended() -> None:
    # A public table prints 0.0163 in2 for 7/16-14; ASME B1.1 gives 0.1063.
    assert threads()["7/16-14"].stress_area == pytest.approx(0.1063 * 645.16e-6, rel=1e-9)


@pytest.mark.parametrize(("tube", "thread"), [("3/16 in", "3/8-24"), ("1/4 in", "7/16-24")])
def test_inverted_flare_nuts(tube: str, thread: str) -> None:
    # SAE J512 inverted flare, tables 6-9.
    found = [f for f in flare_fittings() if f.system == "SAE inverted flare" and f.tube == tube]
    assert [f.thread for f in found] == [thread]
    assert "45 deg double flare" in found[0].flare  # SAE J533, fig. 2
    assert "seat 42 deg" in found[0].flare


def test_one_thread_two_flares() -> None:
    # M10x1.0 is used with the double flare and with the bubble flare: the thread does not prove the seal.
    assert len({f.flare for f in flare_fittings() if f.thread == "M10x1.0"}) == 2


@pytest.mark.parametrize(
    ("limit", "value", "unit", "kind"),
    [
        ("I-01", 2.0, "in", "max"),  # 49 CFR 570.7, table 1: lash at a wheel of 16 in or less
        ("I-04", 2.75, "in", "max"),  # 49 CFR 570.7, table 1: lash at a wheel of 22 in
        ("I-05", 0.25, "in", "max"),  # 49 CFR 570.7(b): linkage play at the tread
        ("I-09", 1.5, "ratio", "max"),  # 49 CFR 570.7(d): toe as a multiple of the maker's figure
        ("I-18", 0.125, "in", "max"),  # 49 CFR 570.10(b): rim runout
        ("I-24", 80.0, "%", "max"),  # 49 CFR 570.55(c): pedal travel
        ("I-29", 58.0, "%", "min"),  # UK inspection manual, 1.2.1
    ],
)
def test_inspection_limits(limit: str, value: float, unit: str, kind: str) -> None:
    row = inspection_limits()[limit]
    assert (row.limit, row.unit, row.kind) == (value, unit, kind)


def test_lash_limits_grow_with_the_wheel() -> None:
    # 49 CFR 570.7, table 1: 2, 2 1/4, 2 1/2, 2 3/4 in for wheels of 16, 18, 20, 22 in.
    assert [inspection_limits()[f"I-0{i}"].limit for i in (1, 2, 3, 4)] == [2.0, 2.25, 2.5, 2.75]
