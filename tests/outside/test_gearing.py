"""Gearing against printed constants, tooth counts and a regulation.  Ids: the project's list of check values."""

from __future__ import annotations

from fractions import Fraction
from math import pi

import pytest

from knowledge.formulas.axle_ratios import (
    axle_ratio_from_teeth,
    effective_ratio,
    ground_speed_mismatch,
    ratio_mismatch,
    ratio_to_restore,
)
from knowledge.formulas.gearing import crawl_ratio, engine_speed_at, overall_ratio, road_speed_at
from knowledge.formulas.speedometer import (
    revs_change_share,
    speedometer_over_reading,
    speedometer_over_reading_limit,
    speedometer_reading_ratio,
)

INCH = 0.0254
KMH = 1 / 3.6
MPH = 0.44704  # U-09: m/s in a mile per hour, NIST SP 811
RPM = 2 * pi / 60


def test_constant_of_the_road_speed_rule() -> None:
    # G-01: mi/h = rpm x D(in) / (ratio x 336.135), commonly printed 336
    speed = road_speed_at(1000 * RPM, 30 / 2 * INCH, 1.0, 4.0) / MPH
    assert 1000 * 30 / (4.0 * speed) == pytest.approx(336.135, abs=0.001)


def test_road_speed() -> None:
    # G-02, G-03: 2500 rpm, 31 in, 4.10
    speed = road_speed_at(2500 * RPM, 31 / 2 * INCH, 1.00, 4.10)
    assert speed / MPH == pytest.approx(56.235, abs=0.001)
    assert speed / KMH == pytest.approx(90.501, abs=0.002)
    assert engine_speed_at(speed, 31 / 2 * INCH, 1.00, 4.10) / RPM == pytest.approx(2500)


def test_tyres_and_ratio() -> None:
    assert effective_ratio(4.10, 0.7335, 0.7874) == pytest.approx(3.8193, abs=1e-4)  # G-04: ratio x d/D
    assert ratio_to_restore(3.55, 0.7335, 0.7874) == pytest.approx(3.8109, abs=1e-4)  # G-05: ratio x D/d


def test_teeth() -> None:
    front, rear = axle_ratio_from_teeth(37, 9), axle_ratio_from_teeth(41, 10)
    assert front == pytest.approx(4.1111, abs=1e-4)  # G-06
    assert ratio_mismatch(front, rear) * 100 == pytest.approx(0.2710, abs=5e-4)  # G-07
    assert ratio_mismatch(3.54, 3.55) * 100 == pytest.approx(0.2825, abs=5e-4)  # G-08


@pytest.mark.parametrize(("true", "shown"), [(50, 59), (70, 81), (90, 103), (110, 125), (130, 147)])
def test_speedometer_limit(true: float, shown: float) -> None:
    # UN R39 5.3 as a newspaper works it out: at a true 50 km/h no more than 59 may be shown, and so on
    assert (true * KMH + speedometer_over_reading_limit(true * KMH)) / KMH == pytest.approx(shown)


MILE = 1609.344
TURNS_OF_THE_CABLE = 1001  # a mile, as speedometers of the trade are made (read in several calculators' pages)


def teeth_that_read_right(drive: float, axle: float, diameter: float) -> float:
    """Teeth of the driven gear: drive teeth x axle ratio x turns of the wheel in a mile / 1001 (the same pages)."""
    return drive * axle * MILE / (pi * diameter * INCH) / TURNS_OF_THE_CABLE


@pytest.mark.parametrize(("axle", "inches"), [(3.07, 27.0), (3.55, 28.9), (4.10, 31.0), (4.56, 33.0)])
def test_speedometer_gear_of_the_trades_rule(axle: float, inches: float) -> None:
    """From a car that reads right with the rule's gear, to any other tyre and ratio with the rule's gear there."""
    stock = teeth_that_read_right(8, 3.55, 27.7)
    new = teeth_that_read_right(8, axle, inches)
    shown = speedometer_reading_ratio(1.0, 3.55, axle, 27.7 / 2 * INCH, inches / 2 * INCH, stock, new)
    assert shown == pytest.approx(1.0, rel=1e-12)
    # One tooth too many: the cable turns too seldom.
    turns = MILE / (pi * inches * INCH) * axle * 8 / (new + 1)
    shown = speedometer_reading_ratio(1.0, 3.55, axle, 27.7 / 2 * INCH, inches / 2 * INCH, stock, new + 1)
    assert shown == pytest.approx(turns / TURNS_OF_THE_CABLE, rel=1e-9)


def test_a_published_example_of_turns_in_a_mile() -> None:
    # The same pages: 20 in, ratio 3 and 40 drive teeth want about 121 driven teeth (1008.4 turns of the wheel a mile).
    assert teeth_that_read_right(40, 3.0, 20.0) == pytest.approx(121, abs=0.5)


def test_taller_tyres_make_the_truth_faster_than_shown() -> None:
    # Tyres of 733.5 mm for 703.5 mm (UN R30 sizes 235/75R15 and 215/75R15): at a shown 100 the car does 104.26 km/h.
    ratio = speedometer_reading_ratio(1.0, 3.55, 3.55, 0.7035 / 2, 0.7335 / 2, 31, 31)
    assert 100 / ratio == pytest.approx(104.264, abs=0.001)
    assert speedometer_over_reading(104.264 * KMH, ratio) / KMH == pytest.approx(-4.264, abs=0.001)


def test_revs_by_counting_them_over_a_mile() -> None:
    before = MILE / (pi * 27.7 * INCH) * 3.55
    after = MILE / (pi * 31.0 * INCH) * 4.10
    change = revs_change_share(3.55, 4.10, 27.7 / 2 * INCH, 31.0 / 2 * INCH)
    assert change == pytest.approx(after / before - 1, rel=1e-9)


def test_overall_and_crawl_ratio_by_counting_teeth() -> None:
    """A train of whole teeth, as a rational number: engine turns for one turn of the wheel."""
    gear, low, axle = Fraction(57, 15), Fraction(49, 18), Fraction(41, 10)
    turns = gear * low * axle
    assert overall_ratio(float(gear), float(low), float(axle)) == pytest.approx(float(turns), rel=1e-12)
    assert crawl_ratio(float(gear), float(low), float(axle)) == pytest.approx(float(turns), rel=1e-12)


@pytest.mark.parametrize(
    ("front", "rear", "tall"), [(4.10, 4.11, 1.0), (3.55, 3.54, 1.0), (3.54, 3.55, 1.02), (3.55, 3.55, 1.0)]
)
def test_axles_of_one_transfer_box_on_one_road(front: float, rear: float, tall: float) -> None:
    """Metres each axle rolls for 1000 turns of the propeller shafts, and what the shorter is short of."""
    ways = [1000 / front * 2 * pi * 0.34 * tall, 1000 / rear * 2 * pi * 0.34]
    expected = (max(ways) - min(ways)) / min(ways)
    assert ground_speed_mismatch(front, rear, 0.34 * tall, 0.34) == pytest.approx(expected, rel=1e-9, abs=1e-15)
