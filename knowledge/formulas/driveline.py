"""Slope of a propeller shaft, side view and plan, and what moves it.

Signs, side view: a shaft slope is positive when the shaft falls from the transfer towards the axle; an
output inclination is positive when the output points down towards that axle; a pinion inclination is
positive nose up.  A front output that tilts up while the tail hangs down is therefore negative.  The angles at
the joints are in :mod:`knowledge.formulas.joint_angles`.
"""

from __future__ import annotations

from math import asin, atan, sin

from knowledge.formulas._registry import formula
from shared.errors import NoSolution

TILT = (-0.6, 0.6)  # rad, what a housing or a shaft of a car can stand at


@formula(valid={"length": (0.2, 2.5), "drop": (-0.6, 0.9)}, rises=("drop",), one_way=("length",))
def shaft_slope(length: float, drop: float) -> float:
    """Slope of a propeller shaft from its length between joint centres and the drop between them.

    slope = asin(drop / length)

    Parameters
    ----------
    length : length [m]
        Distance between the two joint centres, along the shaft, as it stands.
    drop : length [m]
        How far the axle-end joint lies below the transfer-end joint.

    Returns
    -------
    angle [rad]
        Positive when the shaft falls towards the axle.

    Valid for
    ---------
    One shaft without a centre bearing.

    References
    ----------
    Plane geometry.
    """
    if abs(drop) > length:
        raise NoSolution(f"a shaft of {length * 1e3:.1f} mm cannot span a drop of {drop * 1e3:.1f} mm")
    return asin(drop / length)


@formula(valid={"run": (0.1, 2.5), "drop": (-0.6, 0.9)}, rises=("drop",), one_way=("run",))
def shaft_slope_level(run: float, drop: float) -> float:
    """Slope of a propeller shaft from the level distance between its joints and the drop between them.

    slope = atan(drop / run)

    Parameters
    ----------
    run : length [m]
        Level distance between the joint centres; it stays while the axle moves straight up and down.
    drop : length [m]
        How far the axle-end joint lies below the transfer-end joint.

    Returns
    -------
    angle [rad]
        Positive when the shaft falls towards the axle.

    Valid for
    ---------
    One shaft without a centre bearing.

    References
    ----------
    Plane geometry.
    """
    return atan(drop / run)


@formula(
    valid={
        "stock_drop": (-0.3, 0.6),
        "lift": (-0.2, 0.4),
        "transfer_drop": (-0.1, 0.2),
        "pinion_arm": (0.0, 0.6),
        "arm_inclination": TILT,
        "pinion_turn": (-0.4, 0.4),
    },
    rises=("stock_drop", "lift"),
    falls=("transfer_drop", "pinion_turn"),
)
def shaft_drop_lifted(
    stock_drop: float,
    lift: float,
    transfer_drop: float = 0.0,
    pinion_arm: float = 0.0,
    arm_inclination: float = 0.0,
    pinion_turn: float = 0.0,
) -> float:
    """Drop between the joints of a shaft after a lift, a lowered transfer and a turned pinion.

    drop = stock + lift - transfer - arm (sin(inclination + turn) - sin(inclination))

    Parameters
    ----------
    stock_drop : length [m]
        How far the axle-end joint lay below the transfer-end joint.
    lift : length [m]
        How much higher the body stands over this axle.
    transfer_drop : length [m]
        How much lower the transfer hangs in the body.
    pinion_arm : length [m]
        Distance from the axle's centre to the axle-end joint; 0 leaves the turn's own rise out.
    arm_inclination : angle [rad]
        How that line stood before the turn, positive when the joint is above the axle's centre.
    pinion_turn : angle [rad]
        Turn of the axle about its own centre, nose up positive.

    Returns
    -------
    length [m]
        New drop, positive when the axle-end joint is the lower one.

    Valid for
    ---------
    An axle whose centre moves straight up and down.

    References
    ----------
    Plane geometry.
    """
    rise = pinion_arm * (sin(arm_inclination + pinion_turn) - sin(arm_inclination))
    return stock_drop + lift - transfer_drop - rise


@formula(valid={"lowering": (0.0, 0.2), "mount_distance": (0.25, 2.0)}, rises=("lowering",), falls=("mount_distance",))
def transfer_tilt(lowering: float, mount_distance: float) -> float:
    """Turn of engine and transfer about the engine mounts when the rear crossmember is lowered.

    tilt = asin(lowering / distance)

    Parameters
    ----------
    lowering : length [m]
        How far the crossmember comes down.
    mount_distance : length [m]
        Distance from the engine mounts to the crossmember's mount.

    Returns
    -------
    angle [rad]
        Tail down by this much more; a rear output gains it, a front output loses it.

    Valid for
    ---------
    Rigid engine, gearbox and transfer in one piece.

    References
    ----------
    Plane geometry.
    """
    return asin(lowering / mount_distance)


@formula(valid={"length": (0.2, 2.5), "offset": (0.0, 0.6)}, rises=("offset",), falls=("length",))
def plan_angle(length: float, offset: float) -> float:
    """Angle of a shaft to the car's length in plan.

    asin(offset / length)

    Parameters
    ----------
    length : length [m]
        Distance between the joint centres.
    offset : length [m]
        Sideways distance between output and pinion.

    Returns
    -------
    angle [rad]
        Never negative.

    Valid for
    ---------
    Output and pinion both parallel to the car's length in plan.

    References
    ----------
    Plane geometry.
    """
    if offset > length:
        raise NoSolution(f"a shaft of {length * 1e3:.1f} mm cannot reach {offset * 1e3:.1f} mm sideways")
    return asin(offset / length)
