"""How unevenly cross joints turn.

Every angle here is a working angle (side and plan view together), never negative.
"""

from __future__ import annotations

from math import acos, atan, atan2, cos, sin, sqrt, tan

from knowledge.formulas._registry import formula

JOINT = (0.0, 0.9)  # rad, more than any cross joint turns


@formula(valid={"angle": JOINT, "shaft_angle": (-6.3, 6.3)})
def joint_speed_ratio(angle: float, shaft_angle: float) -> float:
    """Speed of the driven shaft over that of the driving one, at one moment of the turn.

    cos(a) / (1 - sin(a)^2 cos(t)^2)

    Parameters
    ----------
    angle : angle [rad]
        Working angle of the joint.
    shaft_angle : angle [rad]
        Turn of the driving yoke from where the ratio is greatest (its arms in the plane of the two shafts).

    Returns
    -------
    ratio [1]
        Between cos(a) and 1/cos(a).

    Valid for
    ---------
    A single cross joint without play.

    References
    ----------
    Mechanical Engineer's Data Handbook, 2.4.3, p. 72.
    """
    return cos(angle) / (1 - (sin(angle) * cos(shaft_angle)) ** 2)


@formula(valid={"angle_1": JOINT, "angle_2": JOINT, "shaft_angle": (-6.3, 6.3), "phase_error": (-1.6, 1.6)})
def two_joint_speed_ratio(angle_1: float, angle_2: float, shaft_angle: float, phase_error: float = 0.0) -> float:
    """Speed of the pinion over that of the output, through two cross joints in one plane.

    The first joint's driven yoke stands at tan(t2) = tan(t1)/cos(a1); the shaft's other yoke drives the second
    joint a quarter turn on.

    Parameters
    ----------
    angle_1 : angle [rad]
        Working angle at the transfer.
    angle_2 : angle [rad]
        Working angle at the pinion.
    shaft_angle : angle [rad]
        Turn of the output's yoke from where the first joint's ratio is greatest.
    phase_error : angle [rad]
        How far the shaft's two yokes are from lying in one plane, as when a slip joint is put back a tooth out.

    Returns
    -------
    ratio [1]
        Exactly 1 at every moment when the angles are equal and the yokes in phase.

    Valid for
    ---------
    Output, shaft and pinion in one plane, joints without play.

    References
    ----------
    Composition of the single joint's kinematics.
    """
    between = atan2(sin(shaft_angle), cos(shaft_angle) * cos(angle_1))
    first = joint_speed_ratio(angle_1, shaft_angle)
    second = cos(angle_2) / (1 - (sin(angle_2) * sin(between + phase_error)) ** 2)
    return first * second


@formula(valid={"angle": JOINT}, rises=("angle",))
def unevenness(angle: float) -> float:
    """Degree of unevenness of one cross joint: greatest less least speed, as a share of the driving speed.

    tan(a) sin(a)

    Parameters
    ----------
    angle : angle [rad]
        Working angle of the joint.

    Returns
    -------
    share [1]
        0 when straight.

    Valid for
    ---------
    A single cross joint.

    References
    ----------
    1/cos(a) - cos(a); Mechanical Engineer's Data Handbook, 2.4.3, p. 72.
    """
    return tan(angle) * sin(angle)


@formula(valid={"angle": JOINT}, rises=("angle",))
def ripple_share(angle: float) -> float:
    """Swing of the driven speed to either side, as a share of the driving speed: half the unevenness.

    sin(a) tan(a) / 2

    Parameters
    ----------
    angle : angle [rad]
        Working angle of the joint.

    Returns
    -------
    share [1]
        0.0014 at 3 deg, 0.0055 at 6 deg.

    Valid for
    ---------
    A single cross joint, or a pair's residual angle.

    References
    ----------
    Half of 1/cos(a) - cos(a); Mechanical Engineer's Data Handbook, 2.4.3, p. 72.
    """
    return unevenness(angle) / 2


@formula(valid={"share": (0.0, 0.9)}, rises=("share",))
def angle_for_unevenness(share: float) -> float:
    """Joint angle at which a single cross joint reaches a given degree of unevenness.

    cos(a) = (sqrt(u^2 + 4) - u) / 2

    Parameters
    ----------
    share : share [1]
        Degree of unevenness allowed, u.

    Returns
    -------
    angle [rad]
        The angle that just reaches it.

    Valid for
    ---------
    A single cross joint, or a pair's residual angle.

    References
    ----------
    tan(a) sin(a) = u solved for cos(a).
    """
    return acos((sqrt(share * share + 4) - share) / 2)


@formula(valid={"angle": JOINT}, rises=("angle",))
def turn_error(angle: float) -> float:
    """Greatest lead or lag of the driven shaft behind the driving one within a turn.

    tan(e) = (1 - cos(a)) / (2 sqrt(cos(a)))

    Parameters
    ----------
    angle : angle [rad]
        Working angle of the joint.

    Returns
    -------
    angle [rad]
        Greatest error of angle, to either side.

    Valid for
    ---------
    A single cross joint.

    References
    ----------
    Greatest of atan(tan(t)/cos(a)) - t over a turn.
    """
    return atan((1 - cos(angle)) / (2 * sqrt(cos(angle))))


@formula(valid={"angle": (0.0, 1.2)}, rises=("angle",))
def double_joint_half_angle(angle: float) -> float:
    """Angle at each of the two crosses of a double joint that is centred as it should be.

    angle / 2

    Parameters
    ----------
    angle : angle [rad]
        Working angle between the output and the shaft.

    Returns
    -------
    angle [rad]
        The two halves cancel, so that the double joint itself runs evenly.

    Valid for
    ---------
    A double joint whose centring ball holds the middle yoke on the bisector.

    References
    ----------
    Symmetry of the joint.
    """
    return angle / 2
