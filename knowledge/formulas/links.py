"""How the control arms of a solid axle turn and carry it when the body is raised.

Side view: x forward, z up, both from the centre of the axle as the car stood.  A lower and an upper link join
the axle to the body; their end points fix the axle exactly at every height.  A turn is positive when the
axle's top goes back, which adds caster and, on a front axle, lowers the pinion's nose.
"""

from __future__ import annotations

from math import ceil, cos, hypot, sin

from knowledge.formulas._registry import formula
from shared.errors import NoSolution

SPAN = (-1.5, 1.5)  # m, from the axle's centre to a link's end
LIFT = (-0.3, 0.4)
CHANGE = (-0.1, 0.1)
STEP = 0.01  # m, small enough that the solution found is the one reached without taking the car apart
TURN = (-1.0, 1.0)
NEAR, ROUGH = 1e-7, 1e-3  # m and rad
ENDS = {
    "lower_axle_x": (-0.4, 0.4),
    "lower_axle_z": (-0.4, 0.4),
    "lower_body_x": SPAN,
    "lower_body_z": (-0.6, 0.6),
    "upper_axle_x": (-0.4, 0.4),
    "upper_axle_z": (-0.4, 0.4),
    "upper_body_x": SPAN,
    "upper_body_z": (-0.6, 0.6),
    "lift": LIFT,
    "lower_change": CHANGE,
    "upper_change": CHANGE,
}


Link = tuple[float, float, float, float]


def _pose(links: tuple[Link, Link], lift: float, changes: tuple[float, float]) -> tuple[float, float]:
    """Where the links put the axle: its shift forward and its turn (top forward positive), in m and rad.

    Followed from ride height in small steps, each begun straight on from the last and closed by Newton's method on the
    two link lengths, so that the answer is on the branch the car is on.  On the way it is enough to be near.
    """
    lower, upper = (hypot(ax - bx, az - bz) for ax, az, bx, bz in links)
    if min(lower, upper) < 1e-3:
        raise NoSolution("a link without length does not guide the axle")
    steps = max(1, ceil(abs(lift) / STEP), *(ceil(abs(c) / STEP) for c in changes))
    x = turn = before_x = before_turn = 0.0
    for step in range(1, steps + 1):
        part = step / steps
        now_x, now_turn = _closed(
            links,
            lower + part * changes[0],
            upper + part * changes[1],
            part * lift,
            2 * x - before_x,
            2 * turn - before_turn,
            ROUGH if step < steps else NEAR,
        )
        before_x, before_turn, x, turn = x, turn, now_x, now_turn
    return x, turn


def _closed(
    links: tuple[Link, Link], lower: float, upper: float, lift: float, x: float, turn: float, near: float
) -> tuple[float, float]:
    """The pose with links of two lengths, looked for from one nearby until a step is less than ``near``; Newton squares
    what is left."""
    (lax, laz, lbx, lbz), (uax, uaz, ubx, ubz) = links
    for _ in range(40):
        c, s = cos(turn), sin(turn)
        # Where the axle's ends are from its centre, and the links from their body ends.
        lpx, lpz, upx, upz = c * lax + s * laz, c * laz - s * lax, c * uax + s * uaz, c * uaz - s * uax
        ldx, ldz, udx, udz = x + lpx - lbx, lpz - lift - lbz, x + upx - ubx, upz - lift - ubz
        f, g = hypot(ldx, ldz), hypot(udx, udz)
        if f < 1e-9 or g < 1e-9:
            break
        fx, ft = ldx / f, (ldx * lpz - ldz * lpx) / f
        gx, gt = udx / g, (udx * upz - udz * upx) / g
        determinant = fx * gt - gx * ft
        if abs(determinant) < 1e-4:  # m: the links guide the axle less than 0.1 mm a radian
            break
        f, g = f - lower, g - upper
        step_x, step_turn = (f * gt - g * ft) / determinant, (fx * g - gx * f) / determinant
        x, turn = x - step_x, turn - step_turn
        if abs(step_x) > 0.5 or abs(step_turn) > 1.0:
            break
        if abs(step_x) < near and abs(step_turn) < near:
            return x, turn
    raise NoSolution(f"the links cannot reach a lift of {lift * 1e3:.1f} mm")


@formula(valid=ENDS)
def axle_rotation_at_lift(
    lower_axle_x: float,
    lower_axle_z: float,
    lower_body_x: float,
    lower_body_z: float,
    upper_axle_x: float,
    upper_axle_z: float,
    upper_body_x: float,
    upper_body_z: float,
    lift: float,
    lower_change: float = 0.0,
    upper_change: float = 0.0,
) -> float:
    """Turn of a four-link axle when the body is raised, from the end points of its links.

    The axle's centre goes down by the lift; the two link lengths fix its shift and its turn.

    Parameters
    ----------
    lower_axle_x : length [m]
        Lower link's axle end, forward of the axle's centre.
    lower_axle_z : length [m]
        Lower link's axle end, above the axle's centre.
    lower_body_x : length [m]
        Lower link's body end, forward of the axle's centre.
    lower_body_z : length [m]
        Lower link's body end, above the axle's centre.
    upper_axle_x : length [m]
        Upper link's axle end, forward of the axle's centre.
    upper_axle_z : length [m]
        Upper link's axle end, above the axle's centre.
    upper_body_x : length [m]
        Upper link's body end, forward of the axle's centre.
    upper_body_z : length [m]
        Upper link's body end, above the axle's centre.
    lift : length [m]
        How much higher the body stands over the axle.
    lower_change : length [m]
        How much longer the lower links are made.
    upper_change : length [m]
        How much longer the upper links are made.

    Returns
    -------
    angle [rad]
        Positive when the top goes back: caster gained.  Negative is what a lift usually does.

    Valid for
    ---------
    Links in side view, rigid bushes; links that are slanted in plan are taken by their side view.

    References
    ----------
    Plane geometry: two circles, followed from ride height.
    """
    links = (
        (lower_axle_x, lower_axle_z, lower_body_x, lower_body_z),
        (upper_axle_x, upper_axle_z, upper_body_x, upper_body_z),
    )
    return -_pose(links, lift, (lower_change, upper_change))[1]


@formula(valid=ENDS)
def axle_fore_aft_shift(
    lower_axle_x: float,
    lower_axle_z: float,
    lower_body_x: float,
    lower_body_z: float,
    upper_axle_x: float,
    upper_axle_z: float,
    upper_body_x: float,
    upper_body_z: float,
    lift: float,
    lower_change: float = 0.0,
    upper_change: float = 0.0,
) -> float:
    """How far the links carry the axle forward when the body is raised.

    Solved together with axle_rotation_at_lift.

    Parameters
    ----------
    lower_axle_x : length [m]
        Lower link's axle end, forward of the axle's centre.
    lower_axle_z : length [m]
        Lower link's axle end, above the axle's centre.
    lower_body_x : length [m]
        Lower link's body end, forward of the axle's centre.
    lower_body_z : length [m]
        Lower link's body end, above the axle's centre.
    upper_axle_x : length [m]
        Upper link's axle end, forward of the axle's centre.
    upper_axle_z : length [m]
        Upper link's axle end, above the axle's centre.
    upper_body_x : length [m]
        Upper link's body end, forward of the axle's centre.
    upper_body_z : length [m]
        Upper link's body end, above the axle's centre.
    lift : length [m]
        How much higher the body stands over the axle.
    lower_change : length [m]
        How much longer the lower links are made.
    upper_change : length [m]
        How much longer the upper links are made.

    Returns
    -------
    length [m]
        Forward positive; a front axle on trailing links goes back, negative.

    Valid for
    ---------
    As axle_rotation_at_lift.

    References
    ----------
    Plane geometry: two circles, followed from ride height.
    """
    links = (
        (lower_axle_x, lower_axle_z, lower_body_x, lower_body_z),
        (upper_axle_x, upper_axle_z, upper_body_x, upper_body_z),
    )
    return _pose(links, lift, (lower_change, upper_change))[0]
