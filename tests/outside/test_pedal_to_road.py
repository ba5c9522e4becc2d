"""From the pedal to the road, and the parking brake on a hill, each solved another way.

Published figures have their source beside them; the rest is equilibrium: a root finder closes the circle that the
formulas go through forwards, or work done is set against energy.  *Memory* = the publication was not read.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import atan2, hypot, pi

import numpy as np
import pytest
from scipy.constants import g, inch, lbf, psi
from scipy.integrate import quad, solve_ivp
from scipy.optimize import brentq

from knowledge.formulas.booster import booster_knee_force, booster_knee_pressure
from knowledge.formulas.brake_volume import (
    master_stroke_share,
    master_stroke_used,
    pedal_travel,
    pedal_volume,
    reservoir_displacement,
)
from knowledge.formulas.brakes import (
    brake_force,
    disc_effective_radius,
    disc_torque_per_pressure,
    drum_torque_per_pressure,
    wheel_brake_torque,
)
from knowledge.formulas.braking import deceleration_at_pressure, line_pressure_for_deceleration
from knowledge.formulas.hydraulics import pedal_force_to_pressure, valve_rear_pressure
from knowledge.formulas.parking_brake import parking_torque_at_force, parking_torque_needed
from knowledge.formulas.pedal_braking import deceleration_at_pedal_force, pedal_force_for_deceleration
from shared.errors import NoSolution


@dataclass(frozen=True)
class Car:
    """A middling car, all in SI; the formulas take the same names."""

    pedal_ratio: float = 3.9
    pedal_efficiency: float = 0.85
    return_force: float = 40.0
    booster_gain: float = 4.5
    assist_max: float = 2600.0
    master_bore: float = 0.0254
    mass: float = 1850.0
    loaded_radius: float = 0.345
    front_torque: float = 3.0e-4
    rear_torque: float = 2.2e-4
    rear_threshold: float = 4.0e5
    split: float = 3.0e6
    slope: float = 0.35


CAR = Car()
CHAIN = vars(CAR)
BRAKES = {
    n: CHAIN[n] for n in ("mass", "loaded_radius", "front_torque", "rear_torque", "rear_threshold", "split", "slope")
}


def piston(bore: float) -> float:
    """Area by integrating rings, not by the closed form."""
    return quad(lambda r: 2 * pi * r, 0.0, bore / 2)[0]


def rod_force(foot: float, car: Car) -> float:
    """Moments about the pedal's pivot: what the rod pushes with, the return springs' share taken off."""
    return max(0.0, foot * car.pedal_ratio * car.pedal_efficiency - car.return_force)


def boosted(rod: float, car: Car) -> float:
    """Output of the booster as its valve sees it: air is let in until the reaction is the rod's share of the output.

    Bisected on the pressure across the diaphragm, which cannot pass what the vacuum gives.
    """

    def too_much(assist: float) -> float:  # reaction felt less the rod's force
        return (rod + assist) / car.booster_gain - rod

    return rod + (car.assist_max if too_much(car.assist_max) < 0 else brentq(too_much, 0.0, car.assist_max + 1e-9))


def balance_of_the_car(foot: float, car: Car) -> float:
    """Deceleration by Newton's second law over all four wheels, one after the other."""
    pressure = boosted(rod_force(foot, car), car) / piston(car.master_bore)
    behind = pressure if pressure <= car.split else car.split + car.slope * (pressure - car.split)
    force = 0.0
    for wheel in ("front left", "front right", "rear left", "rear right"):
        front = wheel.startswith("front")
        torque = car.front_torque * pressure if front else car.rear_torque * max(0.0, behind - car.rear_threshold)
        force += torque / car.loaded_radius
    return force / car.mass


def test_a_published_line_pressure() -> None:
    # A calculator's worked example (read): 100 lbf, pedal ratio 6, no assistance, 1.0 in bore: about 760 psi.
    pressure = pedal_force_to_pressure(100 * lbf, 6.0, 1.0, 0.0, 1.0, 0.0, inch)
    assert pressure / psi == pytest.approx(760, rel=0.01)


def test_the_trades_rule_for_a_pedal() -> None:
    # A trade paper's article on brake arithmetic (read): 70 lb of foot and a ratio of 6.2 put 434 lb on the rod.
    area = pi / 4 * inch**2
    pressure = pedal_force_to_pressure(70 * lbf, 6.2, 1.0, 0.0, 1.0, 0.0, inch)
    assert pressure * area / lbf == pytest.approx(434, abs=0.5)


@pytest.mark.parametrize("foot", [5.0, 30.0, 90.0, 180.0, 240.0, 300.0, 500.0])
def test_deceleration_at_a_foots_force(foot: float) -> None:
    assert deceleration_at_pedal_force(foot, **CHAIN) == pytest.approx(
        balance_of_the_car(foot, CAR), rel=1e-9, abs=1e-12
    )


@pytest.mark.parametrize("wanted", [0.5, 2.0, 4.0, 5.8, 7.0, 9.0])
def test_the_foots_force_for_a_deceleration(wanted: float) -> None:
    foot = brentq(lambda f: balance_of_the_car(f, CAR) - wanted, 0.0, 3000.0, xtol=1e-12)
    assert pedal_force_for_deceleration(wanted, **CHAIN) == pytest.approx(foot, rel=1e-9)


def test_what_is_left_with_a_circuit_or_the_booster_lost() -> None:
    """The same wheels by hand at 500 N: the front alone, the rear behind its valve, each half, and no assistance."""
    pressure = boosted(rod_force(500.0, CAR), CAR) / piston(CAR.master_bore)
    front = 2 * CAR.front_torque * pressure
    behind = CAR.split + CAR.slope * (pressure - CAR.split)
    rear = 2 * CAR.rear_torque * (behind - CAR.rear_threshold)
    bypass = 2 * CAR.rear_torque * (pressure - CAR.rear_threshold)
    per_torque = 1 / (CAR.loaded_radius * CAR.mass)
    dead = balance_of_the_car(500.0, Car(assist_max=0.0))
    for state, expected in {
        "rear_lost": front * per_torque,
        "front_lost": rear * per_torque,
        "front_lost_bypass": bypass * per_torque,
        "diagonal_lost": (front + rear) / 2 * per_torque,
        "booster_dead": dead,
    }.items():
        assert deceleration_at_pedal_force(500.0, **CHAIN, state=state) == pytest.approx(expected, rel=1e-9)
        assert pedal_force_for_deceleration(expected, **CHAIN, state=state) == pytest.approx(500.0, rel=1e-9)


def test_knee_where_the_slope_breaks() -> None:
    """The knee is where output against foot stops rising by the gain: found on the curve, by its second difference."""
    feet = np.linspace(100.0, 400.0, 3001)
    output = np.array([boosted(rod_force(f, CAR), CAR) for f in feet])
    knee = feet[1:-1][np.argmin(np.diff(output, 2))]
    force = booster_knee_force(
        CAR.assist_max, CAR.booster_gain, CAR.pedal_ratio, CAR.pedal_efficiency, CAR.return_force
    )
    assert force == pytest.approx(knee, abs=0.11)
    at_knee = boosted(rod_force(force, CAR), CAR) / piston(CAR.master_bore)
    assert booster_knee_pressure(CAR.assist_max, CAR.booster_gain, CAR.master_bore) == pytest.approx(at_knee, rel=1e-9)


def test_stopping_does_as_much_work_as_the_car_has_energy() -> None:
    """A stop from 100 km/h stepped by scipy: what the four brakes turn into heat is m v^2 / 2."""
    pressure, speed = 4.0e6, 100 / 3.6
    deceleration = deceleration_at_pressure(pressure, **BRAKES)
    behind = valve_rear_pressure(pressure, CAR.split, CAR.slope)
    torque = 2 * wheel_brake_torque(pressure, CAR.front_torque, 0.0) + 2 * wheel_brake_torque(
        behind, CAR.rear_torque, CAR.rear_threshold
    )

    def stopped(_t: float, state: list[float]) -> float:
        return state[0]

    stopped.terminal = True  # type: ignore[attr-defined]
    run = solve_ivp(
        lambda _t, s: [-deceleration, torque * s[0] / CAR.loaded_radius],
        (0, 60),
        [speed, 0.0],
        events=stopped,
        rtol=1e-10,
    )
    assert run.y[1][-1] == pytest.approx(CAR.mass * speed**2 / 2, rel=1e-8)


@pytest.mark.parametrize("wanted", [0.3, 1.0, 3.0, 5.8, 8.0])
@pytest.mark.parametrize("circuits", ["whole", "front_lost", "front_lost_bypass", "rear_lost", "diagonal_lost"])
def test_line_pressure_by_a_root_finder(wanted: float, circuits: str) -> None:
    """scipy brentq on Newton's law written out here."""

    def surplus(pressure: float) -> float:
        behind = (
            pressure
            if pressure <= CAR.split or circuits == "front_lost_bypass"
            else (CAR.split + CAR.slope * (pressure - CAR.split))
        )
        share = {"whole": (2, 2), "rear_lost": (2, 0), "diagonal_lost": (1, 1)}.get(circuits, (0, 2))
        torque = share[0] * CAR.front_torque * pressure + share[1] * CAR.rear_torque * max(
            0.0, behind - CAR.rear_threshold
        )
        return torque / CAR.loaded_radius - CAR.mass * wanted

    expected = brentq(surplus, 0.0, 1e8, xtol=1e-6)
    assert line_pressure_for_deceleration(wanted, **BRAKES, circuits=circuits) == pytest.approx(expected, rel=1e-9)


def test_disc_torque_over_the_pads_face() -> None:
    """Even pressure on an annular pad, friction summed over its face: the middle of the pad is within 2 % of it.

    Shigley, Mechanical Engineering Design, caliper brakes (memory): uniform wear acts at the mean radius exactly,
    uniform pressure at (2/3)(ro^3 - ri^3)/(ro^2 - ri^2).
    """
    diameter, pad, mu, bore, pressure = 0.28, 0.05, 0.38, 0.06, 5e6
    outer, inner = diameter / 2, diameter / 2 - pad
    moment, face = quad(lambda r: r * r, inner, outer)[0], quad(lambda r: r, inner, outer)[0]
    even_pressure = moment / face
    even_wear = quad(lambda r: r, inner, outer)[0] / quad(lambda _r: 1.0, inner, outer)[0]
    effective = disc_effective_radius(diameter, pad)
    assert effective == pytest.approx(even_wear, rel=1e-12)
    assert effective == pytest.approx(even_pressure, rel=0.02)
    both_faces = 2 * mu * piston(bore) * pressure * effective
    assert wheel_brake_torque(pressure, disc_torque_per_pressure(bore, 1, mu, effective), 0.0) == pytest.approx(
        both_faces, rel=1e-9
    )


def test_drum_with_one_leading_and_one_trailing_shoe() -> None:
    """Two shoes pinned 100 mm below the axle's middle, pushed 100 mm above it, their linings' force at its height:
    moments about each pin.  The leading shoe helps itself (Limpert, Brake Design and Safety, memory)."""
    radius, mu, bore, pressure, pin, push_height = 0.127, 0.38, 0.022, 4e6, 0.1, 0.2
    push = piston(bore) * pressure
    leading = mu * push * push_height / (pin - mu * radius)
    trailing = mu * push * push_height / (pin + mu * radius)
    factor = (leading + trailing) / push
    assert 1.9 < factor < 2.5  # the band that the formula's note gives for such shoes
    torque = wheel_brake_torque(pressure, drum_torque_per_pressure(bore, factor, radius), 0.0)
    assert torque == pytest.approx((leading + trailing) * radius, rel=1e-9)


def test_force_at_the_road_turns_no_wheel() -> None:
    """Moments about the hub of a wheel in steady braking: road force and brake leave nothing over."""
    force = brake_force(690.0, 0.345)
    moment = np.cross([0.0, 0.0, -0.345], [-force, 0.0, 0.0])
    assert moment[1] == pytest.approx(690.0)


def test_pedal_travel_by_turning_the_pedal() -> None:
    """A pedal 300 mm long whose rod is 75 mm from the pivot, turned by a small angle: arcs in the ratio 4."""
    angle = 0.001
    pad = np.array([hypot(0.3 * np.sin(angle), 0.3 * (1 - np.cos(angle)))])
    rod = np.array([hypot(0.075 * np.sin(angle), 0.075 * (1 - np.cos(angle)))])
    assert pedal_travel(float(rod[0]), 0.3 / 0.075) == pytest.approx(float(pad[0]), rel=1e-12)


def test_the_fluid_pushed_out_of_the_master_is_the_fluid_taken_up() -> None:
    """Cylinders swept by integration: the four brakes', new to worn, and the master's stroke for the same volume."""
    front, rear = piston(0.066), piston(0.022)
    stroke = 2 * (front * 0.0005 + 2 * rear * 0.0015) / piston(0.0254)
    used = master_stroke_used(pedal_volume(0.066, 1, 0.0005, 0.022, 2, 0.0015, 0.0, 5e6), 0.0254)
    assert used == pytest.approx(stroke, rel=1e-9)
    # Of 34 mm that is what it is a part of; one that asks for more than there is has no answer.
    assert master_stroke_share(used, 0.034) * 0.034 == pytest.approx(stroke, rel=1e-9)
    with pytest.raises(NoSolution):
        master_stroke_share(0.035, 0.034)
    # 49 CFR 571.135 S5.4.2 (memory): the reservoir holds what goes out as all linings go from new to fully worn.
    worn = sum(area * count * wear for area, count, wear in ((front, 1, 0.018), (rear, 2, 0.001)) for _side in "lr")
    assert reservoir_displacement(0.066, 1, 0.018, 0.022, 2, 0.001) == pytest.approx(worn, rel=1e-9)


@pytest.mark.parametrize("percent", [8, 12, 18, 20, 30])
def test_holding_on_a_hill_by_forces(percent: int) -> None:
    """Weight split along and across the slope by vectors; the regulation's hill is 20 % (49 CFR 571.135 S7.12, UN
    R13-H annex 3, 2.3, memory)."""
    mass, radius = 2100.0, 0.345
    down_hill = np.array([np.cos(atan2(percent, 100)), -np.sin(atan2(percent, 100))])
    pull = float(np.dot([0.0, -mass * g], down_hill))
    assert parking_torque_needed(mass, percent / 100, radius, 2) == pytest.approx(pull * radius / 2, rel=1e-12)


def test_hand_to_drum_by_the_work_of_a_small_pull() -> None:
    """Virtual work: without friction the hand's path times its force is the shoes' path times theirs."""
    hand, ratio, efficiency, factor, radius = 300.0, 40.0, 0.7, 2.0, 0.127
    path = 0.001
    at_each_drum = hand * path / (path / ratio) / 2
    expected = at_each_drum * efficiency * factor * radius
    assert parking_torque_at_force(hand, ratio, efficiency, factor, radius) == pytest.approx(expected, rel=1e-12)
