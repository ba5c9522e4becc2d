"""Length a brake hose must have, and what is left of the one there is."""

from __future__ import annotations

from math import atan2, cos, hypot, pi, sin, sqrt

from knowledge.formulas._registry import formula

POINT = (-0.8, 0.8)
TRAVEL = (-0.3, 0.4)
LENGTH = (0.0, 2.0)


@formula(valid={"along": POINT, "across": POINT, "height": (-1.0, 1.0)})
def hose_straight_length(along: float, across: float, height: float) -> float:
    """Straight distance between the two ends of a hose.

    sqrt(along^2 + across^2 + height^2)

    Parameters
    ----------
    along : length [m]
        Distance between the ends along the car.
    across : length [m]
        Distance between the ends across the car.
    height : length [m]
        Difference of height between the ends.

    Returns
    -------
    length [m]
        The least length that reaches at all.

    Valid for
    ---------
    Any two points.

    References
    ----------
    Distance of two points.
    """
    return hypot(along, across, height)


@formula(
    valid={
        "bracket_x": POINT,
        "bracket_y": POINT,
        "bracket_z": POINT,
        "end_x": (-0.4, 0.4),
        "end_y": (-0.4, 0.4),
        "end_z": (-0.4, 0.4),
        "droop": TRAVEL,
        "lift": TRAVEL,
        "end_allowance": (0.0, 0.1),
        "lock": (0.0, 0.9),
        "inclination": (-0.3, 0.4),
        "caster": (-0.3, 0.4),
    },
    rises=("end_allowance", "lock"),
)
def hose_length_needed(
    bracket_x: float,
    bracket_y: float,
    bracket_z: float,
    end_x: float,
    end_y: float,
    end_z: float,
    droop: float,
    lift: float,
    end_allowance: float,
    lock: float = 0.0,
    inclination: float = 0.0,
    caster: float = 0.0,
) -> float:
    """Length a hose needs at full droop, at the worst steering angle from lock to lock.

    The axle end turns about the kingpin axis k through the origin; over the steer s the squared distance is
    A + B cos(s) + C sin(s), whose greatest value is taken within -lock to +lock.  The end allowance is added.

    Parameters
    ----------
    bracket_x : length [m]
        Body bracket at ride height, forward of the origin, a point on the kingpin axis (for an axle that does
        not steer, any point).
    bracket_y : length [m]
        Body bracket, outboard of the origin.
    bracket_z : length [m]
        Body bracket, above the origin.
    end_x : length [m]
        Axle end of the hose, straight ahead, forward of the origin.
    end_y : length [m]
        Axle end, outboard of the origin.
    end_z : length [m]
        Axle end, above the origin.
    droop : length [m]
        Travel down from ride height to where the damper stops it.
    lift : length [m]
        How much higher the body, and its bracket, stands at ride height.
    end_allowance : length [m]
        Added for the stiff ends; 15 mm by common practice, no source.
    lock : angle [rad]
        Steer to either side; 0 for a rear axle.
    inclination : angle [rad]
        Kingpin inclination, top inboard positive.
    caster : angle [rad]
        Kingpin caster, top rearward positive.

    Returns
    -------
    length [m]
        Length the hose must have between its fittings.

    Valid for
    ---------
    A straight path; a hose led round a strut needs more.

    References
    ----------
    Distance of two points, one turned about an axis.
    """
    k_x, k_y, k_z = -sin(caster) * cos(inclination), -sin(inclination), cos(caster) * cos(inclination)
    b_x, b_y, b_z = bracket_x, bracket_y, bracket_z + droop + lift
    on_axis = end_x * k_x + end_y * k_y + end_z * k_z
    p_x, p_y, p_z = end_x - on_axis * k_x, end_y - on_axis * k_y, end_z - on_axis * k_z
    q_x, q_y, q_z = k_y * p_z - k_z * p_y, k_z * p_x - k_x * p_z, k_x * p_y - k_y * p_x
    along_axis = on_axis * (k_x * b_x + k_y * b_y + k_z * b_z)
    steady = b_x**2 + b_y**2 + b_z**2 + end_x**2 + end_y**2 + end_z**2 - 2 * along_axis
    cosine = -2 * (b_x * p_x + b_y * p_y + b_z * p_z)
    sine = -2 * (b_x * q_x + b_y * q_y + b_z * q_z)
    steers = [-lock, lock]
    furthest = atan2(sine, cosine)
    if abs(furthest) <= lock:
        steers.append(furthest)
    squared = max(steady + cosine * cos(steer) + sine * sin(steer) for steer in steers)
    return sqrt(max(squared, 0.0)) + end_allowance


@formula(valid={"free_length": LENGTH, "needed": LENGTH}, rises=("free_length",), falls=("needed",))
def hose_spare(free_length: float, needed: float) -> float:
    """Length of hose left over at its worst point.

    free length - needed

    Parameters
    ----------
    free_length : length [m]
        Length of the hose, straight, fitting to fitting.
    needed : length [m]
        As hose_length_needed gives it.

    Returns
    -------
    length [m]
        Negative when the hose would be pulled off.

    Valid for
    ---------
    Any hose.

    References
    ----------
    Common practice, no source.
    """
    return free_length - needed


@formula(valid={"free_length": LENGTH, "projected": LENGTH}, rises=("free_length",), falls=("projected",))
def hose_slack(free_length: float, projected: float) -> float:
    """Slack of a mounted hose as the brake hose standard measures it.

    straight free length - projected mounted length

    Parameters
    ----------
    free_length : length [m]
        Length of the hose, straight.
    projected : length [m]
        Distance between its fittings as mounted, projected.

    Returns
    -------
    length [m]
        Slack, positive for a hose that hangs.

    Valid for
    ---------
    Any hose.

    References
    ----------
    49 CFR 571.106, S6.3.2, table II, as quoted in an agency letter.
    """
    return free_length - projected


@formula(valid={"radius": (0.0, 1.0), "bend": (0.0, 2 * pi)}, rises=("radius", "bend"))
def hose_bend_length(radius: float, bend: float) -> float:
    """Length of hose that lies in one bend of its path.

    radius x angle

    Parameters
    ----------
    radius : length [m]
        Radius of the bend at the middle of the hose.
    bend : angle [rad]
        Angle the bend turns through.

    Returns
    -------
    length [m]
        Add it to the straight parts of the path.

    Valid for
    ---------
    A round bend.

    References
    ----------
    Length of an arc.
    """
    return radius * bend
