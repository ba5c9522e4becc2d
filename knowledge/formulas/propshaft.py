"""Length and slip of a propeller shaft.

Travel is measured from ride height, droop positive.  The level distance between the joints is taken to stay,
so that the shaft is shortest where it lies level, which may be inside the travel and not at its end.
"""

from __future__ import annotations

from math import hypot, sqrt

from knowledge.formulas._registry import formula
from shared.errors import NoSolution

RUN = (0.1, 2.5)
DROP = (-0.6, 0.9)
TRAVEL = (0.0, 0.5)
SLIP = (0.0, 0.3)
SLIP_IN = (-0.5, 0.3)  # m; negative: a shaft too long for its place by that much


def _level(*_: float) -> float:
    """The drop at which a shaft lies level."""
    return 0.0


def _level_at(_run: float, drop: float, _travel: float) -> float:
    """The travel at which a shaft lies level."""
    return -drop


def _shortest(run: float, drop: float, bump: float, droop: float) -> float:
    least_drop = max(drop - bump, -drop - droop, 0.0)
    return hypot(run, least_drop)


def _longest(run: float, drop: float, bump: float, droop: float) -> float:
    return hypot(run, max(abs(drop - bump), abs(drop + droop)))


@formula(valid={"run": RUN, "drop": DROP}, rises=("run",), turns_at={"drop": _level})
def propshaft_length(run: float, drop: float) -> float:
    """Distance between the joint centres of a shaft.

    sqrt(run^2 + drop^2)

    Parameters
    ----------
    run : length [m]
        Level distance between the joint centres (an offset in plan included).
    drop : length [m]
        Height between them, either sign.

    Returns
    -------
    length [m]
        Joint centre to joint centre.

    Valid for
    ---------
    Any straight shaft.

    References
    ----------
    Plane geometry.
    """
    return hypot(run, drop)


@formula(valid={"length": (0.1, 2.5), "drop": DROP}, rises=("length",))
def propshaft_run(length: float, drop: float) -> float:
    """Level distance between the joint centres, from the shaft's length and drop at ride height.

    sqrt(length^2 - drop^2)

    Parameters
    ----------
    length : length [m]
        Joint centre to joint centre at ride height.
    drop : length [m]
        Height between them, either sign.

    Returns
    -------
    length [m]
        Level distance, which stays while the axle moves straight up and down.

    Valid for
    ---------
    Any straight shaft.

    References
    ----------
    Plane geometry.
    """
    if abs(drop) > length:
        raise NoSolution(f"a shaft of {length * 1e3:.1f} mm cannot span a drop of {drop * 1e3:.1f} mm")
    return sqrt(length * length - drop * drop)


@formula(
    valid={"run": RUN, "drop": DROP, "travel": (-0.5, 0.5)}, one_way=("run", "drop"), turns_at={"travel": _level_at}
)
def propshaft_length_change(run: float, drop: float, travel: float) -> float:
    """How much longer the distance between the joints is at one point of the travel than at ride height.

    sqrt(run^2 + (drop + travel)^2) - sqrt(run^2 + drop^2)

    Parameters
    ----------
    run : length [m]
        Level distance between the joint centres, which stays.
    drop : length [m]
        Height between them at ride height, axle end low positive.
    travel : length [m]
        Travel of the axle, droop positive.

    Returns
    -------
    length [m]
        Positive when the slip joint is pulled out.

    Valid for
    ---------
    Any straight shaft.  It turns where the shaft lies level.

    References
    ----------
    Plane geometry.
    """
    return hypot(run, drop + travel) - hypot(run, drop)


@formula(
    valid={"run": RUN, "drop": DROP, "bump": TRAVEL, "droop": TRAVEL},
    falls=("bump", "droop"),
    one_way=("run",),
    turns_at={"drop": _level},
)
def propshaft_shortening(run: float, drop: float, bump: float, droop: float) -> float:
    """Change from ride height to the shortest length anywhere in the travel, never positive.

    sqrt(run^2 + d^2) - sqrt(run^2 + drop^2), with d the least height between the joints on the way

    Parameters
    ----------
    run : length [m]
        Level distance between the joint centres.
    drop : length [m]
        Height between them at ride height, axle end low positive.
    bump : length [m]
        Travel up from ride height.
    droop : length [m]
        Travel down from ride height.

    Returns
    -------
    length [m]
        0 or less; shortest where the shaft lies level, if it does.

    Valid for
    ---------
    An axle that moves straight up and down.

    References
    ----------
    Plane geometry.
    """
    return _shortest(run, drop, bump, droop) - hypot(run, drop)


@formula(
    valid={"run": RUN, "drop": DROP, "bump": TRAVEL, "droop": TRAVEL, "engaged": SLIP},
    rises=("engaged",),
    falls=("bump", "droop"),
    one_way=("run",),
)
def slip_engaged_at_droop(run: float, drop: float, bump: float, droop: float, engaged: float) -> float:
    """Spline length still engaged where the shaft is longest, anywhere in the travel.

    engaged - (longest - ride)

    Parameters
    ----------
    run : length [m]
        Level distance between the joint centres.
    drop : length [m]
        Height between them at ride height, axle end low positive.
    bump : length [m]
        Travel up from ride height.
    droop : length [m]
        Travel down from ride height.
    engaged : length [m]
        Spline length engaged at ride height.

    Returns
    -------
    length [m]
        Negative when the slip joint has come apart.

    Valid for
    ---------
    An axle that moves straight up and down.

    References
    ----------
    Plane geometry.
    """
    return engaged - (_longest(run, drop, bump, droop) - hypot(run, drop))


@formula(
    valid={"run": RUN, "drop": DROP, "bump": TRAVEL, "droop": TRAVEL, "slip_in": SLIP_IN},
    rises=("slip_in",),
    falls=("bump", "droop"),
    one_way=("run",),
    turns_at={"drop": _level},
)
def slip_left_at_bump(run: float, drop: float, bump: float, droop: float, slip_in: float) -> float:
    """Stroke left before the slip joint bottoms, where the shaft is shortest, anywhere in the travel.

    slip in - (ride - shortest)

    Parameters
    ----------
    run : length [m]
        Level distance between the joint centres.
    drop : length [m]
        Height between them at ride height, axle end low positive.
    bump : length [m]
        Travel up from ride height.
    droop : length [m]
        Travel down from ride height.
    slip_in : length [m]
        How far the joint can be pushed in at ride height; negative when the shaft is too long to go in at all.

    Returns
    -------
    length [m]
        Negative when the shaft would push on its bearings.

    Valid for
    ---------
    An axle that moves straight up and down.

    References
    ----------
    Plane geometry.
    """
    return slip_in - (hypot(run, drop) - _shortest(run, drop, bump, droop))
