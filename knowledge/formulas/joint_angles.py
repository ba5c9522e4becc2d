"""Angles at the joints of a propeller shaft, and what is left before a joint binds.

Signs as in :mod:`knowledge.formulas.driveline`: a shaft that falls towards the axle and a pinion that points up are
positive.  The angle at a joint is the difference of the two directions that meet there; :func:`working_angle` adds the
plan view and drops the sign.
"""

from __future__ import annotations

from math import asin, cos, sin, sqrt

from knowledge.formulas._registry import formula
from knowledge.formulas.driveline import TILT


@formula(valid={"slope": (-1.2, 1.2), "output_inclination": TILT}, rises=("slope",), falls=("output_inclination",))
def joint_angle_output(slope: float, output_inclination: float) -> float:
    """Side-view angle at the joint between the transfer's output and the shaft.

    slope - output inclination

    Parameters
    ----------
    slope : angle [rad]
        Slope of the shaft, falling to the axle positive.
    output_inclination : angle [rad]
        Inclination of the output, pointing down towards this axle positive.

    Returns
    -------
    angle [rad]
        Signed; the same sign at both ends means both joints bend in the same sense.

    Valid for
    ---------
    Side view; see working_angle for an offset in plan.

    References
    ----------
    Plane geometry.
    """
    return slope - output_inclination


@formula(valid={"slope": (-1.2, 1.2), "pinion_inclination": TILT}, rises=("slope",), falls=("pinion_inclination",))
def joint_angle_pinion(slope: float, pinion_inclination: float) -> float:
    """Side-view angle at the joint between the shaft and the axle's pinion.

    slope - pinion inclination

    Parameters
    ----------
    slope : angle [rad]
        Slope of the shaft, falling to the axle positive.
    pinion_inclination : angle [rad]
        Inclination of the pinion, nose up positive.

    Returns
    -------
    angle [rad]
        Signed; positive while the pinion's nose is below the shaft's line.

    Valid for
    ---------
    Side view; see working_angle for an offset in plan.

    References
    ----------
    Plane geometry.
    """
    return slope - pinion_inclination


@formula(
    valid={"stock_inclination": TILT, "turn": TILT, "wedge": (-0.2, 0.2)}, rises=("stock_inclination", "turn", "wedge")
)
def pinion_inclination_turned(stock_inclination: float, turn: float, wedge: float = 0.0) -> float:
    """Inclination of a pinion after its axle was turned by a shackle or by links, and wedged.

    stock + turn + wedge

    Parameters
    ----------
    stock_inclination : angle [rad]
        As the car stood, nose up positive.
    turn : angle [rad]
        Turn of the spring chord or of the links, nose up positive.
    wedge : angle [rad]
        Wedge on the perch, or perch welded anew, nose up positive.

    Returns
    -------
    angle [rad]
        Nose up positive.

    Valid for
    ---------
    Turns about the axle's own line, which add without error.

    References
    ----------
    Plane geometry.
    """
    return stock_inclination + turn + wedge


@formula(valid={"side": (-1.4, 1.4), "plan": (-1.4, 1.4)})
def working_angle(side: float, plan: float) -> float:
    """True angle at a joint from its side view and its plan view.

    cos(angle) = cos(side) cos(plan)

    Parameters
    ----------
    side : angle [rad]
        Angle seen from the side, either sign.
    plan : angle [rad]
        Angle seen from above, either sign.

    Returns
    -------
    angle [rad]
        Never negative.  It turns where either view is straight.

    Valid for
    ---------
    Plan angle taken in the plane of the shaft, as plan_angle gives it.

    References
    ----------
    Spherical trigonometry, right-angled triangle.
    """
    # 1 - cos(a) from half-angle sines: acos alone loses half its digits near a straight joint.
    versine = 2 * (sin(side / 2) ** 2 + cos(side) * sin(plan / 2) ** 2)
    return 2 * asin(sqrt(min(1.0, versine / 2)))


@formula(
    valid={"bind_angle": (0.0, 0.9), "angle": (0.0, 1.2), "reserve": (0.0, 0.2)},
    rises=("bind_angle",),
    falls=("angle", "reserve"),
)
def bind_margin(bind_angle: float, angle: float, reserve: float) -> float:
    """Angle left before a joint's yokes touch.

    bind angle - reserve - angle

    Parameters
    ----------
    bind_angle : angle [rad]
        Angle at which this joint binds, measured on the bench.
    angle : angle [rad]
        Greatest working angle, at droop or in a twist.
    reserve : angle [rad]
        Kept in hand; 3 deg is common practice, no source.

    Returns
    -------
    angle [rad]
        Negative when it binds.

    Valid for
    ---------
    Any joint.

    References
    ----------
    Common practice, no source.
    """
    return bind_angle - reserve - angle
