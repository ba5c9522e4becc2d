"""The coil spring in the car: its load, its lift, its length at bump, its hold at droop; rates at the wheel."""

from __future__ import annotations

from knowledge.formulas._registry import formula
from knowledge.formulas.springs import LENGTH, LOAD, RATE

MOTION_RATIO = (0.2, 1.5)
TRAVEL = (0.0, 0.5)
SPACER = (0.0, 0.15)


@formula(valid={"first": RATE, "second": RATE}, rises=("first", "second"))
def series_rate(first: float, second: float) -> float:
    """Rate of two springs end on end, as a spring on a tyre.

    1/k = 1/k1 + 1/k2

    Parameters
    ----------
    first : spring_rate [N/m]
        One spring.
    second : spring_rate [N/m]
        The other.

    Returns
    -------
    spring_rate [N/m]
        Below either.

    Valid for
    ---------
    Linear springs that carry the same load.

    References
    ----------
    Statics.
    """
    return first * second / (first + second)


@formula(valid={"first": (0.0, 1e6), "second": (0.0, 1e6)}, rises=("first", "second"))
def parallel_rate(first: float, second: float) -> float:
    """Rate of two springs side by side, as the two of an axle or a spring with its helper.

    k = k1 + k2

    Parameters
    ----------
    first : spring_rate [N/m]
        One spring.
    second : spring_rate [N/m]
        The other.

    Returns
    -------
    spring_rate [N/m]
        Sum.

    Valid for
    ---------
    Linear springs that deflect alike.

    References
    ----------
    Statics.
    """
    return first + second


@formula(valid={"rate": RATE, "motion_ratio": MOTION_RATIO}, rises=("rate", "motion_ratio"))
def wheel_rate(rate: float, motion_ratio: float) -> float:
    """Rate of a spring as the wheel feels it, both wheels moving together.

    k_w = k MR^2

    Parameters
    ----------
    rate : spring_rate [N/m]
        Of the spring.
    motion_ratio : ratio [1]
        Spring travel over wheel travel, MR; 1 for a spring upright on the axle.

    Returns
    -------
    spring_rate [N/m]
        Force at the wheel per travel of the wheel.

    Valid for
    ---------
    Small travel about the height at which the ratio was taken.

    References
    ----------
    Virtual work.
    """
    return rate * motion_ratio**2


@formula(valid={"corner_load": LOAD, "motion_ratio": MOTION_RATIO}, rises=("corner_load",), falls=("motion_ratio",))
def coil_seat_load(corner_load: float, motion_ratio: float) -> float:
    """Load along a coil that carries the sprung load of its corner.

    F = F_corner / MR

    Parameters
    ----------
    corner_load : force [N]
        Sprung load at the wheel.
    motion_ratio : ratio [1]
        Spring travel over wheel travel.

    Returns
    -------
    force [N]
        Along the spring.

    Valid for
    ---------
    Rest on level ground.

    References
    ----------
    Virtual work.
    """
    return corner_load / motion_ratio


@formula(
    valid={
        "new_length": LENGTH,
        "stock_length": LENGTH,
        "spacer": SPACER,
        "stock_spacer": SPACER,
        "motion_ratio": MOTION_RATIO,
    },
    rises=("new_length", "spacer"),
    falls=("stock_length", "stock_spacer"),
    one_way=("motion_ratio",),
)
def coil_ride_lift(
    new_length: float, stock_length: float, spacer: float, stock_spacer: float, motion_ratio: float
) -> float:
    """Lift at the axle from a coil that stands longer, and from what is put under it.

    lift = (L + s - L_stock - s_stock) / MR

    Parameters
    ----------
    new_length : length [m]
        Of the coil at ride, under this car's load.
    stock_length : length [m]
        Of the stock coil at ride, under the stock load.
    spacer : length [m]
        Height of spacer, seat and isolator together now.
    stock_spacer : length [m]
        The same on the stock car.
    motion_ratio : ratio [1]
        Spring travel over wheel travel.

    Returns
    -------
    length [m]
        Body up from the axle; negative when the car sits lower.

    Valid for
    ---------
    Travel over which the motion ratio holds.

    References
    ----------
    Geometry.
    """
    return (new_length + spacer - stock_length - stock_spacer) / motion_ratio


@formula(
    valid={"length_at_ride": LENGTH, "metal_travel": TRAVEL, "motion_ratio": MOTION_RATIO},
    rises=("length_at_ride",),
    falls=("metal_travel", "motion_ratio"),
)
def coil_length_at_metal(length_at_ride: float, metal_travel: float, motion_ratio: float) -> float:
    """Length of a coil with the bump stop fully crushed.

    L = L_ride - travel MR

    Parameters
    ----------
    length_at_ride : length [m]
        Under this car's load.
    metal_travel : length [m]
        Wheel travel from this ride height to a fully crushed stop.
    motion_ratio : ratio [1]
        Spring travel over wheel travel.

    Returns
    -------
    length [m]
        Seat to seat at metal; zero or less says that the seats would meet.

    Valid for
    ---------
    Travel over which the motion ratio holds.

    References
    ----------
    Geometry.
    """
    return length_at_ride - metal_travel * motion_ratio


@formula(
    valid={
        "free_length": LENGTH,
        "length_at_ride": LENGTH,
        "droop_travel": (-0.2, 0.5),
        "motion_ratio": MOTION_RATIO,
    },
    rises=("free_length",),
    falls=("length_at_ride", "droop_travel"),
    one_way=("motion_ratio",),
)
def coil_preload_at_droop(free_length: float, length_at_ride: float, droop_travel: float, motion_ratio: float) -> float:
    """Compression a coil still has when the damper stops the axle from falling further.

    x = L0 - L_ride - travel MR

    Parameters
    ----------
    free_length : length [m]
        Unloaded, L0.
    length_at_ride : length [m]
        Under this car's load.
    droop_travel : length [m]
        Wheel travel from this ride height to the end of the droop.
    motion_ratio : ratio [1]
        Spring travel over wheel travel.

    Returns
    -------
    length [m]
        Negative: the coil is loose in its seats by that much.

    Valid for
    ---------
    Travel over which the motion ratio holds.  A spacer changes neither length, so it does not seat a loose coil.

    References
    ----------
    Geometry.
    """
    return free_length - length_at_ride - droop_travel * motion_ratio
