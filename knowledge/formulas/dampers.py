"""Dampers between a body and a solid axle: length and angle through the travel, and the dead length of the make.

The body end stands still and the axle end moves upright, so that the damper is the third side of a triangle: its
length is exact at every travel, where the cosine of the mounting angle is right only for small ones.
"""

from __future__ import annotations

from math import atan2, cos, hypot, sin

from knowledge.formulas._registry import formula
from shared.errors import NoSolution

LENGTH = (0.05, 1.2)
ANGLE = (0.0, 1.0)
LIFT = (-0.3, 0.5)


def _upright(length: float, angle: float, wheel_travel: float) -> float:
    """Height of the body end above the axle end after the wheel has dropped by a travel."""
    height = length * cos(angle) + wheel_travel
    if height <= 0:
        raise NoSolution(
            f"a damper {length * 1e3:.0f} mm long lies level before the wheel has risen {-wheel_travel * 1e3:.0f} mm"
        )
    return height


@formula(
    valid={"installed": LENGTH, "wheel_travel": (-0.4, 0.5), "angle": ANGLE},
    rises=("installed", "wheel_travel"),
)
def damper_length_at(installed: float, wheel_travel: float, angle: float) -> float:
    """Length of a damper after the wheel moved.

    l = sqrt((l0 cos(a) + z)^2 + (l0 sin(a))^2)

    Parameters
    ----------
    installed : length [m]
        Eye to eye (or stem shoulder) at the height the travel starts from, l0.
    wheel_travel : length [m]
        Of the axle end, positive in droop, negative in bump, z.
    angle : angle [rad]
        From the wheel's path to the damper at that height, true angle, a.

    Returns
    -------
    length [m]
        Between the same marks.

    Valid for
    ---------
    Both wheels moving alike; for one wheel give the travel of the damper's own place on the axle.

    References
    ----------
    Law of cosines.
    """
    return hypot(_upright(installed, angle, wheel_travel), installed * sin(angle))


@formula(
    valid={"stock_installed": LENGTH, "lift": LIFT, "mounting_angle": ANGLE},
    rises=("stock_installed", "lift"),
)
def damper_installed_length(stock_installed: float, lift: float, mounting_angle: float) -> float:
    """Length a damper is drawn to at ride once the car is lifted, same brackets.

    l = sqrt((l0 cos(a) + lift)^2 + (l0 sin(a))^2)

    Parameters
    ----------
    stock_installed : length [m]
        At stock ride, l0.
    lift : length [m]
        Body from axle at the damper.
    mounting_angle : angle [rad]
        From the wheel's path at stock ride, a.

    Returns
    -------
    length [m]
        At the new ride height.

    Valid for
    ---------
    Brackets left where they were.

    References
    ----------
    Law of cosines.
    """
    return damper_length_at(stock_installed, lift, mounting_angle)


@formula(
    valid={"stock_installed": LENGTH, "lift": LIFT, "mounting_angle": ANGLE},
    rises=("mounting_angle",),
    falls=("lift",),
)
def damper_angle_lifted(stock_installed: float, lift: float, mounting_angle: float) -> float:
    """Mounting angle of a damper once the car is lifted: it stands up.

    tan(a') = l0 sin(a) / (l0 cos(a) + lift)

    Parameters
    ----------
    stock_installed : length [m]
        At stock ride, l0.
    lift : length [m]
        Body from axle at the damper.
    mounting_angle : angle [rad]
        From the wheel's path at stock ride, a.

    Returns
    -------
    angle [rad]
        From the wheel's path at the new ride height.

    Valid for
    ---------
    Brackets left where they were.

    References
    ----------
    Plane geometry.
    """
    return atan2(stock_installed * sin(mounting_angle), _upright(stock_installed, mounting_angle, lift))


@formula(valid={"angle": ANGLE}, falls=("angle",))
def damper_motion_ratio(angle: float) -> float:
    """Damper travel over wheel travel, both wheels moving together.

    MR = cos(a)

    Parameters
    ----------
    angle : angle [rad]
        From the wheel's path to the damper, true angle.

    Returns
    -------
    ratio [1]
        1 upright.

    Valid for
    ---------
    Small travel about the height at which the angle was taken.

    References
    ----------
    Plane geometry.
    """
    return cos(angle)


@formula(valid={"extended": LENGTH, "closed": LENGTH}, rises=("closed",), falls=("extended",))
def damper_dead_length(extended: float, closed: float) -> float:
    """Length of a damper that is neither stroke nor tube for it: what its ends and its piston take up.

    dead = 2 l_closed - l_extended

    Parameters
    ----------
    extended : length [m]
        Fully drawn out, measured.
    closed : length [m]
        Fully closed, measured.

    Returns
    -------
    length [m]
        Much the same for all dampers of one make-up.

    Valid for
    ---------
    One rod in one tube.

    References
    ----------
    Geometry: stroke = extended - closed, closed = dead + stroke.
    """
    if extended < closed:
        raise NoSolution(f"a damper closed at {closed * 1e3:g} mm cannot be {extended * 1e3:g} mm long drawn out")
    return 2 * closed - extended


@formula(
    valid={"extended": LENGTH, "dead_length": (-0.2, 0.5)},
    rises=("extended", "dead_length"),
)
def damper_closed_length(extended: float, dead_length: float) -> float:
    """Closed length to expect of a damper of a given make-up that is to draw out further.

    l_closed = (l_extended + dead) / 2

    Parameters
    ----------
    extended : length [m]
        Fully drawn out.
    dead_length : length [m]
        Of dampers of that make-up.

    Returns
    -------
    length [m]
        Every millimetre longer open is half a millimetre longer closed.

    Valid for
    ---------
    Choosing; the damper bought is measured.

    References
    ----------
    Geometry: stroke = extended - closed, closed = dead + stroke.
    """
    return (extended + dead_length) / 2
