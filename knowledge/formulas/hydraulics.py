"""From the foot to the line pressure: pedal, booster, master cylinder, and the valve on the way to the rear.

The push rod gets pedal force x ratio x efficiency, less what the return springs hold back.  The booster
multiplies it by its gain until the diaphragm gives all it has; beyond that knee only the foot adds force.
"""

from __future__ import annotations

from math import inf, pi

from knowledge.formulas._registry import formula

PEDAL_FORCE = (0.0, 1500.0)  # N
PEDAL_RATIO = (2.0, 9.0)
EFFICIENCY = (0.5, 1.0)
RETURN = (0.0, 150.0)  # N at the push rod
GAIN = (1.0, 10.0)
ASSIST = (0.0, 10e3)  # N
BORE = (0.012, 0.045)  # m, master cylinder
PRESSURE = (0.0, 30e6)  # Pa


def bore_area(bore: float) -> float:
    """Area of a round piston [m2] of diameter ``bore`` [m]."""
    return pi * bore * bore / 4


@formula(
    valid={
        "pedal_force": PEDAL_FORCE,
        "pedal_ratio": PEDAL_RATIO,
        "pedal_efficiency": EFFICIENCY,
        "return_force": RETURN,
        "booster_gain": GAIN,
        "assist_max": ASSIST,
        "master_bore": BORE,
    },
    rises=("pedal_force", "pedal_ratio", "pedal_efficiency", "booster_gain", "assist_max"),
    falls=("return_force", "master_bore"),
)
def pedal_force_to_pressure(
    pedal_force: float,
    pedal_ratio: float,
    pedal_efficiency: float,
    return_force: float,
    booster_gain: float,
    assist_max: float,
    master_bore: float,
) -> float:
    """Line pressure from the force on the pedal.

    F_in = max(0, F i eta - F_return); F_out = F_in + min((gain - 1) F_in, assist_max); p = F_out / A

    Parameters
    ----------
    pedal_force : force [N]
        Force of the foot F.
    pedal_ratio : ratio [1]
        Pedal ratio i.
    pedal_efficiency : share [1]
        Efficiency eta of pedal and rod.
    return_force : force [N]
        Return springs, as felt at the push rod.
    booster_gain : ratio [1]
        Output over input force below the knee; 1 without a booster.
    assist_max : force [N]
        Most the booster adds.
    master_bore : length [m]
        Bore of the master cylinder.

    Returns
    -------
    pressure [Pa]
        Pressure in both circuits of a tandem cylinder.

    Valid for
    ---------
    Slow application, fluid without air, pistons that do not bottom.

    References
    ----------
    Equilibrium; braking texts (Limpert, Brake Design and Safety).
    """
    rod = max(0.0, pedal_force * pedal_ratio * pedal_efficiency - return_force)
    return (rod + min((booster_gain - 1.0) * rod, assist_max)) / bore_area(master_bore)


@formula(
    valid={
        "pressure": PRESSURE,
        "pedal_ratio": PEDAL_RATIO,
        "pedal_efficiency": EFFICIENCY,
        "return_force": RETURN,
        "booster_gain": GAIN,
        "assist_max": ASSIST,
        "master_bore": BORE,
    },
    rises=("pressure", "return_force", "master_bore"),
    falls=("pedal_ratio", "pedal_efficiency", "booster_gain", "assist_max"),
)
def pressure_to_pedal_force(
    pressure: float,
    pedal_ratio: float,
    pedal_efficiency: float,
    return_force: float,
    booster_gain: float,
    assist_max: float,
    master_bore: float,
) -> float:
    """Force on the pedal that a line pressure takes: the inverse of ``pedal_force_to_pressure``.

    F_in = max(p A / gain, p A - assist_max); F = (F_in + F_return) / (i eta)

    Parameters
    ----------
    pressure : pressure [Pa]
        Line pressure wanted.
    pedal_ratio : ratio [1]
        Pedal ratio.
    pedal_efficiency : share [1]
        Efficiency of pedal and rod.
    return_force : force [N]
        Return springs, as felt at the push rod.
    booster_gain : ratio [1]
        Output over input force below the knee; 1 without a booster.
    assist_max : force [N]
        Most the booster adds.
    master_bore : length [m]
        Bore of the master cylinder.

    Returns
    -------
    force [N]
        At no pressure, the force that just moves the pedal.

    Valid for
    ---------
    As ``pedal_force_to_pressure``.

    References
    ----------
    Equilibrium; braking texts (Limpert, Brake Design and Safety).
    """
    output = pressure * bore_area(master_bore)
    rod = max(output / booster_gain, output - assist_max)
    return (rod + return_force) / (pedal_ratio * pedal_efficiency)


@formula(
    valid={"front_pressure": PRESSURE, "split": (0.0, 30e6), "slope": (0.0, 1.0)},
    rises=("front_pressure", "split", "slope"),
)
def valve_rear_pressure(front_pressure: float, split: float, slope: float) -> float:
    """Pressure behind a proportioning valve.

    p up to the split, then split + slope (p - split)

    Parameters
    ----------
    front_pressure : pressure [Pa]
        Pressure in front of the valve, which is also the front brakes'.
    split : pressure [Pa]
        Pressure at which the valve begins to hold back; the highest of the range where there is no valve.
    slope : share [1]
        Rise behind the valve per rise in front of it, above the split.

    Returns
    -------
    pressure [Pa]
        Pressure at the rear brakes.

    Valid for
    ---------
    Rising pressure; a valve that falls open again lags.

    References
    ----------
    Definition of the valve; braking texts (Limpert).
    """
    return front_pressure if front_pressure <= split else split + slope * (front_pressure - split)


def valve_front_pressure(rear_pressure: float, split: float, slope: float) -> float:
    """Front pressure [Pa] that gives ``rear_pressure`` [Pa]; infinite where the valve never lets it through."""
    if rear_pressure <= split:
        return rear_pressure
    return split + (rear_pressure - split) / slope if slope > 0.0 else inf


@formula(valid={"stock_bore": BORE, "bore": BORE}, rises=("stock_bore",), falls=("bore",))
def master_pressure_ratio(stock_bore: float, bore: float) -> float:
    """Line pressure at one push-rod force, against stock, after the master cylinder's bore has changed.

    (stock_bore / bore)2; the pedal's travel changes the same way

    Parameters
    ----------
    stock_bore : length [m]
        Bore of the stock master cylinder.
    bore : length [m]
        Bore fitted.

    Returns
    -------
    ratio [1]
        Below 1 for a larger bore.

    Valid for
    ---------
    One and the same force at the push rod.

    References
    ----------
    Pressure is force over area.
    """
    return (stock_bore / bore) ** 2
