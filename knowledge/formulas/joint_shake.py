"""The shake that joint angles make, and the angles that keep it in bounds.

Angles are working angles (side and plan view together), never negative, unless a view is named.
"""

from __future__ import annotations

from math import hypot, sqrt

from knowledge.formulas._registry import formula, signed

JOINT = (0.0, 0.9)  # rad, more than any cross joint turns
VIEW = (-0.9, 0.9)  # rad, one view of a joint's angle
SHAFT_SPEED = (0.0, 1000.0)  # rad/s, about 9 500 rpm
SHAKE = (1.0, 1e5)  # rad/s2


@formula(valid={"angle_1": JOINT, "angle_2": JOINT})
def residual_joint_angle(angle_1: float, angle_2: float) -> float:
    """Angle of the one joint that would shake as much as two in phase do together.

    sqrt(abs(a1^2 - a2^2))

    Parameters
    ----------
    angle_1 : angle [rad]
        Working angle at one end.
    angle_2 : angle [rad]
        Working angle at the other end.

    Returns
    -------
    angle [rad]
        0 when the two are equal.  It turns there.

    Valid for
    ---------
    Yokes in phase and all three shafts in one plane; within 3 % of the exact shake up to 20 deg.

    References
    ----------
    SAE AE-7, Universal Joint and Driveshaft Design Manual, 3.1.1 (clause from memory).
    """
    return sqrt(abs(angle_1 - angle_2) * (angle_1 + angle_2))


@formula(valid={"side_1": VIEW, "plan_1": VIEW, "side_2": VIEW, "plan_2": VIEW})
def residual_compound_angle(side_1: float, plan_1: float, side_2: float, plan_2: float) -> float:
    """Residual angle of two joints that bend in different planes, yokes in phase.

    sqrt(abs((s1 + i p1)^2 - (s2 + i p2)^2))

    Parameters
    ----------
    side_1 : angle [rad]
        Signed side-view angle at one end.
    plan_1 : angle [rad]
        Signed plan-view angle at that end.
    side_2 : angle [rad]
        Signed side-view angle at the other end.
    plan_2 : angle [rad]
        Signed plan-view angle at that end; the same sign as plan_1 when output and pinion are parallel in plan.

    Returns
    -------
    angle [rad]
        0 when both views agree.

    Valid for
    ---------
    Yokes in phase; small angles.

    References
    ----------
    SAE AE-7, compound angles (clause from memory): the second-order motion of a joint turns twice as fast as
    the plane it bends in, which the square of the complex angle says.
    """
    # The difference of the squares as a product: near-equal angles keep their digits.
    return sqrt(hypot(side_1 - side_2, plan_1 - plan_2) * hypot(side_1 + side_2, plan_1 + plan_2))


def _shake_handed_on(angle_1: float, angle_2: float, shaft_speed: float) -> float:
    """The shake of two joints in phase, the first's counted as positive."""
    # The difference of the squares as a product: near-equal angles keep their digits.
    return (angle_1 - angle_2) * (angle_1 + angle_2) * shaft_speed * shaft_speed


@formula(
    valid={"angle_1": JOINT, "angle_2": JOINT, "shaft_speed": SHAFT_SPEED},
    rises=("shaft_speed",),
    size_of=signed(_shake_handed_on, rises=("angle_1",), falls=("angle_2",), one_way=("shaft_speed",)),
)
def torsional_acceleration(angle_1: float, angle_2: float, shaft_speed: float) -> float:
    """Amplitude of the pinion's torsional acceleration through two joints in phase.

    abs(a1^2 - a2^2) w^2

    Parameters
    ----------
    angle_1 : angle [rad]
        Working angle at the transfer; 0 for a double joint, which runs evenly.
    angle_2 : angle [rad]
        Working angle at the pinion.
    shaft_speed : rotation [rad/s]
        Speed of the shaft.

    Returns
    -------
    angular_acceleration [rad/s2]
        Shake handed on to the axle; 400 rad/s2 is the usual limit.

    Valid for
    ---------
    Yokes in phase, one plane.  The usual limits are stated in this small-angle form; the exact peak of one
    joint is 0.5 % above it at 10 deg and 1.3 % at 15 deg.

    References
    ----------
    SAE AE-7, Universal Joint and Driveshaft Design Manual, 3.1.1 (clause from memory).
    """
    return abs(_shake_handed_on(angle_1, angle_2, shaft_speed))


@formula(valid={"angle": JOINT, "shaft_speed": SHAFT_SPEED}, rises=("angle", "shaft_speed"))
def inertia_acceleration(angle: float, shaft_speed: float) -> float:
    """Amplitude of the acceleration of the shaft itself between its two joints.

    a^2 w^2

    Parameters
    ----------
    angle : angle [rad]
        Working angle at the driving end (for the shaft driven from the axle, at the other end).
    shaft_speed : rotation [rad/s]
        Speed of the shaft.

    Returns
    -------
    angular_acceleration [rad/s2]
        Shake of the shaft's own inertia, which equal angles do not cancel.

    Valid for
    ---------
    As torsional_acceleration.

    References
    ----------
    SAE AE-7, Universal Joint and Driveshaft Design Manual, 3.1.1 (clause from memory).
    """
    return angle * angle * shaft_speed * shaft_speed


@formula(
    valid={"other_angle": JOINT, "shaft_speed": (1.0, 1000.0), "acceleration_limit": SHAKE},
    rises=("other_angle", "acceleration_limit"),
    falls=("shaft_speed",),
)
def allowed_joint_angle(other_angle: float, shaft_speed: float, acceleration_limit: float) -> float:
    """Greatest angle one joint may have, given the other's, before the torsional limit is reached.

    sqrt(a^2 + limit / w^2)

    Parameters
    ----------
    other_angle : angle [rad]
        Working angle of the other joint.
    shaft_speed : rotation [rad/s]
        Speed of the shaft.
    acceleration_limit : angular_acceleration [rad/s2]
        Torsional acceleration allowed, 400 by common use.

    Returns
    -------
    angle [rad]
        Allowed working angle.

    Valid for
    ---------
    As torsional_acceleration.

    References
    ----------
    SAE AE-7, Universal Joint and Driveshaft Design Manual, 3.1.1 (clause from memory), solved for one angle.
    """
    return sqrt(other_angle * other_angle + acceleration_limit / (shaft_speed * shaft_speed))


@formula(
    valid={"shaft_speed": (1.0, 1000.0), "acceleration_limit": SHAKE},
    rises=("acceleration_limit",),
    falls=("shaft_speed",),
)
def joint_angle_limit(shaft_speed: float, acceleration_limit: float) -> float:
    """Greatest angle of a joint that nothing cancels.

    sqrt(limit) / w

    Parameters
    ----------
    shaft_speed : rotation [rad/s]
        Speed of the shaft.
    acceleration_limit : angular_acceleration [rad/s2]
        400 for what reaches the axle, 1 000 for the shaft's own inertia.

    Returns
    -------
    angle [rad]
        Allowed working angle.

    Valid for
    ---------
    As inertia_acceleration.

    References
    ----------
    SAE AE-7, Universal Joint and Driveshaft Design Manual, 3.1.1 (clause from memory), solved for the angle.
    """
    return sqrt(acceleration_limit) / shaft_speed
