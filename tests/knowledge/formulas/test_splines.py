"""Splines: the diameters in order, the way back from a caliper, metric splines."""

from __future__ import annotations

import pytest

from knowledge.formulas.splines import (
    spline_major_diameter,
    spline_minor_diameter,
    spline_module,
    spline_pitch_diameter,
)


@pytest.mark.parametrize("teeth", [6, 26, 31, 60])
def test_minor_pitch_and_major_are_in_order(teeth: int) -> None:
    module = 0.0254 / 24
    minor, pitch, major = (
        d(teeth, module) for d in (spline_minor_diameter, spline_pitch_diameter, spline_major_diameter)
    )
    assert minor < pitch < major
    assert major - pitch == pytest.approx(module)


def test_module_and_major_diameter_undo_each_other() -> None:
    assert spline_module(28, spline_major_diameter(28, 0.001)) == pytest.approx(0.001)


def test_reference_car_minor_diameter() -> None:
    # 26 of 24/48: minor 26.1 mm.
    assert round(1e3 * spline_minor_diameter(26, 0.0254 / 24), 1) == 26.1
