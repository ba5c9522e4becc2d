"""What a change of tyre or ratio does to the revolutions and to the speedometer."""

from __future__ import annotations

from knowledge.formulas._registry import formula
from knowledge.standards import KMH

AXLE = (1.5, 10.0)
RADIUS = (0.2, 0.7)  # m, effective radius
TEETH = (5.0, 60.0)
OVER_SHARE = 0.1  # UN R39: share of the true speed a speedometer may show too much
OVER_FIXED = 4 * KMH  # m/s, and the fixed part


@formula(
    valid={"stock_axle": AXLE, "axle": AXLE, "stock_radius": RADIUS, "radius": RADIUS},
    rises=("axle", "stock_radius"),
    falls=("stock_axle", "radius"),
)
def revs_change_share(stock_axle: float, axle: float, stock_radius: float, radius: float) -> float:
    """Change of engine speed at one road speed, against stock.

    (axle / stock_axle) (stock_radius / radius) - 1

    Parameters
    ----------
    stock_axle : ratio [1]
        Axle ratio of the stock car.
    axle : ratio [1]
        Axle ratio fitted.
    stock_radius : length [m]
        Effective radius of the stock tyres.
    radius : length [m]
        Effective radius of the tyres fitted.

    Returns
    -------
    share [1]
        -0.04 for engine speed four per cent lower than stock.

    Valid for
    ---------
    The same gear of the same gearbox.

    References
    ----------
    Definition.
    """
    return axle / stock_axle * stock_radius / radius - 1.0


@formula(
    valid={
        "stock_reading": (0.8, 1.3),
        "stock_axle": AXLE,
        "axle": AXLE,
        "stock_radius": RADIUS,
        "radius": RADIUS,
        "stock_gear_teeth": TEETH,
        "gear_teeth": TEETH,
    },
    rises=("stock_reading", "axle", "stock_radius", "stock_gear_teeth"),
    falls=("stock_axle", "radius", "gear_teeth"),
)
def speedometer_reading_ratio(
    stock_reading: float,
    stock_axle: float,
    axle: float,
    stock_radius: float,
    radius: float,
    stock_gear_teeth: float,
    gear_teeth: float,
) -> float:
    """Speed shown over true speed, after tyres, axle ratio and speedometer gear have changed.

    stock_reading (axle / stock_axle) (stock_radius / radius) (stock_gear_teeth / gear_teeth)

    Parameters
    ----------
    stock_reading : ratio [1]
        Shown over true speed of the stock car, 1 where it has not been checked.
    stock_axle : ratio [1]
        Axle ratio of the stock car.
    axle : ratio [1]
        Axle ratio fitted.
    stock_radius : length [m]
        Effective radius of the stock tyres.
    radius : length [m]
        Effective radius of the tyres fitted.
    stock_gear_teeth : count [1]
        Teeth of the stock driven speedometer gear; any equal pair where the drive stays.
    gear_teeth : count [1]
        Teeth of the driven gear fitted.

    Returns
    -------
    ratio [1]
        Below 1: the speedometer reads low, and the driver is faster than shown.

    Valid for
    ---------
    A speedometer driven from the transfer or gearbox output.

    References
    ----------
    Kinematics of the drive.
    """
    return stock_reading * axle / stock_axle * stock_radius / radius * stock_gear_teeth / gear_teeth


@formula(
    valid={"true_speed": (0.0, 100.0), "reading_ratio": (0.3, 3.0)}, rises=("reading_ratio",), one_way=("true_speed",)
)
def speedometer_over_reading(true_speed: float, reading_ratio: float) -> float:
    """How much faster than the truth a speedometer shows.

    true_speed (reading_ratio - 1)

    Parameters
    ----------
    true_speed : speed [m/s]
        True speed.
    reading_ratio : ratio [1]
        Shown over true speed.

    Returns
    -------
    speed [m/s]
        Negative where it reads low, which UN R39 never allows.

    Valid for
    ---------
    Speedometers whose error is in proportion.

    References
    ----------
    Definition.
    """
    return true_speed * (reading_ratio - 1.0)


@formula(valid={"true_speed": (0.0, 100.0)}, rises=("true_speed",))
def speedometer_over_reading_limit(true_speed: float) -> float:
    """Most a speedometer may show above the true speed; the least is nothing.

    0 <= shown - true <= 0.1 true + 4 km/h

    Parameters
    ----------
    true_speed : speed [m/s]
        True speed.

    Returns
    -------
    speed [m/s]
        Upper limit of shown minus true speed.

    Valid for
    ---------
    Test speeds of the regulation, 40, 80 and 120 km/h.

    References
    ----------
    UN R39 5.3 (read).
    """
    return OVER_SHARE * true_speed + OVER_FIXED
