"""The three radii of a tyre.

Take one per use: free (half the diameter) for room, loaded for brake force, grip and gear torque at the wheel,
effective (rolling circumference over 2 pi) for speed and revolutions.
"""

from __future__ import annotations

from math import pi

from knowledge.formulas._registry import formula
from shared.errors import NoSolution

DIAMETER = (0.4, 1.4)  # m, free diameter of any tyre of a road vehicle
ROLLING_FACTOR = 3.05  # rolling circumference over diameter of a radial tyre at 60 km/h
LOADED_FACTOR = 0.96  # loaded over free radius, common practice


@formula(valid={"diameter": DIAMETER}, rises=("diameter",))
def tyre_rolling_circumference(diameter: float) -> float:
    """Distance a radial tyre covers in one turn at 60 km/h.

    CR = 3.05 D

    Parameters
    ----------
    diameter : length [m]
        Free diameter.

    Returns
    -------
    length [m]
        Rolling circumference.

    Valid for
    ---------
    Radial tyres at their pressure and load; a diagonal tyre rolls about 1 % less (3.02, from memory).

    References
    ----------
    ETRTO Standards Manual, rolling circumference (from memory).
    """
    return ROLLING_FACTOR * diameter


@formula(valid={"diameter": DIAMETER}, rises=("diameter",))
def tyre_effective_radius(diameter: float) -> float:
    """Radius that joins a wheel's revolutions to road speed.

    r = CR / (2 pi) = 3.05 D / (2 pi)

    Parameters
    ----------
    diameter : length [m]
        Free diameter.

    Returns
    -------
    length [m]
        Effective (rolling) radius, for speed and revolutions.

    Valid for
    ---------
    Radial tyres at their pressure and load.

    References
    ----------
    ETRTO Standards Manual, rolling circumference (from memory).
    """
    return tyre_rolling_circumference(diameter) / (2 * pi)


@formula(
    valid={"load": (0.0, 20e3), "vertical_rate": (50e3, 1000e3), "diameter": DIAMETER},
    rises=("vertical_rate", "diameter"),
    falls=("load",),
)
def tyre_loaded_radius(load: float, vertical_rate: float, diameter: float) -> float:
    """Height of the wheel's centre above the road under load.

    r = D/2 - load / vertical_rate

    Parameters
    ----------
    load : force [N]
        Vertical load on the wheel.
    vertical_rate : spring_rate [N/m]
        Vertical rate of the tyre at its pressure.
    diameter : length [m]
        Free diameter.

    Returns
    -------
    length [m]
        Loaded radius, for brake force, grip and gear torque at the wheel.

    Valid for
    ---------
    Deflections up to a quarter of the free radius; beyond that the rate no longer holds.

    References
    ----------
    Definition of the rate; the linear law is common practice for normal loads, no source.
    """
    radius = diameter / 2
    deflection = load / vertical_rate
    if deflection > radius / 4:
        raise NoSolution(
            f"a tyre of {diameter * 1e3:.0f} mm does not carry {load:.0f} N at {vertical_rate / 1e3:.0f} N/mm: "
            f"it would be pressed in by {deflection * 1e3:.0f} mm"
        )
    return radius - deflection


@formula(valid={"diameter": DIAMETER}, rises=("diameter",))
def tyre_loaded_radius_estimate(diameter: float) -> float:
    """Loaded radius where the tyre's vertical rate is not known: a rule of thumb.

    r = 0.96 D/2

    Parameters
    ----------
    diameter : length [m]
        Free diameter.

    Returns
    -------
    length [m]
        Loaded radius, about 0.95 to 0.97 of the free one.

    Valid for
    ---------
    Tyres at their pressure, loaded to between half and all of their capacity.

    References
    ----------
    Common practice, no source; 0.96 is also the factor of a published worked example of rolling circumference.
    """
    return LOADED_FACTOR * diameter / 2


@formula(valid={"circumference": (1.0, 5.0)}, falls=("circumference",))
def revolutions_per_distance(circumference: float) -> float:
    """Turns a wheel makes per distance driven.

    n = 1 / circumference

    Parameters
    ----------
    circumference : length [m]
        Rolling circumference.

    Returns
    -------
    turns_per_distance [1/m]
        Turns per metre.

    Valid for
    ---------
    Wheels that do not slip.

    References
    ----------
    Definition.
    """
    return 1.0 / circumference
