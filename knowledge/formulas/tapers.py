"""Tapered pins of ball joints and tie rod ends: angle, diameters and how deep a pin sits.

A taper is the change of diameter per length: 1.5 in per foot is 0.125, 1:10 is 0.1.
"""

from __future__ import annotations

from math import atan

from knowledge.formulas._registry import formula
from shared.errors import NoSolution

TAPER = (0.001, 1.0)
DIAMETER = (0.002, 0.1)
LENGTH = (0.001, 0.2)


@formula(valid={"taper": TAPER}, rises=("taper",))
def taper_included_angle(taper: float) -> float:
    """Included angle of a cone from its taper on diameter.

    2 atan(taper / 2)

    Parameters
    ----------
    taper : ratio [1]
        Change of diameter per length along the axis.

    Returns
    -------
    angle [rad]
        Angle between opposite sides; half of it is the angle to the axis.

    Valid for
    ---------
    Any straight cone.

    References
    ----------
    Plane geometry; tapers of pins after SAE J491 (from memory).
    """
    return 2 * atan(taper / 2)


@formula(
    valid={"large": DIAMETER, "small": DIAMETER, "length": LENGTH},
    rises=("large",),
    falls=("small", "length"),
)
def taper_between(large: float, small: float, length: float) -> float:
    """Taper of a pin from its two diameters and the length between them.

    (large - small) / length

    Parameters
    ----------
    large : length [m]
        Diameter at the large end.
    small : length [m]
        Diameter at the small end.
    length : length [m]
        Distance between the two, along the axis.

    Returns
    -------
    ratio [1]
        Change of diameter per length.

    Valid for
    ---------
    A large end that is the larger one.

    References
    ----------
    Definition.
    """
    if small > large:
        raise NoSolution(f"the small end, {small * 1e3:.2f} mm, is larger than the large one, {large * 1e3:.2f} mm")
    return (large - small) / length


@formula(
    valid={"large": DIAMETER, "small": DIAMETER, "length": LENGTH},
    rises=("large",),
    falls=("small", "length"),
)
def taper_angle_between(large: float, small: float, length: float) -> float:
    """Included angle of a pin from its two diameters and the length between them.

    2 atan((large - small) / (2 length))

    Parameters
    ----------
    large : length [m]
        Diameter at the large end.
    small : length [m]
        Diameter at the small end.
    length : length [m]
        Distance between the two, along the axis.

    Returns
    -------
    angle [rad]
        Angle between opposite sides.

    Valid for
    ---------
    A large end that is the larger one.  0.05 mm on a diameter over 20 mm is 0.14 deg: more than the 0.1 deg that
    parts two tapers, so read the mean of several places or try the pin with marking compound.

    References
    ----------
    Plane geometry.
    """
    return taper_included_angle(taper_between(large, small, length))


@formula(valid={"small": DIAMETER, "taper": (0.0, 1.0), "length": LENGTH}, rises=("small", "taper", "length"))
def taper_large_end(small: float, taper: float, length: float) -> float:
    """Large-end diameter of a cone.

    small + taper x length

    Parameters
    ----------
    small : length [m]
        Diameter at the small end.
    taper : ratio [1]
        Change of diameter per length.
    length : length [m]
        Length of the cone.

    Returns
    -------
    length [m]
        Diameter at the large end.

    Valid for
    ---------
    Any straight cone.

    References
    ----------
    Definition.
    """
    return small + taper * length


@formula(
    valid={"pin_large": DIAMETER, "bore_large": DIAMETER, "taper": TAPER}, rises=("pin_large",), falls=("bore_large",)
)
def taper_stand_out(pin_large: float, bore_large: float, taper: float) -> float:
    """How far a pin's large end stands out of a bore of the same taper.

    (pin - bore) / taper

    Parameters
    ----------
    pin_large : length [m]
        Large-end diameter of the pin.
    bore_large : length [m]
        Large-end diameter of the bore, at its face.
    taper : ratio [1]
        Taper of both.

    Returns
    -------
    length [m]
        Negative when the pin sinks below the face; more than about 1 mm either way and the nut bottoms or the
        split pin's hole is lost (common practice, no source).

    Valid for
    ---------
    Equal tapers.

    References
    ----------
    Plane geometry.
    """
    return (pin_large - bore_large) / taper
