"""Caster and front pinion, which are one casting, and the axle on radius arms."""

from __future__ import annotations

from math import asin

from knowledge.formulas._registry import formula
from knowledge.formulas.links import LIFT, TURN
from shared.errors import NoSolution


@formula(valid={"length": (0.3, 1.5), "stock_drop": (-0.3, 0.4), "lift": LIFT}, falls=("lift",))
def radius_arm_rotation(length: float, stock_drop: float, lift: float) -> float:
    """Turn of an axle on radius arms (fixed to the axle, one joint at the body) when the body is raised.

    asin(drop / L) - asin((drop + lift) / L)

    Parameters
    ----------
    length : length [m]
        Axle's centre to the arm's body joint.
    stock_drop : length [m]
        How far the axle's centre lay below the body joint.
    lift : length [m]
        How much higher the body stands over the axle.

    Returns
    -------
    angle [rad]
        Positive when the top goes back: caster gained.  A lift takes caster away.

    Valid for
    ---------
    Arms that run back from a front axle, seen from the side, rigid axle bushes.

    References
    ----------
    Plane geometry.
    """
    for drop in (stock_drop, stock_drop + lift):
        if abs(drop) > length:
            raise NoSolution(f"an arm of {length * 1e3:.1f} mm cannot span a drop of {drop * 1e3:.1f} mm")
    return asin(stock_drop / length) - asin((stock_drop + lift) / length)


@formula(
    valid={"stock_caster": TURN, "rotation": TURN, "correction": (-0.3, 0.3)},
    rises=("stock_caster", "rotation", "correction"),
)
def caster_at_lift(stock_caster: float, rotation: float, correction: float = 0.0) -> float:
    """Caster after the axle turned and was corrected.

    stock + rotation + correction

    Parameters
    ----------
    stock_caster : angle [rad]
        Caster as the car stood, kingpin top rearward positive.
    rotation : angle [rad]
        Turn of the axle, top back positive, as axle_rotation_at_lift gives it.
    correction : angle [rad]
        Turn given back by adjusters or offset joints.

    Returns
    -------
    angle [rad]
        Caster, kingpin top rearward positive.

    Valid for
    ---------
    A level body; a car that stands nose down by some angle loses that much more.

    References
    ----------
    Turns about one line add.
    """
    return stock_caster + rotation + correction


@formula(valid={"kingpin_to_pinion": TURN, "caster": TURN}, rises=("kingpin_to_pinion",), falls=("caster",))
def pinion_inclination_at_lift(kingpin_to_pinion: float, caster: float) -> float:
    """Inclination of a front axle's pinion, which is one casting with the kingpins.

    kingpin to pinion - caster

    Parameters
    ----------
    kingpin_to_pinion : angle [rad]
        Caster plus nose-up inclination of this housing; it never changes without cutting and welding.
    caster : angle [rad]
        Caster as it stands.

    Returns
    -------
    angle [rad]
        Nose up positive: 1 deg more caster is 1 deg lower nose.

    Valid for
    ---------
    A front axle whose kingpin ends were not cut and turned.

    References
    ----------
    One rigid casting.
    """
    return kingpin_to_pinion - caster
