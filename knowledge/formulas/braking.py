"""Deceleration of the whole car from line pressure, and back.

Rear brakes sit behind the valve and, if drums, do nothing below a threshold that their return springs set.
"""

from __future__ import annotations

from math import isfinite

from knowledge.formulas._registry import formula
from knowledge.formulas.brakes import LOADED_RADIUS, PRESSURE, THRESHOLD, TORQUE_PER_PRESSURE, wheel_brake_torque
from knowledge.formulas.hydraulics import valve_front_pressure, valve_rear_pressure
from shared.errors import FormulaError, NoSolution

MASS = (300.0, 6000.0)  # kg, the car as it stands
BEYOND = 100e6  # Pa, more than any brake line bears

# Share of the front and of the rear brakes that work, and whether the valve still limits the rear.
CIRCUITS = {
    "whole": (1.0, 1.0, True),
    "front_lost": (0.0, 1.0, True),
    "front_lost_bypass": (0.0, 1.0, False),
    "rear_lost": (1.0, 0.0, True),
    "diagonal_lost": (0.5, 0.5, True),
}


def axle_torques(
    pressure: float,
    front_torque: float,
    rear_torque: float,
    rear_threshold: float,
    split: float,
    slope: float,
    circuits: str = "whole",
) -> tuple[float, float]:
    """Braking torque of the front and of the rear axle [N m] at a line pressure; arguments as the formulas'."""
    if circuits not in CIRCUITS:
        raise FormulaError(f"circuits is one of {', '.join(CIRCUITS)}, not {circuits!r}")
    front, rear, limited = CIRCUITS[circuits]
    behind = valve_rear_pressure(pressure, split, slope) if limited else pressure
    return 2 * front * front_torque * pressure, 2 * rear * wheel_brake_torque(behind, rear_torque, rear_threshold)


def pressure_bends(rear_threshold: float, split: float, slope: float) -> tuple[float, ...]:
    """Line pressures [Pa] where torque against pressure bends: the rear setting in, the valve holding back."""
    bends = {valve_front_pressure(rear_threshold, split, slope), split}
    return tuple(sorted(bend for bend in bends if isfinite(bend)))


@formula(
    valid={
        "pressure": PRESSURE,
        "mass": MASS,
        "loaded_radius": LOADED_RADIUS,
        "front_torque": TORQUE_PER_PRESSURE,
        "rear_torque": TORQUE_PER_PRESSURE,
        "rear_threshold": THRESHOLD,
        "split": PRESSURE,
        "slope": (0.0, 1.0),
    },
    rises=("pressure", "front_torque", "rear_torque", "split", "slope"),
    falls=("mass", "loaded_radius", "rear_threshold"),
)
def deceleration_at_pressure(
    pressure: float,
    mass: float,
    loaded_radius: float,
    front_torque: float,
    rear_torque: float,
    rear_threshold: float,
    split: float,
    slope: float,
    circuits: str = "whole",
) -> float:
    """Deceleration of the car at a line pressure, while no wheel locks.

    (T_front + T_rear) / (r m)

    Parameters
    ----------
    pressure : pressure [Pa]
        Line pressure at the master cylinder.
    mass : mass [kg]
        Mass of the car as loaded.
    loaded_radius : length [m]
        Loaded radius of the tyres.
    front_torque : torque_per_pressure [N m/Pa]
        Of one front brake.
    rear_torque : torque_per_pressure [N m/Pa]
        Of one rear brake.
    rear_threshold : pressure [Pa]
        Pressure below which the rear brake does nothing.
    split : pressure [Pa]
        Split pressure of the valve.
    slope : share [1]
        Slope of the valve above the split.
    circuits : word
        "whole", "front_lost", "front_lost_bypass" (the valve then lets the whole pressure to the rear),
        "rear_lost", or "diagonal_lost" (half of each axle).

    Returns
    -------
    acceleration [m/s2]
        Deceleration.  Adhesion may give out first: see ``adhesion_used_front`` and ``adhesion_used_rear``.

    Valid for
    ---------
    Four like tyres; rolling resistance, engine braking and the wheels' inertia are left out.

    References
    ----------
    Braking texts (Limpert, Brake Design and Safety).
    """
    front, rear = axle_torques(pressure, front_torque, rear_torque, rear_threshold, split, slope, circuits)
    return (front + rear) / (loaded_radius * mass)


@formula(
    valid={
        "deceleration": (0.0, 12.0),
        "mass": MASS,
        "loaded_radius": LOADED_RADIUS,
        "front_torque": TORQUE_PER_PRESSURE,
        "rear_torque": TORQUE_PER_PRESSURE,
        "rear_threshold": THRESHOLD,
        "split": PRESSURE,
        "slope": (0.0, 1.0),
    },
    rises=("deceleration", "mass", "loaded_radius", "rear_threshold"),
    falls=("front_torque", "rear_torque", "split", "slope"),
)
def line_pressure_for_deceleration(
    deceleration: float,
    mass: float,
    loaded_radius: float,
    front_torque: float,
    rear_torque: float,
    rear_threshold: float,
    split: float,
    slope: float,
    circuits: str = "whole",
) -> float:
    """Line pressure a deceleration takes: the inverse of ``deceleration_at_pressure``, solved piece by piece.

    Parameters
    ----------
    deceleration : acceleration [m/s2]
        Deceleration wanted.
    mass : mass [kg]
        Mass of the car as loaded.
    loaded_radius : length [m]
        Loaded radius of the tyres.
    front_torque : torque_per_pressure [N m/Pa]
        Of one front brake.
    rear_torque : torque_per_pressure [N m/Pa]
        Of one rear brake.
    rear_threshold : pressure [Pa]
        Pressure below which the rear brake does nothing.
    split : pressure [Pa]
        Split pressure of the valve.
    slope : share [1]
        Slope of the valve above the split.
    circuits : word
        As for ``deceleration_at_pressure``.

    Returns
    -------
    pressure [Pa]
        Line pressure at the master cylinder.

    Valid for
    ---------
    As ``deceleration_at_pressure``.

    References
    ----------
    Braking texts (Limpert, Brake Design and Safety).
    """
    wanted = deceleration * mass * loaded_radius

    bypassed = circuits in CIRCUITS and not CIRCUITS[circuits][2]
    sets_in = rear_threshold if bypassed else valve_front_pressure(rear_threshold, split, slope)

    def torque(pressure: float) -> float:
        front, rear = axle_torques(pressure, front_torque, rear_torque, rear_threshold, split, slope, circuits)
        return front + rear if pressure > sets_in else front  # the way there and back through the valve is rounded

    start, begun = 0.0, torque(0.0)
    for end in (rear_threshold,) if bypassed else pressure_bends(rear_threshold, split, slope):
        if (reached := torque(end)) >= wanted:
            return start if wanted <= begun else start + (wanted - begun) / (reached - begun) * (end - start)
        start, begun = end, reached
    gain = (torque(start + BEYOND) - begun) / BEYOND  # the last piece is straight
    if wanted - begun > gain * (BEYOND - start):
        raise NoSolution(
            f"{deceleration:.2f} m/s2 would take more than {BEYOND / 1e6:.0f} MPa in the lines, if it can be had at all"
        )
    return start + (wanted - begun) / gain
