"""Vacuum booster: what it can add, where its knee lies, and what is left when it is dead."""

from __future__ import annotations

from knowledge.formulas._registry import formula
from knowledge.formulas.hydraulics import (
    ASSIST,
    BORE,
    EFFICIENCY,
    PEDAL_FORCE,
    PEDAL_RATIO,
    RETURN,
    bore_area,
    pedal_force_to_pressure,
)


@formula(
    valid={
        "diaphragm": (0.1, 0.35),
        "vacuum": (0.0, 100e3),
        "efficiency": (0.5, 1.0),
        "second_diaphragm": (0.0, 0.35),
    },
    rises=("diaphragm", "vacuum", "efficiency", "second_diaphragm"),
)
def booster_assist_max(diaphragm: float, vacuum: float, efficiency: float, second_diaphragm: float = 0.0) -> float:
    """Most a vacuum booster adds to the push rod.

    vacuum x area x efficiency, over both diaphragms

    Parameters
    ----------
    diaphragm : length [m]
        Working diameter of the diaphragm.
    vacuum : pressure [Pa]
        Pressure below the atmosphere's in the booster.
    efficiency : share [1]
        What the diaphragm's edge and the return spring leave of it.
    second_diaphragm : length [m]
        Working diameter of the second diaphragm of a tandem booster; 0 for a single one.

    Returns
    -------
    force [N]
        Greatest assistance.

    Valid for
    ---------
    Vacuum boosters; a hydraulic one has no such knee.

    References
    ----------
    Pressure times area; the efficiency of about 0.93 is common practice, no source.
    """
    return vacuum * (bore_area(diaphragm) + bore_area(second_diaphragm)) * efficiency


@formula(
    valid={"assist_max": ASSIST, "booster_gain": (1.01, 10.0), "master_bore": BORE},
    rises=("assist_max",),
    falls=("booster_gain", "master_bore"),
)
def booster_knee_pressure(assist_max: float, booster_gain: float, master_bore: float) -> float:
    """Line pressure at which the booster gives all it has.

    p = assist_max x gain / (gain - 1) / A

    Parameters
    ----------
    assist_max : force [N]
        Most the booster adds.
    booster_gain : ratio [1]
        Output over input force below the knee, above 1.
    master_bore : length [m]
        Bore of the master cylinder.

    Returns
    -------
    pressure [Pa]
        Beyond it the pedal turns hard.

    Valid for
    ---------
    Vacuum boosters.

    References
    ----------
    Equilibrium.
    """
    return assist_max * booster_gain / (booster_gain - 1.0) / bore_area(master_bore)


@formula(
    valid={
        "assist_max": ASSIST,
        "booster_gain": (1.01, 10.0),
        "pedal_ratio": PEDAL_RATIO,
        "pedal_efficiency": EFFICIENCY,
        "return_force": RETURN,
    },
    rises=("assist_max", "return_force"),
    falls=("booster_gain", "pedal_ratio", "pedal_efficiency"),
)
def booster_knee_force(
    assist_max: float, booster_gain: float, pedal_ratio: float, pedal_efficiency: float, return_force: float
) -> float:
    """Pedal force at which the booster gives all it has.

    F = (assist_max / (gain - 1) + F_return) / (i eta)

    Parameters
    ----------
    assist_max : force [N]
        Most the booster adds.
    booster_gain : ratio [1]
        Output over input force below the knee, above 1.
    pedal_ratio : ratio [1]
        Pedal ratio.
    pedal_efficiency : share [1]
        Efficiency of pedal and rod.
    return_force : force [N]
        Return springs, as felt at the push rod.

    Returns
    -------
    force [N]
        Pedal force at the knee.

    Valid for
    ---------
    Vacuum boosters.

    References
    ----------
    Equilibrium.
    """
    return (assist_max / (booster_gain - 1.0) + return_force) / (pedal_ratio * pedal_efficiency)


@formula(
    valid={
        "pedal_force": PEDAL_FORCE,
        "pedal_ratio": PEDAL_RATIO,
        "pedal_efficiency": EFFICIENCY,
        "return_force": RETURN,
        "master_bore": BORE,
    },
    rises=("pedal_force", "pedal_ratio", "pedal_efficiency"),
    falls=("return_force", "master_bore"),
)
def booster_dead_pressure(
    pedal_force: float, pedal_ratio: float, pedal_efficiency: float, return_force: float, master_bore: float
) -> float:
    """Line pressure from the force on the pedal with the booster dead, or without one.

    p = max(0, F i eta - F_return) / A

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
    master_bore : length [m]
        Bore of the master cylinder.

    Returns
    -------
    pressure [Pa]
        Pressure in both circuits.

    Valid for
    ---------
    A booster without vacuum in reserve.

    References
    ----------
    Equilibrium.
    """
    return pedal_force_to_pressure(pedal_force, pedal_ratio, pedal_efficiency, return_force, 1.0, 0.0, master_bore)
