"""Torque an axle and its half shafts can be asked to bear: by the engine in low gear, and by the tyres' grip."""

from __future__ import annotations

from math import cos

from knowledge.formulas._registry import formula
from shared.errors import FormulaError

AXLE_TORQUE = (0.0, 1e5)


@formula(
    valid={
        "engine_torque": (0.0, 2000.0),
        "gear_ratio": (0.5, 12.0),
        "low_ratio": (1.0, 6.0),
        "axle_ratio": (1.0, 10.0),
        "efficiency": (0.3, 1.0),
        "multiplier": (1.0, 4.0),
    },
    rises=("engine_torque", "gear_ratio", "low_ratio", "axle_ratio", "efficiency", "multiplier"),
)
def engine_limited_axle_torque(
    engine_torque: float,
    gear_ratio: float,
    low_ratio: float,
    axle_ratio: float,
    efficiency: float,
    multiplier: float = 1.0,
) -> float:
    """Greatest torque the engine can put into one axle.

    T i_gear i_low i_axle efficiency multiplier

    Parameters
    ----------
    engine_torque : torque [N m]
        Engine's greatest torque.
    gear_ratio : ratio [1]
        First gear.
    low_ratio : ratio [1]
        Transfer in low range.
    axle_ratio : ratio [1]
        Final drive.
    efficiency : share [1]
        From flywheel to wheels in low range.
    multiplier : ratio [1]
        Torque converter at stall, or clutch shock; 1 for neither.

    Returns
    -------
    torque [N m]
        At the two wheels of one axle together, the other axle bearing nothing.

    Valid for
    ---------
    A locked transfer with the other axle off the ground, the worst case.

    References
    ----------
    Product of ratios.
    """
    return engine_torque * gear_ratio * low_ratio * axle_ratio * efficiency * multiplier


@formula(
    valid={"axle_load": (0.0, 5e4), "friction": (0.0, 1.5), "loaded_radius": (0.15, 0.8)},
    rises=("axle_load", "friction", "loaded_radius"),
)
def grip_limited_axle_torque(axle_load: float, friction: float, loaded_radius: float) -> float:
    """Greatest torque the tyres of one axle can hold before they slip.

    mu N r

    Parameters
    ----------
    axle_load : force [N]
        Load on both wheels of the axle, N.
    friction : ratio [1]
        Tyre grip mu; 0.9 on dry rock by common practice, no source.
    loaded_radius : length [m]
        Loaded tyre radius r.

    Returns
    -------
    torque [N m]
        At the two wheels together.

    Valid for
    ---------
    No shock.

    References
    ----------
    Coulomb friction.
    """
    return friction * axle_load * loaded_radius


@formula(
    valid={"engine_torque": AXLE_TORQUE, "grip_torque": AXLE_TORQUE, "bias_ratio": (1.0, 10.0)},
    rises=("engine_torque", "grip_torque", "bias_ratio"),
)
def half_shaft_torque(differential: str, engine_torque: float, grip_torque: float, bias_ratio: float) -> float:
    """Torque one half shaft can be asked to bear.

    share x min(engine's axle torque, grip's axle torque); share 1/2 open, b/(1 + b) limited, 1 locked

    Parameters
    ----------
    differential : word
        "open", "limited" or "locked"; one that can be locked by choice counts as locked.
    engine_torque : torque [N m]
        Axle torque by the engine, as engine_limited_axle_torque gives it.
    grip_torque : torque [N m]
        Axle torque by grip, as grip_limited_axle_torque gives it for the whole axle's load.
    bias_ratio : ratio [1]
        Greatest ratio of the two shafts' torques, b, about 2 to 4 for a clutch pack (common practice, no source);
        only a limited-slip differential uses it.

    Returns
    -------
    torque [N m]
        Open: half of the axle's, lesser wheel grip.  Locked: the whole axle's load on one tyre.

    Valid for
    ---------
    Even load left and right with an open differential; the worst split of the load with the other two.

    References
    ----------
    Equilibrium of the differential.  With b between the shafts, one wheel bears most when it carries b times the
    load of the other.
    """
    if differential == "open":
        share = 0.5
    elif differential == "locked":
        share = 1.0
    elif differential == "limited":
        share = bias_ratio / (1 + bias_ratio)
    else:
        raise FormulaError(f"a differential is open, limited or locked, not {differential!r}")
    return share * min(engine_torque, grip_torque)


@formula(valid={"torque": AXLE_TORQUE, "lock": (0.0, 0.9)}, rises=("torque", "lock"))
def front_half_shaft_torque(torque: float, lock: float) -> float:
    """Greatest torque in a front half shaft while its single joint is turned by the steering.

    T / cos(lock)

    Parameters
    ----------
    torque : torque [N m]
        Torque at the wheel.
    lock : angle [rad]
        Steer of that wheel.

    Returns
    -------
    torque [N m]
        Peak within the turn.

    Valid for
    ---------
    A single cross joint at the wheel; a constant-velocity joint has no such peak.

    References
    ----------
    Power is the same on both sides: torque goes as the inverse of the speed ratio, 1/cos at its greatest.
    """
    return torque / cos(lock)
