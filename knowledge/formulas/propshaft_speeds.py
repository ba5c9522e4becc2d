"""How fast a propeller shaft turns and where it begins to whirl."""

from __future__ import annotations

from math import hypot, pi, sqrt

from knowledge.formulas._registry import formula
from shared.errors import NoSolution

STEEL_MODULUS = 207e9  # Pa, carbon steel: Shigley, table A-5
STEEL_DENSITY = 7850.0  # kg/m3, carbon steel: common handbook value, from memory


@formula(
    valid={"outside": (0.02, 0.2), "inside": (0.0, 0.195), "length": (0.2, 2.5)},
    rises=("outside", "inside"),
    falls=("length",),
)
def critical_speed(outside: float, inside: float, length: float) -> float:
    """First whirling speed of a steel tube between two joints.

    w = (pi^2 / 4) sqrt(E / density) sqrt(D^2 + d^2) / L^2, which is the first bending frequency of a pinned beam

    Parameters
    ----------
    outside : length [m]
        Outside diameter D.
    inside : length [m]
        Inside diameter d; 0 for a solid bar.
    length : length [m]
        Distance between the joint centres L.

    Returns
    -------
    rotation [rad/s]
        Critical speed; common practice, no source, keeps below 0.7 of it.

    Valid for
    ---------
    An even steel tube, slender, without a slip section; the true one is lower with heavy yokes.

    References
    ----------
    Euler-Bernoulli beam, pinned ends; E 207 GPa after Shigley, table A-5, density 7 850 kg/m3 from memory.
    """
    if inside >= outside:
        raise NoSolution(f"a tube of {outside * 1e3:.1f} mm cannot have a bore of {inside * 1e3:.1f} mm")
    return pi * pi / 4 * sqrt(STEEL_MODULUS / STEEL_DENSITY) * hypot(outside, inside) / (length * length)


@formula(
    valid={"road_speed": (0.0, 80.0), "effective_radius": (0.15, 0.8), "axle_ratio": (1.0, 10.0)},
    rises=("road_speed", "axle_ratio"),
    falls=("effective_radius",),
)
def propshaft_speed(road_speed: float, effective_radius: float, axle_ratio: float) -> float:
    """Speed of a propeller shaft at a road speed.

    w = v i / r

    Parameters
    ----------
    road_speed : speed [m/s]
        Speed of the car.
    effective_radius : length [m]
        Effective (rolling) radius of the tyre.
    axle_ratio : ratio [1]
        Turns of the shaft per turn of the wheels.

    Returns
    -------
    rotation [rad/s]
        Shaft speed.

    Valid for
    ---------
    Straight driving without slip.

    References
    ----------
    Rolling without slip.
    """
    return road_speed * axle_ratio / effective_radius
