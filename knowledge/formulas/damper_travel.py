"""Travel a damper allows: its margin at bump and what is left of its droop."""

from __future__ import annotations

from math import cos, sin, sqrt

from knowledge.formulas._registry import formula
from knowledge.formulas.dampers import ANGLE, LENGTH, damper_length_at
from shared.errors import NoSolution

TRAVEL = (0.0, 0.4)
CLEARANCE = (0.0, 0.1)


def _reach(length: float, offset: float, what: str) -> float:
    """Height a damper of a length spans over a sideways offset of its ends."""
    if length < offset:
        raise NoSolution(
            f"the damper {what} is {length * 1e3:.0f} mm long; its ends stand {offset * 1e3:.0f} mm apart sideways"
        )
    return sqrt(length**2 - offset**2)


@formula(
    valid={"installed": LENGTH, "closed": LENGTH, "metal_travel": TRAVEL, "angle": ANGLE, "clearance": CLEARANCE},
    rises=("installed", "angle"),
    falls=("closed", "metal_travel", "clearance"),
)
def damper_bump_margin(
    installed: float, closed: float, metal_travel: float, angle: float, clearance: float = 0.0
) -> float:
    """Length a damper has in hand, at metal, before it closes and becomes the bump stop.

    margin = l(metal) - l_closed - clearance

    Parameters
    ----------
    installed : length [m]
        At this ride height.
    closed : length [m]
        Fully closed, measured.
    metal_travel : length [m]
        Wheel travel from this ride height to a fully crushed stop.
    angle : angle [rad]
        From the wheel's path at this ride height.
    clearance : length [m]
        Kept back for bush crush and reading error.

    Returns
    -------
    length [m]
        Along the damper; negative: it closes first.

    Valid for
    ---------
    Both wheels moving alike.  With stock length, angle and the travel from stock ride it is the same number.

    References
    ----------
    Law of cosines; 6 mm of clearance is common practice, no source.
    """
    return damper_length_at(installed, -metal_travel, angle) - closed - clearance


@formula(
    valid={"installed": LENGTH, "closed": LENGTH, "angle": ANGLE, "clearance": CLEARANCE},
    rises=("installed",),
    falls=("closed", "clearance"),
)
def damper_bump_travel(installed: float, closed: float, angle: float, clearance: float = 0.0) -> float:
    """Wheel travel a damper allows upwards; what metal travel exceeds it by, the stop must come down.

    z = l0 cos(a) - sqrt((l_closed + clearance)^2 - (l0 sin(a))^2)

    Parameters
    ----------
    installed : length [m]
        At this ride height, l0.
    closed : length [m]
        Fully closed, measured.
    angle : angle [rad]
        From the wheel's path at this ride height, a.
    clearance : length [m]
        Kept back for bush crush and reading error.

    Returns
    -------
    length [m]
        Negative when it is already shorter than that at ride.

    Valid for
    ---------
    Both wheels moving alike.

    References
    ----------
    Law of cosines.
    """
    return installed * cos(angle) - _reach(closed + clearance, installed * sin(angle), "closed")


@formula(
    valid={"installed": LENGTH, "extended": LENGTH, "angle": ANGLE},
    rises=("extended",),
    falls=("installed",),
)
def damper_droop_travel(installed: float, extended: float, angle: float) -> float:
    """Wheel travel left until a damper is drawn right out.

    z = sqrt(l_extended^2 - (l0 sin(a))^2) - l0 cos(a)

    Parameters
    ----------
    installed : length [m]
        At this ride height, l0.
    extended : length [m]
        Fully drawn out, measured.
    angle : angle [rad]
        From the wheel's path at this ride height, a.

    Returns
    -------
    length [m]
        Negative when the damper cannot reach even at ride.

    Valid for
    ---------
    Both wheels moving alike.  With stock length and angle it is the travel from stock ride: take the lift off.

    References
    ----------
    Law of cosines.
    """
    return _reach(extended, installed * sin(angle), "drawn out") - installed * cos(angle)
