"""Axle loads while braking, and the share of the braking force they ask for."""

from __future__ import annotations

from knowledge.formulas._registry import formula
from knowledge.formulas.axle_loads import STANDARD_GRAVITY
from knowledge.formulas.braking import MASS
from shared.errors import NoSolution

SHARE = (0.2, 0.8)  # of the static load on the front axle
CG_HEIGHT = (0.2, 1.5)  # m
WHEELBASE = (1.5, 5.0)  # m


@formula(
    valid={"mass": MASS, "deceleration": (0.0, 12.0), "cg_height": CG_HEIGHT, "wheelbase": WHEELBASE},
    rises=("mass", "deceleration", "cg_height"),
    falls=("wheelbase",),
)
def load_transfer(mass: float, deceleration: float, cg_height: float, wheelbase: float) -> float:
    """Load that moves from the rear to the front axle while braking.

    m a h / L

    Parameters
    ----------
    mass : mass [kg]
        Mass of the car as loaded.
    deceleration : acceleration [m/s2]
        Deceleration.
    cg_height : length [m]
        Height of the centre of gravity above the road.
    wheelbase : length [m]
        Between the axles.

    Returns
    -------
    force [N]
        Gained in front, lost behind.

    Valid for
    ---------
    Level road; the body's dive is left out.

    References
    ----------
    Equilibrium; Gillespie, Fundamentals of Vehicle Dynamics.
    """
    return mass * deceleration * cg_height / wheelbase


@formula(
    valid={
        "mass": MASS,
        "front_share": SHARE,
        "deceleration": (0.0, 12.0),
        "cg_height": CG_HEIGHT,
        "wheelbase": WHEELBASE,
    },
    rises=("mass", "front_share", "deceleration", "cg_height"),
    falls=("wheelbase",),
)
def front_axle_load(mass: float, front_share: float, deceleration: float, cg_height: float, wheelbase: float) -> float:
    """Load on the front axle while braking.

    m g f + m a h / L

    Parameters
    ----------
    mass : mass [kg]
        Mass of the car as loaded.
    front_share : share [1]
        Share of the static load on the front axle.
    deceleration : acceleration [m/s2]
        Deceleration.
    cg_height : length [m]
        Height of the centre of gravity above the road.
    wheelbase : length [m]
        Between the axles.

    Returns
    -------
    force [N]
        Load of both front wheels.

    Valid for
    ---------
    Decelerations that leave the rear axle on the road.

    References
    ----------
    Equilibrium; Gillespie, Fundamentals of Vehicle Dynamics.
    """
    return mass * STANDARD_GRAVITY * front_share + load_transfer(mass, deceleration, cg_height, wheelbase)


@formula(
    valid={
        "mass": MASS,
        "front_share": SHARE,
        "deceleration": (0.0, 12.0),
        "cg_height": CG_HEIGHT,
        "wheelbase": WHEELBASE,
    },
    rises=("wheelbase",),
    falls=("front_share", "deceleration", "cg_height"),
    one_way=("mass",),
)
def rear_axle_load(mass: float, front_share: float, deceleration: float, cg_height: float, wheelbase: float) -> float:
    """Load on the rear axle while braking.

    m g (1 - f) - m a h / L

    Parameters
    ----------
    mass : mass [kg]
        Mass of the car as loaded.
    front_share : share [1]
        Share of the static load on the front axle.
    deceleration : acceleration [m/s2]
        Deceleration.
    cg_height : length [m]
        Height of the centre of gravity above the road.
    wheelbase : length [m]
        Between the axles.

    Returns
    -------
    force [N]
        Load of both rear wheels.

    Valid for
    ---------
    Decelerations that leave the rear axle on the road.

    References
    ----------
    Equilibrium; Gillespie, Fundamentals of Vehicle Dynamics.
    """
    load = mass * STANDARD_GRAVITY * (1.0 - front_share) - load_transfer(mass, deceleration, cg_height, wheelbase)
    if load < 0.0:
        raise NoSolution(f"the rear axle lifts off before {deceleration:.1f} m/s2")
    return load


@formula(
    valid={"front_share": SHARE, "braking_rate": (0.0, 1.2), "cg_height": CG_HEIGHT, "wheelbase": WHEELBASE},
    rises=("front_share", "braking_rate", "cg_height"),
    falls=("wheelbase",),
)
def ideal_front_share(front_share: float, braking_rate: float, cg_height: float, wheelbase: float) -> float:
    """Share of the braking force the front axle should have, so that both axles use the same adhesion.

    f + z h / L

    Parameters
    ----------
    front_share : share [1]
        Share of the static load on the front axle.
    braking_rate : share [1]
        Deceleration over g.
    cg_height : length [m]
        Height of the centre of gravity above the road.
    wheelbase : length [m]
        Between the axles.

    Returns
    -------
    share [1]
        Also the front axle's share of the load at that rate.

    Valid for
    ---------
    Rates that leave the rear axle on the road.

    References
    ----------
    Equilibrium; braking texts (Limpert; Gillespie).
    """
    return front_share + braking_rate * cg_height / wheelbase
