"""From the pedal to the deceleration and back, with everything in between in one call."""

from __future__ import annotations

from knowledge.formulas._registry import formula
from knowledge.formulas.brakes import LOADED_RADIUS, PRESSURE, THRESHOLD, TORQUE_PER_PRESSURE
from knowledge.formulas.braking import MASS, deceleration_at_pressure, line_pressure_for_deceleration
from knowledge.formulas.hydraulics import (
    ASSIST,
    BORE,
    EFFICIENCY,
    GAIN,
    PEDAL_FORCE,
    PEDAL_RATIO,
    RETURN,
    pedal_force_to_pressure,
    pressure_to_pedal_force,
)

_CHAIN = {
    "pedal_ratio": PEDAL_RATIO,
    "pedal_efficiency": EFFICIENCY,
    "return_force": RETURN,
    "booster_gain": GAIN,
    "assist_max": ASSIST,
    "master_bore": BORE,
    "mass": MASS,
    "loaded_radius": LOADED_RADIUS,
    "front_torque": TORQUE_PER_PRESSURE,
    "rear_torque": TORQUE_PER_PRESSURE,
    "rear_threshold": THRESHOLD,
    "split": PRESSURE,
    "slope": (0.0, 1.0),
}
_STRONGER = (
    "pedal_ratio",
    "pedal_efficiency",
    "booster_gain",
    "assist_max",
    "front_torque",
    "rear_torque",
    "split",
    "slope",
)
_WEAKER = ("return_force", "master_bore", "mass", "loaded_radius", "rear_threshold")
BOOSTER_DEAD = "booster_dead"


def _fault(state: str, booster_gain: float, assist_max: float) -> tuple[float, float, str]:
    """Gain, assistance and circuits that a state leaves."""
    if state == BOOSTER_DEAD:
        return 1.0, 0.0, "whole"
    return booster_gain, assist_max, state


@formula(valid={"pedal_force": PEDAL_FORCE, **_CHAIN}, rises=("pedal_force", *_STRONGER), falls=_WEAKER)
def deceleration_at_pedal_force(
    pedal_force: float,
    pedal_ratio: float,
    pedal_efficiency: float,
    return_force: float,
    booster_gain: float,
    assist_max: float,
    master_bore: float,
    mass: float,
    loaded_radius: float,
    front_torque: float,
    rear_torque: float,
    rear_threshold: float,
    split: float,
    slope: float,
    state: str = "whole",
) -> float:
    """Deceleration of the car at a force on the pedal, while no wheel locks.

    ``deceleration_at_pressure`` of ``pedal_force_to_pressure``

    Parameters
    ----------
    pedal_force : force [N]
        Force of the foot.
    pedal_ratio : ratio [1]
        Pedal ratio.
    pedal_efficiency : share [1]
        Efficiency of pedal and rod.
    return_force : force [N]
        Return springs, as felt at the push rod.
    booster_gain : ratio [1]
        Output over input force below the knee; 1 without a booster.
    assist_max : force [N]
        Most the booster adds.
    master_bore : length [m]
        Bore of the master cylinder.
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
    state : word
        "whole", "booster_dead", "front_lost", "front_lost_bypass", "rear_lost" or "diagonal_lost".

    Returns
    -------
    acceleration [m/s2]
        Deceleration.

    Valid for
    ---------
    As the two formulas it joins.

    References
    ----------
    Braking texts (Limpert, Brake Design and Safety).
    """
    gain, assist, circuits = _fault(state, booster_gain, assist_max)
    pressure = pedal_force_to_pressure(
        pedal_force, pedal_ratio, pedal_efficiency, return_force, gain, assist, master_bore
    )
    return deceleration_at_pressure(
        pressure, mass, loaded_radius, front_torque, rear_torque, rear_threshold, split, slope, circuits
    )


@formula(valid={"deceleration": (0.0, 12.0), **_CHAIN}, rises=("deceleration", *_WEAKER), falls=_STRONGER)
def pedal_force_for_deceleration(
    deceleration: float,
    pedal_ratio: float,
    pedal_efficiency: float,
    return_force: float,
    booster_gain: float,
    assist_max: float,
    master_bore: float,
    mass: float,
    loaded_radius: float,
    front_torque: float,
    rear_torque: float,
    rear_threshold: float,
    split: float,
    slope: float,
    state: str = "whole",
) -> float:
    """Force on the pedal that a deceleration takes: the inverse of ``deceleration_at_pedal_force``.

    ``pressure_to_pedal_force`` of ``line_pressure_for_deceleration``

    Parameters
    ----------
    deceleration : acceleration [m/s2]
        Deceleration wanted.
    pedal_ratio : ratio [1]
        Pedal ratio.
    pedal_efficiency : share [1]
        Efficiency of pedal and rod.
    return_force : force [N]
        Return springs, as felt at the push rod.
    booster_gain : ratio [1]
        Output over input force below the knee; 1 without a booster.
    assist_max : force [N]
        Most the booster adds.
    master_bore : length [m]
        Bore of the master cylinder.
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
    state : word
        "whole", "booster_dead", "front_lost", "front_lost_bypass", "rear_lost" or "diagonal_lost".

    Returns
    -------
    force [N]
        UN R13-H takes 65 to 500 N for a service stop.

    Valid for
    ---------
    As the two formulas it joins.

    References
    ----------
    Braking texts (Limpert, Brake Design and Safety).
    """
    gain, assist, circuits = _fault(state, booster_gain, assist_max)
    pressure = line_pressure_for_deceleration(
        deceleration, mass, loaded_radius, front_torque, rear_torque, rear_threshold, split, slope, circuits
    )
    return pressure_to_pedal_force(pressure, pedal_ratio, pedal_efficiency, return_force, gain, assist, master_bore)
