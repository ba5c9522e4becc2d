"""What a person reads in a yard, typed as they would, turned into the attribute that decides: against outside figures.

Every case goes through the public ``calc`` with texts and units.  Sources stand beside the values.
"""

from __future__ import annotations

from math import pi, radians, sin

import pytest

from shared.ranges import Range
from shared.reading import read_quantity
from solver import calc

CASES: list[tuple[str, dict[str, str], str, str, float]] = [
    # bolt circles: chords of a circle, PCD sin(k pi / n); 4.5 in = 114.3 mm, 5.5 in = 139.7 mm, 6.5 in = 165.1 mm
    ("bolt_circle_from_adjacent", {"spacing": "70.71 mm", "lugs": "4"}, "100.0 mm", "4 x 100: 100 sin 45 deg", 1e-4),
    ("bolt_circle_from_adjacent", {"spacing": "67.184 mm", "lugs": "5"}, "4.5 in", "5 x 114.3: PCD sin 36 deg", 1e-4),
    ("bolt_circle_from_alternate", {"spacing": "108.706 mm", "lugs": "5"}, "4.5 in", "5 x 114.3: PCD sin 72 deg", 1e-4),
    ("bolt_circle_from_adjacent", {"spacing": "69.85 mm", "lugs": "6"}, "5.5 in", "6 x 139.7: PCD sin 30 deg", 1e-4),
    ("bolt_circle_from_adjacent", {"spacing": "63.181 mm", "lugs": "8"}, "6.5 in", "8 x 165.1: PCD sin 22.5 deg", 1e-4),
    (
        "bolt_circle_from_alternate",
        {"spacing": "116.743 mm", "lugs": "8"},
        "165.1 mm",
        "8 x 165.1: PCD sin 45 deg",
        1e-4,
    ),
    # wheels: overall width 10 in, backspacing 4.5 in gives -12.7 mm (worked example of a wheel maker's page)
    (
        "offset_from_backspacing",
        {"backspacing": "4.5 in", "rim_width": "9 in", "flange_allowance": "0.5 in"},
        "-12.7 mm",
        "ET = BS - overall / 2",
        1e-4,
    ),
    # gears
    ("axle_ratio_from_teeth", {"ring_teeth": "41", "pinion_teeth": "11"}, "3.727", "definition, 41/11", 1e-3),
    ("axle_ratio_from_teeth", {"ring_teeth": "39", "pinion_teeth": "11"}, "3.545", "definition, 39/11", 1e-3),
    (
        "axle_ratio_from_turns",
        {"pinion_turns": "8.2", "wheel_turns": "4", "wheels": "1"},
        "4.10",
        "one wheel held: the ring turns half as often (open differential, mean of both wheels)",
        1e-9,
    ),
    (
        "axle_ratio_from_turns",
        {"pinion_turns": "41", "wheel_turns": "10", "wheels": "2"},
        "4.10",
        "both wheels together",
        1e-9,
    ),
    # splines: 24/48 pitch, major (N + 1) / P, ANSI B92.1 (from memory): 31 teeth 1.333 in
    ("spline_module", {"teeth": "31", "outside": "1.3333 in"}, "1.05833 mm", "25.4 / 24 mm a tooth", 1e-3),
    ("spline_major_diameter", {"teeth": "28", "module": "1.05833 mm"}, "1.2083 in", "(28 + 1) / 24 in", 1e-3),
    ("spline_minor_diameter", {"teeth": "26", "module": "1.05833 mm"}, "26.1 mm", "(26 - 1.35) / 24 in", 3e-3),
    # brakes: area of a 60 mm piston, pi d^2 / 4
    ("circle_area", {"diameter": "60 mm"}, "28.274 cm2", "geometry", 1e-4),
    ("circle_area", {"diameter": "7/8 in"}, "387.95 mm2", "0.6013 in2, as master cylinder tables print it", 1e-3),
    # springs: G d^4 / (8 D^3 n), EN 13906-1; 12.7 mm wire on 127 mm by hand
    (
        "coil_rate",
        {"wire": "1/2 in", "mean_diameter": "5 in", "active_coils": "8", "shear_modulus": "11500 ksi"},
        "89.84 lbf/in",
        "11.5e6 x 0.5^4 / (8 x 125 x 8)",
        1e-3,
    ),
    # leaves: one of 60 x 7 mm, I = 60 x 7^3 / 12 mm4, 1 m between the eyes
    (
        "leaf_rate",
        {
            "second_moment": "1715 mm4",
            "front_half": "500 mm",
            "rear_half": "500 mm",
            "clamped_each_side": "0 mm",
            "young_modulus": "206 GPa",
            "stiffening": "1.0",
        },
        "11.305 N/mm",
        "beam of uniform strength on two ends, 2/3 of 48 E I / L^3",
        1e-3,
    ),
    # hoses: 12-5-84 box, diagonal 85 (12^2 + 5^2 + 84^2 = 85^2)
    (
        "hose_straight_length",
        {"along": "120 mm", "across": "50 mm", "height": "840 mm"},
        "850 mm",
        "box diagonal",
        1e-9,
    ),
    ("hose_bend_length", {"radius": "40 mm", "bend": "180 deg"}, "125.66 mm", "half a circle, pi r", 1e-4),
    ("total", {"values": "850; 125.66; 30"}, "1005.66", "pieces of one path", 1e-9),
    # tyres: D = d + 2 S a / 100 (UN R30, ISO 4000-1); flotation sizes name the diameter (T&RA)
    ("tyre_free_diameter", {"code": "235/75R15"}, "733.5 mm", "UN R30", 1e-4),
    ("tyre_free_diameter", {"code": "P215/75R15"}, "703.5 mm", "UN R30", 1e-4),
    ("tyre_free_diameter", {"code": "LT235/85R16"}, "805.9 mm", "UN R30", 1e-4),
    ("tyre_free_diameter", {"code": "31x10.50R15"}, "787.4 mm", "T&RA: the first number", 1e-4),
    ("tyre_free_diameter", {"code": "205/65R15"}, "647.5 mm", "UN R30", 1e-4),
    ("tyre_section_width", {"code": "31x10.50R15"}, "266.7 mm", "T&RA: the second number", 1e-4),
    ("load_index_capacity", {"load_index": "104"}, "900 kg", "UN R30 and R54, load-capacity index", 1e-9),
    # a wire read at three places, and the spread of a pair
    ("mean", {"values": "13.9; 14.0; 14.1"}, "14.0", "definition", 1e-9),
    ("spread", {"values": "412; 409"}, "3", "definition", 1e-9),
    ("coil_mean_diameter", {"outside_diameter": "139 mm", "wire": "14 mm"}, "125 mm", "EN 13906-1, D = De - d", 1e-9),
    ("coil_active_coils", {"total_coils": "10.5", "dead_coils": "1.5"}, "9", "EN 13906-1", 1e-9),
    ("diameter_from_girth", {"around": "220 mm"}, "70.03 mm", "U / pi", 1e-4),
    # angles: printed tables of sines and tangents (from memory), 0.1736 and 0.1763 at 10 deg; a 3-4-5 triangle
    ("inclination_from_heights", {"height_difference": "173.6 mm", "length": "1 m"}, "10 deg", "table of sines", 3e-4),
    ("angle_from_gap", {"gap": "17.63 mm", "length": "100 mm"}, "10 deg", "table of tangents", 3e-4),
    ("inclination_from_heights", {"height_difference": "-0.3 m", "length": "0.5 m"}, "-36.87 deg", "3-4-5", 1e-4),
    ("inclination_from_face", {"reading": "86.5 deg", "square_off": "90 deg"}, "-3.5 deg", "a square on a shaft", 1e-9),
    ("joint_angle_from_level", {"one_reading": "-2 deg", "other_reading": "4.5 deg"}, "6.5 deg", "protractor", 1e-9),
    # shares by hand: tyres of 787.4 mm for 733.5 mm, rates of 30.455 and 35.140 N/mm
    ("relative_change", {"value": "787.4", "base": "733.5"}, "0.07348", "787.4 / 733.5", 1e-4),
    ("quotient", {"a": "35.140", "b": "30.455"}, "1.15383", "long division", 1e-5),
    ("mismatch_share", {"a": "30.455", "b": "35.140"}, "0.13332", "4.685 of 35.140", 1e-4),
    ("absolute", {"a": "-12.7"}, "12.7", "definition", 1e-12),
    # tyres and hoses: a load of 3900 N at 220 N/mm presses 17.7 mm in; a section 1.47 times its rim; 430 mm of 412
    (
        "tyre_loaded_radius",
        {"load": "3900 N", "vertical_rate": "220 N/mm", "diameter": "733.5 mm"},
        "349.02 mm",
        "366.75 - 17.73",
        1e-4,
    ),
    ("section_to_rim_ratio", {"section": "235 mm", "rim": "6.5 in"}, "1.4234", "235 / 165.1", 1e-4),
    ("tyre_load_share", {"load": "1100 kg", "capacity": "1290.9 kg"}, "0.85212", "two of load index 96 / 1.10", 1e-4),
    ("hose_spare", {"free_length": "430 mm", "needed": "412 mm"}, "18 mm", "laid beside a rule", 1e-9),
]


@pytest.mark.parametrize(
    ("name", "given", "expected", "source", "tolerance"), CASES, ids=lambda x: x if isinstance(x, str) else ""
)
def test_a_reading_becomes_the_attribute(
    name: str, given: dict[str, str], expected: str, source: str, tolerance: float
) -> None:
    document = calc(name, given)
    assert source and document.source
    measure = document.result.measure
    wanted = read_quantity(expected, measure).value
    assert document.result.lo == pytest.approx(wanted.lo, rel=tolerance)


def test_a_reading_with_its_doubt_stays_a_range() -> None:
    """A tape reads a chord to 1 mm: 73.5 +/- 1 mm over two of five holes is 123.3 to 126.8 mm, 125 and 127 alike."""
    document = calc("bolt_circle_from_adjacent", {"spacing": "73.5 +/- 1 mm", "lugs": "5"})
    assert document.result.lo is not None and document.result.hi is not None
    low, high = (x / sin(pi / 5) for x in (0.0725, 0.0745))
    assert document.result.lo == pytest.approx(low) and document.result.hi == pytest.approx(high)
    assert Range(document.result.lo, document.result.hi).contains(0.125)
    assert not Range(document.result.lo, document.result.hi).contains(0.1275)


def test_a_level_reading() -> None:
    """Pinion 5.5 deg and sill 1.5 deg by the same phone: 4 deg against the car."""
    document = calc("inclination_from_level", {"reading": "5.5 deg", "sill_reading": "1.5 deg"})
    assert document.result.lo == pytest.approx(radians(4.0))
