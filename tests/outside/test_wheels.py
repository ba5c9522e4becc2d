"""Wheels against worked examples and plane geometry.  Ids are those of the project's list of check values."""

from __future__ import annotations

from math import pi, sin

import pytest

from knowledge.formulas.wheel_offset import backspacing_from_offset, offset_from_backspacing, track_change
from knowledge.formulas.wheels import bolt_circle_from_adjacent, bolt_circle_from_alternate

MM = 1e-3
INCH = 0.0254


def test_worked_example_of_six_holes() -> None:
    # W-01: published worked example, adjacent holes 25.00 apart lie on 50.00
    assert bolt_circle_from_adjacent(25.0, 6) == pytest.approx(50.0, rel=1e-9)


@pytest.mark.parametrize(("lugs", "factor"), [(4, 1.41421356), (5, 1.70130162), (6, 2), (8, 2.61312593)])
def test_adjacent_factor(lugs: int, factor: float) -> None:
    assert bolt_circle_from_adjacent(1.0, lugs) == pytest.approx(factor, abs=1e-6)  # W-02 to W-05: 1/sin(pi/n)


@pytest.mark.parametrize(("lugs", "factor"), [(5, 1.05146222), (6, 1.15470054), (8, 1.41421356)])
def test_alternate_factor(lugs: int, factor: float) -> None:
    assert bolt_circle_from_alternate(1.0, lugs) == pytest.approx(factor, abs=1e-6)  # W-06 to W-08: 1/sin(2 pi/n)


@pytest.mark.parametrize(
    ("lugs", "circle", "adjacent", "alternate"),
    [
        (5, 114.3, 67.184, 108.706),  # W-09: chord = PCD sin(k pi/n)
        (5, 139.7, 82.114, 132.863),  # W-10
        (6, 139.7, 69.850, 120.984),  # W-11
        (8, 165.1, 63.181, 116.743),  # W-12
    ],
)
def test_circles_of_the_trade(lugs: int, circle: float, adjacent: float, alternate: float) -> None:
    assert bolt_circle_from_adjacent(adjacent * MM, lugs) / MM == pytest.approx(circle, abs=0.005)
    assert bolt_circle_from_alternate(alternate * MM, lugs) / MM == pytest.approx(circle, abs=0.005)


@pytest.mark.parametrize(("lugs", "inches", "mm"), [(5, 4.5, 114.3), (5, 5.5, 139.7), (8, 6.5, 165.1)])
def test_inch_and_metric_circles_are_the_same(lugs: int, inches: float, mm: float) -> None:
    # W-13, W-14: 25.4 mm to the inch
    chord = inches * INCH * sin(pi / lugs)
    assert bolt_circle_from_adjacent(chord, lugs) / MM == pytest.approx(mm, abs=1e-9)


def test_backspacing() -> None:
    # W-15: rim 8 in, 0.5 in a flange, offset -19.05 mm
    assert backspacing_from_offset(-19.05 * MM, 8 * INCH, 0.5 * INCH) / INCH == pytest.approx(3.75, abs=0.005)


def test_offset() -> None:
    # W-16: overall width 10 in (9 between the seats), backspacing 4.5 in
    assert offset_from_backspacing(4.5 * INCH, 9 * INCH, 0.5 * INCH) / MM == pytest.approx(-12.7, abs=0.05)


def test_track_change() -> None:
    # W-17: +20 to -12 mm on both sides
    assert track_change(20 * MM, -12 * MM) / MM == pytest.approx(64, rel=1e-12)


def test_five_hole_trap() -> None:
    # W-18: two alternate holes of a 4.5 in circle are 4.280 in apart; taken for the circle that is 4.9 % low
    apart = 4.5 / bolt_circle_from_alternate(1.0, 5)
    assert apart == pytest.approx(4.280, abs=0.005)
    assert bolt_circle_from_alternate(4.280 * INCH, 5) / INCH == pytest.approx(4.5, abs=0.001)
