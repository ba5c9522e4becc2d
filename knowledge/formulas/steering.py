"""Steering linkage of a solid axle: link angles, steer on bumps, and the two front wheels in a turn.

A drag link or track bar lies at a positive angle when its body end is the higher one, which a lift increases.
"""

from __future__ import annotations

from math import asin, atan2, cos, sin

from knowledge.formulas._registry import formula, signed
from shared.errors import NoSolution

LINK = (0.3, 1.5)
LEAN = (-0.6, 0.6)
LIFT = (-0.3, 0.4)
SHIFT = (-0.15, 0.15)
ARM = (0.05, 0.35)
TRAVEL = (-0.2, 0.2)


def _leaned(length: float, angle: float, rise: float) -> float:
    height = length * sin(angle) + rise
    if abs(height) > length:
        raise NoSolution(f"a link of {length * 1e3:.1f} mm cannot span a height of {height * 1e3:.1f} mm")
    return asin(height / length)


def _reach_lost(length: float, angle: float, rise: float) -> float:
    """How much shorter the link's level reach gets while its body end rises over its axle end."""
    return length * (cos(angle) - cos(_leaned(length, angle, rise)))


@formula(
    valid={"length": LINK, "stock_angle": LEAN, "lift": LIFT, "pitman_drop": SHIFT},
    rises=("stock_angle", "lift"),
    falls=("pitman_drop",),
    one_way=("length",),
)
def drag_link_angle(length: float, stock_angle: float, lift: float, pitman_drop: float = 0.0) -> float:
    """Angle of the drag link after a lift and with a dropped pitman arm.

    asin(sin(stock) + (lift - drop) / L)

    Parameters
    ----------
    length : length [m]
        Joint to joint.
    stock_angle : angle [rad]
        As the car stood, pitman end high positive.
    lift : length [m]
        How much higher the body stands over the axle.
    pitman_drop : length [m]
        How much lower the pitman's end is than the arm it replaces.

    Returns
    -------
    angle [rad]
        Pitman end high positive.

    Valid for
    ---------
    Front view, wheels straight ahead.

    References
    ----------
    Plane geometry.
    """
    return _leaned(length, stock_angle, lift - pitman_drop)


@formula(
    valid={"length": LINK, "stock_angle": LEAN, "lift": LIFT, "bracket_shift": SHIFT},
    rises=("stock_angle", "lift"),
    falls=("bracket_shift",),
    one_way=("length",),
)
def track_bar_angle(length: float, stock_angle: float, lift: float, bracket_shift: float = 0.0) -> float:
    """Angle of the track bar after a lift and with a moved bracket.

    asin(sin(stock) + (lift - shift) / L)

    Parameters
    ----------
    length : length [m]
        Centre to centre.
    stock_angle : angle [rad]
        As the car stood, body end high positive.
    lift : length [m]
        How much higher the body stands over the axle.
    bracket_shift : length [m]
        How much the body bracket comes down, or the axle bracket goes up.

    Returns
    -------
    angle [rad]
        Body end high positive.

    Valid for
    ---------
    Front view.

    References
    ----------
    Plane geometry.
    """
    return _leaned(length, stock_angle, lift - bracket_shift)


@formula(valid={"length": LINK, "stock_angle": LEAN, "lift": LIFT, "bracket_shift": SHIFT})
def track_bar_axle_shift(length: float, stock_angle: float, lift: float, bracket_shift: float = 0.0) -> float:
    """How far the track bar pulls the axle towards its body bracket when the body is raised.

    L (cos(stock) - cos(lifted))

    Parameters
    ----------
    length : length [m]
        Centre to centre, not adjusted.
    stock_angle : angle [rad]
        As the car stood, body end high positive.
    lift : length [m]
        How much higher the body stands over the axle.
    bracket_shift : length [m]
        How much the body bracket comes down, or the axle bracket goes up.

    Returns
    -------
    length [m]
        Towards the body bracket positive; it turns where the bar lies level.

    Valid for
    ---------
    A bar of fixed length; an adjustable one is set to bring the axle back.

    References
    ----------
    Plane geometry.
    """
    return _reach_lost(length, stock_angle, lift - bracket_shift)


@formula(valid={"length": LINK, "stock_angle": LEAN, "lift": LIFT, "arm": ARM, "pitman_drop": SHIFT})
def drag_link_steer(length: float, stock_angle: float, lift: float, arm: float, pitman_drop: float = 0.0) -> float:
    """Turn of the road wheels that a lift makes by itself, steering wheel held; the drag link is reset to mend it.

    L (cos(stock) - cos(lifted)) / arm

    Parameters
    ----------
    length : length [m]
        Drag link, joint to joint.
    stock_angle : angle [rad]
        As the car stood, pitman end high positive.
    lift : length [m]
        How much higher the body stands over the axle.
    arm : length [m]
        Steering arm at the knuckle, kingpin to link.
    pitman_drop : length [m]
        How much lower the pitman's end is than the arm it replaces.

    Returns
    -------
    angle [rad]
        Positive when the link pulls its knuckle towards the pitman.  It turns where the link lies level.

    Valid for
    ---------
    Small angles at the arm, the axle held sideways by other means than a track bar.

    References
    ----------
    Plane geometry; arm taken as square to the link.
    """
    return _reach_lost(length, stock_angle, lift - pitman_drop) / arm


def _steered(
    drag_link: float, drag_angle: float, track_bar: float, bar_angle: float, arm: float, travel: float
) -> float:
    """The turn, positive where the drag link's reach gets shorter by more.

    Along an angle what a link loses never turns: its slope is L cos(a) (tan(b) - tan(a)), b its angle after the travel,
    and b is the greater all along or the lesser, as the axle goes down or up.
    """
    return (_reach_lost(drag_link, drag_angle, -travel) - _reach_lost(track_bar, bar_angle, -travel)) / arm


@formula(
    valid={"drag_link": LINK, "drag_angle": LEAN, "track_bar": LINK, "bar_angle": LEAN, "arm": ARM, "travel": TRAVEL},
    size_of=signed(_steered, one_way=("drag_angle", "bar_angle", "arm")),
)
def bump_steer_per_travel(
    drag_link: float, drag_angle: float, track_bar: float, bar_angle: float, arm: float, travel: float
) -> float:
    """Turn of the road wheels over a travel of the axle, because drag link and track bar swing in unlike arcs.

    abs(dL_drag - dL_bar) / arm, with dL = L (cos(asin(sin(a) - travel / L)) - cos(a))

    Parameters
    ----------
    drag_link : length [m]
        Drag link, joint to joint.
    drag_angle : angle [rad]
        Drag link at ride height, body end high positive.
    track_bar : length [m]
        Track bar, centre to centre.
    bar_angle : angle [rad]
        Track bar at ride height, body end high positive.
    arm : length [m]
        Steering arm at the knuckle, kingpin to link.
    travel : length [m]
        Travel of the axle, bump positive; limits are stated for 50 mm.

    Returns
    -------
    angle [rad]
        Never negative.  0 where both are equal and parallel.

    Valid for
    ---------
    Links that lean to the same side; steering wheel held; small angles at the arm.

    References
    ----------
    Plane geometry; arm taken as square to the link.
    """
    return abs(_steered(drag_link, drag_angle, track_bar, bar_angle, arm, travel))


def _between(drag_angle: float, bar_angle: float) -> float:
    """From the track bar up to the drag link."""
    return drag_angle - bar_angle


@formula(
    valid={"drag_angle": LEAN, "bar_angle": LEAN},
    size_of=signed(_between, rises=("drag_angle",), falls=("bar_angle",)),
)
def link_angle_mismatch(drag_angle: float, bar_angle: float) -> float:
    """How far drag link and track bar are from parallel.

    abs(drag - bar)

    Parameters
    ----------
    drag_angle : angle [rad]
        Drag link at ride height, body end high positive.
    bar_angle : angle [rad]
        Track bar at ride height, body end high positive.

    Returns
    -------
    angle [rad]
        Never negative.

    Valid for
    ---------
    Front view.

    References
    ----------
    Common practice, no source.
    """
    return abs(_between(drag_angle, bar_angle))


@formula(
    valid={"inner_angle": (0.0, 1.2), "kingpin_track": (0.8, 2.2), "wheelbase": (1.2, 5.0)},
    rises=("inner_angle", "wheelbase"),
    falls=("kingpin_track",),
)
def ackermann_outer_angle(inner_angle: float, kingpin_track: float, wheelbase: float) -> float:
    """Angle of the outer front wheel that rolls about the same centre as the inner one.

    cot(outer) = cot(inner) + c / b

    Parameters
    ----------
    inner_angle : angle [rad]
        Steer of the inner wheel.
    kingpin_track : length [m]
        Distance between the kingpins at the ground, c.
    wheelbase : length [m]
        Wheelbase, b.

    Returns
    -------
    angle [rad]
        Steer of the outer wheel.

    Valid for
    ---------
    Slow turns.

    References
    ----------
    Fundamental equation for correct steering, cot(outer) - cot(inner) = c / b.
    """
    return atan2(sin(inner_angle), cos(inner_angle) + sin(inner_angle) * kingpin_track / wheelbase)
