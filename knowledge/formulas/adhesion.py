"""Adhesion each axle uses while braking: its braking force over its load."""

from __future__ import annotations

from knowledge.formulas._registry import formula
from knowledge.formulas.brake_loads import CG_HEIGHT, SHARE, WHEELBASE, front_axle_load, rear_axle_load
from knowledge.formulas.brakes import LOADED_RADIUS, PRESSURE, THRESHOLD, TORQUE_PER_PRESSURE
from knowledge.formulas.braking import MASS, axle_torques, line_pressure_for_deceleration
from shared.errors import NoSolution

CAR = {
    "mass": MASS,
    "front_share": SHARE,
    "cg_height": CG_HEIGHT,
    "wheelbase": WHEELBASE,
    "loaded_radius": LOADED_RADIUS,
    "front_torque": TORQUE_PER_PRESSURE,
    "rear_torque": TORQUE_PER_PRESSURE,
    "rear_threshold": THRESHOLD,
    "split": PRESSURE,
    "slope": (0.0, 1.0),
}


@formula(
    valid={"deceleration": (0.0, 12.0), **CAR},
    rises=("wheelbase", "front_torque", "rear_threshold"),
    falls=("front_share", "cg_height", "rear_torque", "split", "slope"),
)
def adhesion_used_front(
    deceleration: float,
    mass: float,
    front_share: float,
    cg_height: float,
    wheelbase: float,
    loaded_radius: float,
    front_torque: float,
    rear_torque: float,
    rear_threshold: float,
    split: float,
    slope: float,
) -> float:
    """Adhesion the front axle uses at a deceleration.

    k_f = F_f / (m g (f + z h / L)), at the line pressure that gives the deceleration

    Parameters
    ----------
    deceleration : acceleration [m/s2]
        Deceleration.
    mass : mass [kg]
        Mass of the car as loaded.
    front_share : share [1]
        Share of the static load on the front axle.
    cg_height : length [m]
        Height of the centre of gravity above the road.
    wheelbase : length [m]
        Between the axles.
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

    Returns
    -------
    ratio [1]
        The front locks on a road whose friction is less.

    Valid for
    ---------
    Four like tyres, both circuits whole.

    References
    ----------
    UN R13-H annex 5 (from memory); braking texts (Limpert; Gillespie).
    """
    front, _ = _forces(deceleration, mass, loaded_radius, front_torque, rear_torque, rear_threshold, split, slope)
    return front / front_axle_load(mass, front_share, deceleration, cg_height, wheelbase)


@formula(
    valid={"deceleration": (0.0, 12.0), **CAR},
    rises=("front_share", "cg_height", "rear_torque", "split", "slope"),
    falls=("wheelbase", "front_torque", "rear_threshold"),
)
def adhesion_used_rear(
    deceleration: float,
    mass: float,
    front_share: float,
    cg_height: float,
    wheelbase: float,
    loaded_radius: float,
    front_torque: float,
    rear_torque: float,
    rear_threshold: float,
    split: float,
    slope: float,
) -> float:
    """Adhesion the rear axle uses at a deceleration.

    k_r = F_r / (m g (1 - f - z h / L)), at the line pressure that gives the deceleration

    Parameters
    ----------
    deceleration : acceleration [m/s2]
        Deceleration.
    mass : mass [kg]
        Mass of the car as loaded.
    front_share : share [1]
        Share of the static load on the front axle.
    cg_height : length [m]
        Height of the centre of gravity above the road.
    wheelbase : length [m]
        Between the axles.
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

    Returns
    -------
    ratio [1]
        The rear locks on a road whose friction is less.

    Valid for
    ---------
    Four like tyres, both circuits whole.

    References
    ----------
    UN R13-H annex 5 (from memory); braking texts (Limpert; Gillespie).
    """
    _, rear = _forces(deceleration, mass, loaded_radius, front_torque, rear_torque, rear_threshold, split, slope)
    load = rear_axle_load(mass, front_share, deceleration, cg_height, wheelbase)
    if load == 0.0:
        raise NoSolution(f"the rear axle carries nothing at {deceleration:.1f} m/s2")
    return rear / load


def _forces(
    deceleration: float,
    mass: float,
    loaded_radius: float,
    front_torque: float,
    rear_torque: float,
    rear_threshold: float,
    split: float,
    slope: float,
) -> tuple[float, float]:
    """Braking force of both axles [N] at a deceleration."""
    pressure = line_pressure_for_deceleration(
        deceleration, mass, loaded_radius, front_torque, rear_torque, rear_threshold, split, slope
    )
    front, rear = axle_torques(pressure, front_torque, rear_torque, rear_threshold, split, slope)
    return front / loaded_radius, rear / loaded_radius
