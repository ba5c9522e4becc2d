"""Steering box: its ratio, the sweep it has and the sweep it owes, and the force it puts into the linkage."""

from __future__ import annotations

from math import asin, pi, sin

from knowledge.formulas._registry import formula
from shared.errors import NoSolution

ARM = (0.05, 0.35)  # m


@formula(valid={"wheel_turns": (1.0, 9.0), "sector_sweep": (0.5, 2.5)}, rises=("wheel_turns",), falls=("sector_sweep",))
def steering_box_ratio(wheel_turns: float, sector_sweep: float) -> float:
    """Ratio of a steering box from its turns from stop to stop and the sweep of its sector.

    2 pi turns / sweep

    Parameters
    ----------
    wheel_turns : turns [1]
        Turns of the input shaft, stop to stop.
    sector_sweep : angle [rad]
        Turn of the sector shaft over the same.

    Returns
    -------
    ratio [1]
        Input turn per output turn, the mean over the sweep.

    Valid for
    ---------
    Any recirculating or worm box; one of variable ratio is quicker at the ends.

    References
    ----------
    Definition.
    """
    return 2 * pi * wheel_turns / sector_sweep


@formula(
    valid={"box_ratio": (5.0, 40.0), "arm": ARM, "pitman": ARM},
    rises=("box_ratio", "arm"),
    falls=("pitman",),
)
def overall_steering_ratio(box_ratio: float, arm: float, pitman: float) -> float:
    """Turn of the steering wheel per turn of the road wheel, straight ahead.

    box ratio arm / pitman

    Parameters
    ----------
    box_ratio : ratio [1]
        Ratio of the steering box.
    arm : length [m]
        Steering arm at the knuckle.
    pitman : length [m]
        Pitman arm, sector to link.

    Returns
    -------
    ratio [1]
        Overall ratio at the middle.

    Valid for
    ---------
    Both arms square to the link, straight ahead.

    References
    ----------
    Lever ratio.
    """
    return box_ratio * arm / pitman


@formula(
    valid={"arm": ARM, "pitman": ARM, "lock_left": (0.0, 0.9), "lock_right": (0.0, 0.9)},
    rises=("arm", "lock_left", "lock_right"),
    falls=("pitman",),
)
def sector_sweep_needed(arm: float, pitman: float, lock_left: float, lock_right: float) -> float:
    """Sweep of the sector shaft that turns the knuckle from stop to stop.

    asin(arm sin(left) / pitman) + asin(arm sin(right) / pitman)

    Parameters
    ----------
    arm : length [m]
        Steering arm of the knuckle that the drag link pulls.
    pitman : length [m]
        Pitman arm, sector to link.
    lock_left : angle [rad]
        Turn of that knuckle to its left stop.
    lock_right : angle [rad]
        Turn of that knuckle to its right stop.

    Returns
    -------
    angle [rad]
        Whole sweep, both ways.

    Valid for
    ---------
    A drag link long against the arms, arms square to it straight ahead.

    References
    ----------
    Plane geometry.
    """
    sweep = 0.0
    for lock in (lock_left, lock_right):
        share = arm * sin(lock) / pitman
        if share > 1:
            raise NoSolution(
                f"a pitman arm of {pitman * 1e3:.0f} mm cannot turn a steering arm of {arm * 1e3:.0f} mm to its stop"
            )
        sweep += asin(share)
    return sweep


@formula(
    valid={"box_sweep": (0.5, 2.5), "needed_sweep": (0.3, 2.5), "reserve": (0.0, 0.3)},
    rises=("box_sweep",),
    falls=("needed_sweep", "reserve"),
)
def box_sweep_margin(box_sweep: float, needed_sweep: float, reserve: float) -> float:
    """Sweep a steering box has left over, with its reserve at each end taken off.

    box - needed - 2 reserve

    Parameters
    ----------
    box_sweep : angle [rad]
        Sweep of the box between its own stops.
    needed_sweep : angle [rad]
        Sweep between the knuckle stops.
    reserve : angle [rad]
        Kept at each end so that the box's own stops take no load; 5 deg by common practice, no source.

    Returns
    -------
    angle [rad]
        Negative when the box reaches its end before the knuckle does.

    Valid for
    ---------
    A box centred with the wheels straight ahead.

    References
    ----------
    Common practice, no source.
    """
    return box_sweep - needed_sweep - 2 * reserve


@formula(valid={"box_torque": (0.0, 6000.0), "pitman": ARM}, rises=("box_torque",), falls=("pitman",))
def steering_link_force(box_torque: float, pitman: float) -> float:
    """Force in the link when the steering box gives all it can against a stuck wheel.

    torque / pitman

    Parameters
    ----------
    box_torque : torque [N m]
        Greatest output torque of the box.
    pitman : length [m]
        Pitman arm, sector to link.

    Returns
    -------
    force [N]
        Push or pull along the link.

    Valid for
    ---------
    Arm square to the link.

    References
    ----------
    Lever law.
    """
    return box_torque / pitman
