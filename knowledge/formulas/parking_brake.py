"""Parking brake: the torque a slope asks for, and what the hand gives."""

from __future__ import annotations

from math import atan, sin

from knowledge.formulas._registry import formula
from knowledge.formulas.axle_loads import STANDARD_GRAVITY


@formula(
    valid={"mass": (300.0, 6000.0), "grade": (0.0, 0.6), "loaded_radius": (0.2, 0.7), "wheels": (1.0, 4.0)},
    rises=("mass", "grade", "loaded_radius"),
    falls=("wheels",),
)
def parking_torque_needed(mass: float, grade: float, loaded_radius: float, wheels: float) -> float:
    """Torque the parking brake must hold at each wheel it acts on.

    m g sin(atan grade) r / wheels

    Parameters
    ----------
    mass : mass [kg]
        Mass of the car as loaded.
    grade : share [1]
        Rise over run of the slope, 0.20 for 20 %.
    loaded_radius : length [m]
        Loaded radius of the tyres.
    wheels : count [1]
        Wheels the parking brake acts on.

    Returns
    -------
    torque [N m]
        At one wheel.

    Valid for
    ---------
    Wheels loaded enough to hold the car by friction.

    References
    ----------
    Equilibrium; UN R13-H and 49 CFR 571.135 S7.12 ask for 20 % laden (from memory).
    """
    return mass * STANDARD_GRAVITY * sin(atan(grade)) * loaded_radius / wheels


@formula(
    valid={
        "hand_force": (0.0, 800.0),
        "lever_ratio": (1.0, 80.0),
        "efficiency": (0.3, 1.0),
        "factor": (0.5, 10.0),
        "drum_radius": (0.05, 0.25),
    },
    rises=("hand_force", "lever_ratio", "efficiency", "factor", "drum_radius"),
)
def parking_torque_at_force(
    hand_force: float, lever_ratio: float, efficiency: float, factor: float, drum_radius: float
) -> float:
    """Torque a cable-worked drum parking brake gives at each of two wheels.

    F i eta / 2 x C* r

    Parameters
    ----------
    hand_force : force [N]
        Force on the lever or pedal.
    lever_ratio : ratio [1]
        Shoe force over hand force without friction: hand lever times the lever in the drum.
    efficiency : share [1]
        What cable and levers leave; 0.6 to 0.8 is common practice.
    factor : ratio [1]
        Brake factor C* of the shoes.
    drum_radius : length [m]
        Half the drum's inside diameter.

    Returns
    -------
    torque [N m]
        At one wheel.

    Valid for
    ---------
    An equaliser that shares the cable's force evenly.

    References
    ----------
    Levers; braking texts (Limpert); efficiency common practice, no source.
    """
    return hand_force * lever_ratio * efficiency / 2 * factor * drum_radius
