"""Braking of the reference car, an invented one whose figures were worked by hand to hang together.

Tolerances are the rounding of the hand-worked figures.
"""

from __future__ import annotations

import numpy as np
import pytest

from knowledge.formulas.adhesion import adhesion_used_front, adhesion_used_rear
from knowledge.formulas.axle_loads import STANDARD_GRAVITY
from knowledge.formulas.booster import booster_assist_max, booster_knee_force, booster_knee_pressure
from knowledge.formulas.brake_balance import (
    adhesion_utilisation_margin,
    front_first_margin,
    rear_lock_deceleration,
)
from knowledge.formulas.brake_volume import (
    circuit_compliance,
    master_stroke_share,
    master_stroke_used,
    pedal_travel,
    pedal_volume,
)
from knowledge.formulas.brakes import disc_effective_radius, disc_torque_per_pressure, drum_torque_per_pressure
from knowledge.formulas.braking import deceleration_at_pressure, line_pressure_for_deceleration
from knowledge.formulas.parking_brake import parking_torque_needed
from knowledge.formulas.pedal_braking import deceleration_at_pedal_force, pedal_force_for_deceleration

BAR = 1e5
REQUIRED = 6.43  # m/s2
FRONT = disc_torque_per_pressure(0.060, 1, 0.38, 0.117)
REAR = drum_torque_per_pressure(0.0206, 2.3, 0.127)
VALVE = {"rear_threshold": 2.5 * BAR, "split": 30 * BAR, "slope": 0.40}
BRAKES = {"loaded_radius": 0.333, "front_torque": FRONT, "rear_torque": REAR, **VALVE}
PEDAL = {
    "pedal_ratio": 4.0,
    "pedal_efficiency": 0.92,
    "return_force": 40.0,
    "booster_gain": 4.5,
    "assist_max": booster_assist_max(0.216, 70e3, 0.93),
    "master_bore": 0.0238,
}
DRIVER, LADEN = 1495.0, 1900.0  # kg: kerb with driver on axles of 815 and 680, laden on 894 and 1006
STANDING = {"driver": (DRIVER, 815 / DRIVER, 0.648), "laden": (LADEN, 894 / LADEN, 0.688)}
SPRUNG = {"driver": 1185.0, "laden": 1590.0}


def balance(state: str, lift: float = 0.0, tyre: float = 0.0, **changed: float) -> dict[str, float]:
    """The car as the balance formulas take it; a lift raises what is sprung, a taller tyre raises everything."""
    mass, share, height = STANDING[state]
    raised = height + lift * SPRUNG[state] / mass + tyre
    car = {"mass": mass, "front_share": share, "cg_height": raised, "wheelbase": 2.560, **BRAKES}
    car["loaded_radius"] += tyre
    return car | changed


def rear(bore: float) -> float:
    return drum_torque_per_pressure(bore, 2.3, 0.127)


def test_torque_per_bar() -> None:
    assert disc_effective_radius(0.280, 0.046) == pytest.approx(0.117)
    front, behind = FRONT * BAR, REAR * BAR
    assert front == pytest.approx(25.1, abs=0.05)
    assert behind == pytest.approx(9.7, abs=0.05)


def test_booster() -> None:
    assert PEDAL["assist_max"] == pytest.approx(2385, abs=1)
    assert booster_knee_pressure(PEDAL["assist_max"], 4.5, 0.0238) / BAR == pytest.approx(69, abs=0.5)
    assert booster_knee_force(PEDAL["assist_max"], 4.5, 4.0, 0.92, 40.0) == pytest.approx(196, abs=0.5)


@pytest.mark.parametrize(("mass", "bar", "force"), [(DRIVER, 50, 145), (LADEN, 65, 185)])
def test_pedal_for_the_service_stop(mass: float, bar: float, force: float) -> None:
    assert line_pressure_for_deceleration(REQUIRED, mass, **BRAKES) / BAR == pytest.approx(bar, abs=0.5)
    assert pedal_force_for_deceleration(REQUIRED, **PEDAL, mass=mass, **BRAKES) == pytest.approx(force, abs=0.5)


@pytest.mark.parametrize(
    ("state", "mass", "expected"),
    [
        ("booster_dead", DRIVER, 5.33),
        ("booster_dead", LADEN, 4.19),
        ("front_lost", LADEN, 1.64),
        ("front_lost_bypass", LADEN, 2.82),
    ],
)
def test_faults_at_500_n(state: str, mass: float, expected: float) -> None:
    assert deceleration_at_pedal_force(500.0, **PEDAL, mass=mass, **BRAKES, state=state) == pytest.approx(
        expected, abs=0.006
    )


def test_other_circuits() -> None:
    """By hand at 40 bar: 2 x 25.14 x 40 = 2011.3 N m in front, behind the valve 34 bar, 2 x 9.735 x 31.5 = 613.3."""
    front, behind = 2 * FRONT * 40 * BAR, 2 * REAR * 31.5 * BAR
    at = {"pressure": 40 * BAR, "mass": DRIVER, **BRAKES}
    assert deceleration_at_pressure(**at) == pytest.approx((front + behind) / 0.333 / DRIVER)
    assert deceleration_at_pressure(**at, circuits="rear_lost") == pytest.approx(front / 0.333 / DRIVER)
    assert deceleration_at_pressure(**at, circuits="diagonal_lost") == pytest.approx(
        (front + behind) / 2 / 0.333 / DRIVER
    )


@pytest.mark.parametrize(
    ("bore", "boosted", "dead", "pedal"),
    [(0.0222, 162, 693, 72), (0.0238, 185, 795, 63), (0.0254, 256, 904, 55), (0.0286, 495, 1143, 43)],
)
def test_master_bores(bore: float, boosted: float, dead: float, pedal: float) -> None:
    chain = {**PEDAL, "master_bore": bore, "mass": LADEN, **BRAKES}
    assert pedal_force_for_deceleration(REQUIRED, **chain) == pytest.approx(boosted, abs=1)
    assert pedal_force_for_deceleration(REQUIRED, **chain, state="booster_dead") == pytest.approx(dead, abs=1)
    assert pedal_travel(master_stroke_used(volume(), bore), 4.0) * 1e3 == pytest.approx(pedal, abs=1)


@pytest.mark.parametrize(("friction", "force"), [(0.34, 225), (0.42, 171)])
def test_pad_friction(friction: float, force: float) -> None:
    brakes = {**BRAKES, "front_torque": disc_torque_per_pressure(0.060, 1, friction, 0.117)}
    assert pedal_force_for_deceleration(REQUIRED, **PEDAL, mass=LADEN, **brakes) == pytest.approx(force, abs=1)


def volume() -> float:
    """Caliper clearance 0.5 mm, cylinders 1.5 mm, regular hoses of 420, 420 and 340 mm less 50 mm of ends each."""
    pressure = line_pressure_for_deceleration(REQUIRED, LADEN, **BRAKES)
    hoses = circuit_compliance(0.420 + 0.420 + 0.340 - 3 * 0.050, "regular")
    return pedal_volume(0.060, 1, 0.0005, 0.0206, 2, 0.0015, hoses, pressure)


def test_pedal_volume() -> None:
    stroke = master_stroke_used(volume(), 0.0238)
    assert stroke * 1e3 == pytest.approx(15.6, abs=0.05)
    assert master_stroke_share(stroke, 0.034) == pytest.approx(0.46, abs=0.005)


@pytest.mark.parametrize(("state", "margin"), [("driver", 0.114), ("laden", 0.149)])
def test_front_locks_first(state: str, margin: float) -> None:
    car = balance(state)
    assert front_first_margin(**car) == pytest.approx(margin, abs=0.001)
    assert front_first_margin(**car) == pytest.approx(_margin(car, 0.15))  # both at 0.15
    assert rear_lock_deceleration(**car) > 0.8 * STANDARD_GRAVITY


# The hand-worked figures were swept with rounded torques; ours are exact and differ by up to 0.002.
@pytest.mark.parametrize(
    ("bore", "lift", "tyre", "margin", "passes"),
    [
        (0.0222, 0.0, 0.0, 0.098, None),
        (0.0222, 0.075, 0.015, 0.016, None),
        (0.0238, 0.0, 0.0, -0.020, 0.77),
        (0.0238, 0.075, 0.015, -0.110, 0.65),
        (0.0238, 0.050, 0.015, -0.080, None),
    ],
)
def test_wheel_cylinders(bore: float, lift: float, tyre: float, margin: float, passes: float | None) -> None:
    car = balance("driver", lift, tyre, rear_torque=rear(bore))
    assert front_first_margin(**car) == pytest.approx(margin, abs=0.002)
    if passes is not None:
        assert rear_lock_deceleration(**car) / STANDARD_GRAVITY == pytest.approx(passes, abs=0.005)


def test_softer_valve_slope() -> None:
    stock = balance("driver", rear_torque=rear(0.0238), slope=0.25)
    lifted = balance("driver", 0.050, 0.015, rear_torque=rear(0.0238), slope=0.25)
    assert front_first_margin(**stock) == pytest.approx(0.039, abs=0.0025)
    assert front_first_margin(**lifted) == pytest.approx(0.028, abs=0.0025)


def test_parking_brake_on_20_per_cent() -> None:
    assert parking_torque_needed(LADEN, 0.20, 0.333, 2) == pytest.approx(609, abs=1)


def _margin(car: dict[str, float], z: float) -> float:
    a = z * STANDARD_GRAVITY
    return adhesion_used_front(a, **car) - adhesion_used_rear(a, **car)


@pytest.mark.parametrize(
    "car",
    [
        balance("driver"),
        balance("laden", 0.075, 0.015),
        balance("driver", rear_torque=rear(0.0238), slope=0.25),
        balance("driver", rear_torque=rear(0.0238), slope=0.0),
        balance("laden", rear_torque=3 * REAR, rear_threshold=0.0),
        balance("driver", split=1 * BAR, slope=0.6),
    ],
)
def test_exact_margins_agree_with_a_sweep(car: dict[str, float]) -> None:
    """Another method: the adhesion curves themselves, swept in steps of 0.0005."""
    rates = np.linspace(0.15, 0.8, 1301)
    swept = [_margin(car, z) for z in rates]
    assert front_first_margin(**car) <= min(swept) + 1e-12
    assert front_first_margin(**car) == pytest.approx(min(swept), abs=5e-4)  # a sweep misses a bend between its steps
    behind = [z for z, margin in zip(rates, swept, strict=True) if margin < 0]
    if behind and behind[0] > 0.15:
        assert rear_lock_deceleration(**car) / STANDARD_GRAVITY == pytest.approx(behind[0], abs=0.0006)

    used = []
    for z in np.linspace(0.001, 0.999, 4000) * (1 - car["front_share"]) * car["wheelbase"] / car["cg_height"]:
        a = z * STANDARD_GRAVITY
        for k in (adhesion_used_front(a, **car), adhesion_used_rear(a, **car)):
            if 0.2 <= k <= 0.8:
                used.append(z - (0.1 + 0.7 * (k - 0.2)))
    assert adhesion_utilisation_margin(**car) == pytest.approx(min(used), abs=0.002)
    assert adhesion_utilisation_margin(**car) <= min(used) + 1e-12
