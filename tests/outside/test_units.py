"""Units against the outside world: published factors, and two libraries that keep their own."""

from typing import Any

import pint
import pytest
import scipy.constants as sc

from shared.reading import read_quantity
from shared.units import convert, measures

# NIST SP 811 (2008), appendices B.8 and B.9: exact by definition or products of exact factors (from memory; the inch
# was also read).  Each expected figure was taken from there, not from this project.
NIST = [
    ("1 in", "length", "mm", 25.4),
    ("1 lb", "mass", "kg", 0.45359237),
    ("1 g", "acceleration", "m/s2", 9.80665),
    ("1 lbf", "force", "N", 4.4482216152605),
    ("1 psi", "pressure", "Pa", 6894.757293168361),
    ("1 lbf ft", "torque", "N m", 1.3558179483314),
    ("1 lbf in", "torque", "N m", 0.1129848290276167),
    ("1 lbf/in", "spring_rate", "N/m", 175.1268352464764),
    ("1 mph", "speed", "m/s", 0.44704),
    ("1 hp", "power", "W", 745.6998715822702),
    ("1 in2", "area", "mm2", 645.16),
    ("1 MPa", "pressure", "psi", 145.0377377302092),
]


@pytest.mark.parametrize(("text", "measure", "unit", "expected"), NIST)
def test_published_factors(text: str, measure: str, unit: str, expected: float) -> None:
    si = read_quantity(text, measure).value.lo
    factor, offset = measures()[measure].spellings[unit]
    assert (si - offset) / factor == pytest.approx(expected, rel=1e-12)
    assert convert(1.0, text.removeprefix("1 "), unit, measure) == pytest.approx(expected, rel=1e-12)


# Mercury at 13.5951 g/cm3 under standard gravity ("conventional"): NIST SP 811, B.9, to the seven digits it prints
# (from memory).  scipy's mmHg is 1/760 atmosphere, another unit 1.4e-7 away.
@pytest.mark.parametrize(("unit", "expected"), [("inHg", 3386.389), ("mmHg", 133.3224)])
def test_columns_of_mercury(unit: str, expected: float) -> None:
    assert convert(1.0, unit, "Pa", "pressure") == pytest.approx(expected, rel=2e-7)


def test_brake_fluid_boiling_point() -> None:
    # 205 degC is 401 degF exactly, by C x 1.8 + 32 (dry boiling point of the lowest brake fluid grade).
    assert convert(205, "degC", "degF", "temperature") == 401
    assert read_quantity("205 degC", "temperature").value == read_quantity("401 degF", "temperature").value


@pytest.mark.parametrize(
    ("trade", "metric"),
    # Bolt circles and bars the trade names both ways: 5.5 in is 139.7 mm, 6.5 in is 165.1 mm (unit conversion).
    [
        ("4 1/2 in", "114.3 mm"),
        ("5.5 in", "139.7 mm"),
        ("6 1/2 in", "165.1 mm"),
        ("5 in", "127 mm"),
        ('1/8"', "3.175 mm"),
    ],
)
def test_trade_sizes_are_the_very_same_number(trade: str, metric: str) -> None:
    assert read_quantity(trade, "length").value == read_quantity(metric, "length").value


# scipy.constants keeps its own table, from CODATA and the definitions.
SCIPY = [
    ("length", "in", sc.inch),
    ("length", "ft", sc.foot),
    ("length", "mile", sc.mile),
    ("mass", "lb", sc.pound),
    ("mass", "oz", sc.ounce),
    ("mass", "t", sc.metric_ton),
    ("force", "lbf", sc.pound_force),
    ("force", "kgf", sc.kilogram_force),
    ("pressure", "psi", sc.psi),
    ("pressure", "bar", sc.bar),
    ("torque", "ft-lb", sc.pound_force * sc.foot),
    ("spring_rate", "lb/in", sc.pound_force / sc.inch),
    ("speed", "km/h", sc.kmh),
    ("speed", "mph", sc.mph),
    ("acceleration", "g", sc.g),
    ("power", "hp", sc.hp),
    ("volume", "l", sc.liter),
    ("volume", "gal", sc.gallon_US),
    ("angle", "deg", sc.degree),
    ("angle", "arcmin", sc.arcmin),
    ("time", "h", sc.hour),
    ("time", "day", sc.day),
    ("rotation", "rpm", 2 * sc.pi / sc.minute),
]


@pytest.mark.parametrize(("measure", "unit", "expected"), SCIPY)
def test_scipy_agrees(measure: str, unit: str, expected: float) -> None:
    assert measures()[measure].spellings[unit] == (pytest.approx(expected, rel=1e-14), 0.0)


@pytest.mark.parametrize(("ours", "theirs"), [("degC", "Celsius"), ("degF", "Fahrenheit")])
@pytest.mark.parametrize("x", [-40.0, 0.0, 20.0, 205.0])
def test_scipy_agrees_on_temperature(ours: str, theirs: str, x: float) -> None:
    expected = sc.convert_temperature(x, theirs, "Kelvin")
    assert convert(x, ours, "K", "temperature") == pytest.approx(expected, rel=1e-14)


REGISTRY: pint.UnitRegistry[Any] = pint.UnitRegistry()

# Texts pint's own parser reads rightly, checked through it: the traps it falls into are in tests/shared.
PINT = [
    ("14 mm", "length", "14 mm"),
    ("230 N m", "torque", "230 N*m"),
    ("80 ft-lb", "torque", "80 ft*lbf"),
    ("18 in-lb", "torque", "18 inch*lbf"),
    ("32 psi", "pressure", "32 psi"),
    ("20 inHg", "pressure", "20 inHg"),
    ("180 lb/in", "spring_rate", "180 lbf/inch"),
    ("5.6 kgf/mm", "spring_rate", "5.6 kgf/mm"),
    ("90 km/h", "speed", "90 km/hour"),
    ("2500 rpm", "rotation", "2500 rpm"),
    ("72 cpm", "frequency", "72/minute"),
    ("225 cm3/min", "flow", "225 cm**3/minute"),
    ("19 lb/h", "mass_flow", "19 lb/hour"),
    ("0.8 g", "acceleration", "0.8 standard_gravity"),
    ("12 lbf s/in", "damping", "12 lbf*second/inch"),
    ("3.5 cm4", "second_moment", "3.5 cm**4"),
]


@pytest.mark.parametrize(("text", "measure", "asked"), PINT)
def test_pint_agrees(text: str, measure: str, asked: str) -> None:
    expected = REGISTRY.Quantity(asked).to(measures()[measure].si).magnitude
    assert read_quantity(text, measure).value.lo == pytest.approx(expected, rel=1e-14)
