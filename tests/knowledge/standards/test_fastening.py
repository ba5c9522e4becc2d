"""The fastening tables are whole, in order, and read into SI."""

from __future__ import annotations

from math import isclose

import pytest

from knowledge.standards.fastening import (
    flare_fittings,
    grade,
    grades,
    nut_factors,
    thread_called,
    thread_word,
    threads,
)
from shared.errors import FormulaError


def test_threads_are_what_their_names_say() -> None:
    for name, thread in threads().items():
        if thread.form == "metric":
            major, pitch = (float(part) / 1e3 for part in name[1:].split("x"))
        else:
            size, per_inch = name.rsplit("-", 1)
            above, _, below = size.partition("/")
            major, pitch = float(above) / float(below or 1) * 0.0254, 0.0254 / float(per_inch)
        assert isclose(thread.major, major, abs_tol=1e-8), name
        assert isclose(thread.pitch, pitch, abs_tol=1e-8), name


def test_coarse_and_fine_of_one_size() -> None:
    for coarse in threads().values():
        if coarse.series in ("UNC", "M coarse"):
            for fine in threads().values():
                if fine.major == coarse.major and fine.form == coarse.form and fine is not coarse:
                    assert fine.pitch < coarse.pitch and fine.stress_area > coarse.stress_area


def test_grades_are_in_order_of_strength() -> None:
    for row in grades():
        assert row.proof < row.yield_stress <= row.tensile, row.name
        assert row.source and row.known_by in ("read", "memory")


@pytest.mark.parametrize(
    ("name", "diameter", "proof"),
    [
        ("SAE J429 grade 2", 0.01905, 379e6),  # 3/4 in belongs to the lower range
        ("SAE J429 grade 2", 0.022225, 228e6),
        ("SAE J429 grade 5", 0.0254, 586e6),
        ("ISO 898-1 class 8.8", 0.016, 580e6),
        ("ISO 898-1 class 8.8", 0.018, 600e6),
    ],
)
def test_size_ranges(name: str, diameter: float, proof: float) -> None:
    assert grade(name, diameter).proof == proof


def test_unknown_grades_and_sizes() -> None:
    with pytest.raises(FormulaError, match=r"no bolt grade is called 'grade 9'; known are SAE J429 grade 1, "):
        grade("grade 9", 0.01)
    with pytest.raises(FormulaError, match="SAE J429 grade 8 has no strength for a bolt of 50 mm"):
        grade("SAE J429 grade 8", 0.05)


def test_two_strengths_never_cover_one_bolt() -> None:
    for thread in threads().values():
        for name in {g.name for g in grades()}:
            assert sum(g.covers(thread.major) for g in grades() if g.name == name) <= 1


def test_flare_fittings() -> None:
    assert len(flare_fittings()) == len(set(flare_fittings())) == 20
    for fitting in flare_fittings():
        assert 0.003 < fitting.tube_outside < 0.02
        assert fitting.thread and fitting.flare and fitting.source


def test_nut_factors_are_plausible() -> None:
    assert all(0.1 <= k <= 0.3 for k in nut_factors().values())


def test_tables_are_read_once_and_cannot_be_changed() -> None:
    assert threads() is threads()
    with pytest.raises(TypeError):
        threads()["1/2-20"] = None  # type: ignore[index]


@pytest.mark.parametrize(
    "same",
    [
        ("M10x1", "M10x1.0", "M10 x 1", "M10×1", "m10X1,0", "M10x1.00 right-hand", "M10 x 1 RH"),
        ("M10x1 left-hand", "M10x1.0 LH", "M10x1.0-LH", "M10×1 left hand thread"),
        ("M12x1.75", "M12x1,75"),
        ("1/2-20", '1/2"-20', "1/2 in - 20 UNF", "1/2-20UNF"),
        ("1-1/8-7", "1 1/8-7 UNC"),
        ("push-in",),
        ("10-32",),
        ("#10-32",),
        ("M10",),
    ],
)
def test_a_thread_is_one_word_however_it_is_spelt(same: tuple[str, ...]) -> None:
    assert {thread_word(text) for text in same} == {same[0]}


def test_threads_that_are_not_the_same_stay_apart() -> None:
    texts = ["M10x1", "M10x1.25", "M10x1.5", "M12x1", "M10x1 left-hand", "M10x1.5-6g", "3/8-24", "3/8-16", "M10"]
    assert len({thread_word(text) for text in texts}) == len(texts)


def test_a_decimal_comma_is_part_of_the_pitch() -> None:
    found = thread_called("M12x1,75")
    assert found is not None and found.pitch == pytest.approx(1.75e-3)
