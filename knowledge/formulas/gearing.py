"""Overall ratios, and engine speed against road speed."""

from __future__ import annotations

from knowledge.formulas._registry import formula

AXLE = (1.5, 10.0)  # axle ratio of a road vehicle
GEAR = (0.4, 8.0)  # ratio of one gear of the gearbox
LOW = (1.0, 5.0)  # transfer box, 1 in high
RADIUS = (0.2, 0.7)  # m, effective radius
SPEED = (0.0, 100.0)  # m/s


@formula(
    valid={"gear_ratio": GEAR, "transfer_ratio": LOW, "axle_ratio": AXLE},
    rises=("gear_ratio", "transfer_ratio", "axle_ratio"),
)
def overall_ratio(gear_ratio: float, transfer_ratio: float, axle_ratio: float) -> float:
    """Engine turns per turn of the wheel.

    gear x transfer x axle

    Parameters
    ----------
    gear_ratio : ratio [1]
        Ratio of the gear in use.
    transfer_ratio : ratio [1]
        Ratio of the transfer box, 1 in high range.
    axle_ratio : ratio [1]
        Axle ratio.

    Returns
    -------
    ratio [1]
        Overall drop.

    Valid for
    ---------
    Clutches and converters that do not slip.

    References
    ----------
    Definition.
    """
    return gear_ratio * transfer_ratio * axle_ratio


@formula(
    valid={"first_gear": GEAR, "low_range": LOW, "axle_ratio": AXLE}, rises=("first_gear", "low_range", "axle_ratio")
)
def crawl_ratio(first_gear: float, low_range: float, axle_ratio: float) -> float:
    """Lowest overall ratio: first gear in low range.

    first x low x axle

    Parameters
    ----------
    first_gear : ratio [1]
        Ratio of first gear.
    low_range : ratio [1]
        Ratio of the transfer box in low.
    axle_ratio : ratio [1]
        Axle ratio.

    Returns
    -------
    ratio [1]
        Engine turns per turn of the wheel at a crawl.

    Valid for
    ---------
    Clutches and converters that do not slip.

    References
    ----------
    Definition.
    """
    return overall_ratio(first_gear, low_range, axle_ratio)


@formula(
    valid={"road_speed": SPEED, "effective_radius": RADIUS, "gear_ratio": GEAR, "axle_ratio": AXLE},
    rises=("road_speed", "gear_ratio", "axle_ratio"),
    falls=("effective_radius",),
)
def engine_speed_at(road_speed: float, effective_radius: float, gear_ratio: float, axle_ratio: float) -> float:
    """Engine speed at a road speed, in high range.

    omega = v / r x gear x axle

    Parameters
    ----------
    road_speed : speed [m/s]
        Road speed.
    effective_radius : length [m]
        Effective radius of the driven tyres.
    gear_ratio : ratio [1]
        Ratio of the gear in use.
    axle_ratio : ratio [1]
        Axle ratio.

    Returns
    -------
    rotation [rad/s]
        Engine speed.

    Valid for
    ---------
    Clutches and converters that do not slip; the tyre's roll-out is known to 1 to 3 %.

    References
    ----------
    Definition.
    """
    return road_speed / effective_radius * gear_ratio * axle_ratio


@formula(
    valid={"engine_speed": (0.0, 1000.0), "effective_radius": RADIUS, "gear_ratio": GEAR, "axle_ratio": AXLE},
    rises=("engine_speed", "effective_radius"),
    falls=("gear_ratio", "axle_ratio"),
)
def road_speed_at(engine_speed: float, effective_radius: float, gear_ratio: float, axle_ratio: float) -> float:
    """Road speed at an engine speed, in high range.

    v = omega r / (gear x axle)

    Parameters
    ----------
    engine_speed : rotation [rad/s]
        Engine speed.
    effective_radius : length [m]
        Effective radius of the driven tyres.
    gear_ratio : ratio [1]
        Ratio of the gear in use.
    axle_ratio : ratio [1]
        Axle ratio.

    Returns
    -------
    speed [m/s]
        Road speed.

    Valid for
    ---------
    Clutches and converters that do not slip.

    References
    ----------
    Definition.
    """
    return engine_speed * effective_radius / (gear_ratio * axle_ratio)
