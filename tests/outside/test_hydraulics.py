"""Brake hydraulics against published sheets, closed forms by hand, and a root finder.

Ids are those of the project's list of check values; *memory* = the publication was not read.
"""

from __future__ import annotations

import pytest
from scipy.constants import convert_temperature, psi
from scipy.optimize import brentq

from knowledge.formulas.booster import booster_assist_max, booster_dead_pressure, booster_knee_pressure
from knowledge.formulas.brake_volume import circuit_compliance, master_stroke_used, pedal_volume
from knowledge.formulas.brakes import disc_torque_per_pressure
from knowledge.formulas.hydraulics import (
    master_pressure_ratio,
    pedal_force_to_pressure,
    pressure_to_pedal_force,
    valve_rear_pressure,
)
from knowledge.standards import rows

INCH = 0.0254


def test_pedal_force_of_the_design_sheet() -> None:
    # H-03: student design sheet, 948.902 N at the master cylinder and a pedal ratio of 5
    pressure = pedal_force_to_pressure(189.780, 5.0, 1.0, 0.0, 1.0, 0.0, 0.020)
    assert pressure_to_pedal_force(pressure, 5.0, 1.0, 0.0, 1.0, 0.0, 0.020) == pytest.approx(189.780, abs=0.001)
    assert pressure * 3.14159265 * 0.010**2 == pytest.approx(948.902, abs=0.005)


def test_pressure_without_a_servo() -> None:
    # H-05: 300 N, ratio 4.0, bore 25.4 mm, p = F i/A
    pressure = booster_dead_pressure(300, 4.0, 1.0, 0.0, 0.0254)
    assert pressure == pytest.approx(2.36823e6, rel=1e-5)
    # H-06: one 66.04 mm piston, mu 0.38, radius 115 mm, T = 2 mu p A r
    assert disc_torque_per_pressure(0.06604, 1, 0.38, 0.115) * pressure == pytest.approx(708.99, rel=1e-4)


def test_stroke() -> None:
    # H-08: bore 25.4 mm, two 66.04 mm pistons each moving 0.5 mm, volume balance
    volume = pedal_volume(0.06604, 1, 0.0005, 0.0206, 2, 0.0, 0.0, 0.0)
    assert master_stroke_used(volume, 0.0254) * 1e3 == pytest.approx(6.760, abs=0.002)


def test_bore_change() -> None:
    # H-09: 7/8 to 1 in at one force, (7/8) squared
    assert master_pressure_ratio(0.875 * INCH, 1.0 * INCH) == pytest.approx(0.765625, rel=1e-9)


def test_booster_by_hand() -> None:
    # pressure times area: 70 kPa on 216 mm is 70e3 x 0.0366435 = 2565.05 N, x 0.93 = 2385.5
    assist = booster_assist_max(0.216, 70e3, 0.93)
    assert assist == pytest.approx(2385.5, abs=0.1)
    # knee: 2385.5 x 4.5/3.5 = 3067.1 N on 444.881 mm2 is 6.894 MPa
    assert booster_knee_pressure(assist, 4.5, 0.0238) == pytest.approx(6.894e6, rel=1e-3)


@pytest.mark.parametrize("pressure", [1e5, 20e5, 50e5, 68e5, 70e5, 120e5])
def test_pedal_force_by_root_finding(pressure: float) -> None:
    # scipy's brentq on the forward formula, on both sides of the knee at 69 bar
    rig = (4.0, 0.92, 40.0, 4.5, 2385.0, 0.0238)
    found = brentq(lambda force: pedal_force_to_pressure(force, *rig) - pressure, 0.0, 5000.0, xtol=1e-10)
    assert pressure_to_pedal_force(pressure, *rig) == pytest.approx(found, rel=1e-9)


def test_rear_pressure_by_root_finding() -> None:
    # the front pressure that gives 44 bar behind a valve of 30 bar and 0.40: 30 + 14/0.4 = 65 bar by hand
    found = brentq(lambda front: valve_rear_pressure(front, 30e5, 0.40) - 44e5, 0.0, 200e5)
    assert found == pytest.approx(65e5)


def test_hose_at_its_limit() -> None:
    # 49 CFR 571.106 table I (figures memory): 0.66 cm3 per ft at 1000 psi; K-06 gives the test pressures (read)
    assert circuit_compliance(12 * INCH, "regular") * 1000 * psi * 1e6 == pytest.approx(0.66, rel=1e-12)
    assert circuit_compliance(12 * INCH, "low") * 1000 * psi * 1e6 == pytest.approx(0.33, rel=1e-12)


@pytest.mark.parametrize(
    ("grade", "dry", "wet"),
    [
        ("DOT 3", 205, 140),  # K-10: 49 CFR 571.116 S5.1.1, S5.1.2
        ("DOT 4", 230, 155),  # K-11
        ("DOT 5", 260, 180),  # K-12
        ("DOT 5.1", 260, 180),  # K-13 (memory): same class as DOT 5, though a page prints 270 and 191
    ],
)
def test_brake_fluid(grade: str, dry: float, wet: float) -> None:
    (row,) = (row for row in rows("brake_fluid") if row["grade"] == grade)
    assert (float(row["dry_boiling_degc"]), float(row["wet_boiling_degc"])) == (dry, wet)


def test_boiling_point_in_fahrenheit() -> None:
    # K-14: C x 1.8 + 32, here by scipy
    (row,) = (row for row in rows("brake_fluid") if row["grade"] == "DOT 3")
    assert convert_temperature(float(row["dry_boiling_degc"]), "Celsius", "Fahrenheit") == pytest.approx(401)
