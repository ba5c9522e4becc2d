"""Axle ratios: from the teeth, front against rear, and what other tyres make of them."""

from __future__ import annotations

from knowledge.formulas._registry import formula

AXLE = (1.5, 10.0)  # axle ratio of a road vehicle
RADIUS = (0.2, 0.7)  # m, effective radius
DIAMETER = (0.4, 1.4)  # m, free diameter


@formula(
    valid={"ring_teeth": (15.0, 80.0), "pinion_teeth": (5.0, 30.0)}, rises=("ring_teeth",), falls=("pinion_teeth",)
)
def axle_ratio_from_teeth(ring_teeth: float, pinion_teeth: float) -> float:
    """Axle ratio from the teeth counted.

    ring_teeth / pinion_teeth

    Parameters
    ----------
    ring_teeth : count [1]
        Teeth of the ring gear.
    pinion_teeth : count [1]
        Teeth of the pinion.

    Returns
    -------
    ratio [1]
        Pinion turns per turn of the ring gear.

    Valid for
    ---------
    Bevel or hypoid gear sets.

    Examples
    --------
    >>> round(axle_ratio_from_teeth(41, 11), 3)
    3.727

    References
    ----------
    Definition.
    """
    return ring_teeth / pinion_teeth


@formula(
    valid={"pinion_turns": (0.5, 200.0), "wheel_turns": (0.5, 40.0), "wheels": (1.0, 2.0)},
    rises=("pinion_turns",),
    falls=("wheel_turns", "wheels"),
)
def axle_ratio_from_turns(pinion_turns: float, wheel_turns: float, wheels: float) -> float:
    """Axle ratio from turns counted at the yoke and at the wheels.

    ratio = pinion turns / (wheel turns * wheels / 2)

    Parameters
    ----------
    pinion_turns : turns [1]
        Turns of the yoke, by a mark on it.
    wheel_turns : turns [1]
        Turns of the wheel, or of each of both.
    wheels : count [1]
        1 when the other wheel is held and the differential is open, 2 when both turn alike.

    Returns
    -------
    ratio [1]
        Pinion turns per turn of the ring gear.

    Valid for
    ---------
    Turns of the wheels of one axle.  A counting error of a tenth of a turn is 1 % over ten turns of the yoke.

    Examples
    --------
    >>> round(axle_ratio_from_turns(7.45, 4, 1), 3)
    3.725

    References
    ----------
    The ring gear of an open differential turns by the mean of its two wheels.
    """
    return pinion_turns / (wheel_turns * wheels / 2)


@formula(valid={"front_ratio": AXLE, "rear_ratio": AXLE})
def ratio_mismatch(front_ratio: float, rear_ratio: float) -> float:
    """How unlike the two axle ratios of a four-wheel drive are.

    abs(front - rear) / min(front, rear)

    Parameters
    ----------
    front_ratio : ratio [1]
        Front axle ratio, from teeth where they can be counted.
    rear_ratio : ratio [1]
        Rear axle ratio.

    Returns
    -------
    share [1]
        0 when they are the same; it turns there.

    Valid for
    ---------
    Equal tyres front and rear; else see ``ground_speed_mismatch``.

    References
    ----------
    Definition; the smaller ratio is the base.
    """
    return abs(front_ratio - rear_ratio) / min(front_ratio, rear_ratio)


@formula(valid={"front_ratio": AXLE, "rear_ratio": AXLE, "front_radius": RADIUS, "rear_radius": RADIUS})
def ground_speed_mismatch(front_ratio: float, rear_ratio: float, front_radius: float, rear_radius: float) -> float:
    """How unlike the road speeds of the two axles are when one transfer box turns both.

    abs(vf - vr) / min(vf, vr), v = radius / ratio

    Parameters
    ----------
    front_ratio : ratio [1]
        Front axle ratio.
    rear_ratio : ratio [1]
        Rear axle ratio.
    front_radius : length [m]
        Effective radius of the front tyres.
    rear_radius : length [m]
        Effective radius of the rear tyres.

    Returns
    -------
    share [1]
        0 when both axles cover the same road; it turns there.

    Valid for
    ---------
    Transfer boxes that turn both outputs alike.

    References
    ----------
    Definition.
    """
    front, rear = front_radius / front_ratio, rear_radius / rear_ratio
    return abs(front - rear) / min(front, rear)


@formula(
    valid={"axle_ratio": AXLE, "stock_diameter": DIAMETER, "diameter": DIAMETER},
    rises=("axle_ratio", "stock_diameter"),
    falls=("diameter",),
)
def effective_ratio(axle_ratio: float, stock_diameter: float, diameter: float) -> float:
    """Axle ratio that would feel the same on the stock tyres as this one on other tyres.

    axle_ratio x stock_diameter / diameter

    Parameters
    ----------
    axle_ratio : ratio [1]
        Axle ratio fitted.
    stock_diameter : length [m]
        Free diameter of the stock tyres.
    diameter : length [m]
        Free diameter of the tyres fitted.

    Returns
    -------
    ratio [1]
        Effective ratio.

    Valid for
    ---------
    Tyres of one construction, whose rolling radii go with their diameters.

    References
    ----------
    Definition.
    """
    return axle_ratio * stock_diameter / diameter


@formula(
    valid={"axle_ratio": AXLE, "stock_diameter": DIAMETER, "diameter": DIAMETER},
    rises=("axle_ratio", "diameter"),
    falls=("stock_diameter",),
)
def ratio_to_restore(axle_ratio: float, stock_diameter: float, diameter: float) -> float:
    """Axle ratio that gives the stock gearing back on other tyres.

    axle_ratio x diameter / stock_diameter

    Parameters
    ----------
    axle_ratio : ratio [1]
        Stock axle ratio.
    stock_diameter : length [m]
        Free diameter of the stock tyres.
    diameter : length [m]
        Free diameter of the tyres fitted.

    Returns
    -------
    ratio [1]
        Ratio wanted.

    Valid for
    ---------
    Tyres of one construction, whose rolling radii go with their diameters.

    References
    ----------
    Definition.
    """
    return axle_ratio * diameter / stock_diameter
