"""How the body stands: rake, and the height of a bumper, a lamp or a sill after a lift."""

from __future__ import annotations

from math import atan2

from knowledge.formulas._registry import formula

LIFT = (-0.3, 0.5)
WHEELBASE = (1.0, 6.0)


@formula(valid={"front_height": (0.0, 3.0), "rear_height": (0.0, 3.0)}, rises=("rear_height",), falls=("front_height",))
def rake_height(front_height: float, rear_height: float) -> float:
    """How much higher the body stands at the rear axle than at the front one.

    Parameters
    ----------
    front_height : length [m]
        Of the body over the front axle, or the lift there.
    rear_height : length [m]
        Of the body over the rear axle, or the lift there.

    Returns
    -------
    length [m]
        Negative: tail down.  Of two lifts it is the change of rake.

    Valid for
    ---------
    Both taken to the same datum.

    References
    ----------
    Definition.
    """
    return rear_height - front_height


@formula(valid={"rake": (-0.5, 0.5), "wheelbase": WHEELBASE}, rises=("rake",), one_way=("wheelbase",))
def rake_angle(rake: float, wheelbase: float) -> float:
    """Pitch of the body that goes with a rake.

    tan(angle) = rake / L

    Parameters
    ----------
    rake : length [m]
        How much higher the body stands at the rear axle than at the front one.
    wheelbase : length [m]
        L.

    Returns
    -------
    angle [rad]
        Positive nose down; the lamps dip by as much.

    Valid for
    ---------
    Any rake.

    References
    ----------
    Plane geometry.
    """
    return atan2(rake, wheelbase)


@formula(
    valid={
        "height": (0.0, 3.0),
        "lift_front": LIFT,
        "lift_rear": LIFT,
        "distance_behind_front": (-1.5, 6.0),
        "wheelbase": WHEELBASE,
        "tyre_rise": (-0.2, 0.3),
    },
    rises=("height", "tyre_rise"),
    one_way=("lift_front", "lift_rear", "distance_behind_front", "wheelbase"),
)
def height_with_lift(
    height: float,
    lift_front: float,
    lift_rear: float,
    distance_behind_front: float,
    wheelbase: float,
    tyre_rise: float,
) -> float:
    """Height of a point of the body after a lift.

    h' = h + r + lift_f (1 - x / L) + lift_r x / L

    Parameters
    ----------
    height : length [m]
        Above the ground before, h.
    lift_front : length [m]
        Body from axle, front.
    lift_rear : length [m]
        Body from axle, rear.
    distance_behind_front : length [m]
        Of the point behind the front axle, x; negative ahead of it.
    wheelbase : length [m]
        L.
    tyre_rise : length [m]
        Of both axles by taller tyres: change of loaded radius, r.

    Returns
    -------
    length [m]
        Above the ground.

    Valid for
    ---------
    Lifts small against the wheelbase; the same tyres front and rear.

    References
    ----------
    Plane geometry.
    """
    along = distance_behind_front / wheelbase
    return height + tyre_rise + lift_front * (1 - along) + lift_rear * along
