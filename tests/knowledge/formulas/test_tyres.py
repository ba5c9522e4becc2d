"""Tyre sizes: limits, errors, and the reference car's 215/75R15 on 6.5 in rims."""

from __future__ import annotations

import pytest

from knowledge.formulas.tyres import (
    section_to_rim_ratio,
    section_width_on_rim,
    tyre_free_diameter,
    tyre_rim_diameter,
    tyre_section_height,
    tyre_section_width,
)
from shared.errors import FormulaError

OF_CODE = [tyre_free_diameter, tyre_section_width, tyre_section_height, tyre_rim_diameter]


def test_reference_car() -> None:
    assert [f("215/75R15 100S") for f in OF_CODE] == pytest.approx([0.7035, 0.215, 0.16125, 0.381])


@pytest.mark.parametrize("f", OF_CODE)
def test_no_code(f: object) -> None:
    with pytest.raises(FormulaError, match="not a tyre code"):
        f("fifteen inches")  # type: ignore[operator]


def test_measuring_rim_leaves_the_section() -> None:
    assert section_width_on_rim(0.215, 0.1651, 0.1651) == 0.215


def test_section_to_rim() -> None:
    assert section_to_rim_ratio(0.215, 6.5 * 0.0254) == pytest.approx(1.302, abs=0.001)
