"""The coil spring as a piece: its size, rate and length, whole and cut."""

from __future__ import annotations

from knowledge.formulas._registry import formula
from shared.errors import NoSolution

WIRE = (0.0005, 0.05)
MEAN_DIAMETER = (0.004, 0.5)
COILS = (0.5, 40.0)
LENGTH = (0.005, 1.5)
LOAD = (0.0, 2e5)
RATE = (100.0, 1e6)

# Below this index (mean diameter over wire) no spring is wound, and the stress factor loses its meaning at 0.75.
LEAST_INDEX = 2.0


def spring_index(wire: float, mean_diameter: float) -> float:
    """Spring index w = D/d of a coil that can exist."""
    index = mean_diameter / wire
    if index < LEAST_INDEX:
        raise NoSolution(
            f"wire of {wire * 1e3:g} mm on a mean diameter of {mean_diameter * 1e3:g} mm has spring index {index:.2g}; "
            f"none is wound below {LEAST_INDEX:g}"
        )
    return index


@formula(valid={"outside_diameter": MEAN_DIAMETER, "wire": WIRE}, rises=("outside_diameter",), falls=("wire",))
def coil_mean_diameter(outside_diameter: float, wire: float) -> float:
    """Mean diameter of a coil from what a caliper can reach.

    D = D_e - d

    Parameters
    ----------
    outside_diameter : length [m]
        Over the coils, D_e.
    wire : length [m]
        Wire diameter d on bared metal.

    Returns
    -------
    length [m]
        Diameter of the helix the middle of the wire follows.

    Valid for
    ---------
    A cylindrical coil of round wire, unloaded.

    References
    ----------
    EN 13906-1:2013, figure 1 (from memory).
    """
    mean = outside_diameter - wire
    if mean <= 0:
        raise NoSolution(f"wire of {wire * 1e3:g} mm is not thinner than the coil of {outside_diameter * 1e3:g} mm")
    return mean


@formula(valid={"total_coils": COILS, "dead_coils": (0.0, 4.0)}, rises=("total_coils",), falls=("dead_coils",))
def coil_active_coils(total_coils: float, dead_coils: float) -> float:
    """Turns that twist, from the turns that can be counted.

    n = n_t - n_dead

    Parameters
    ----------
    total_coils : turns [1]
        All turns, tip to tip.
    dead_coils : turns [1]
        Turns that lie on a seat or on each other, both ends together.

    Returns
    -------
    count [1]
        Active coils n.

    Valid for
    ---------
    Any end form; about 1.5 dead turns where both ends are closed, none at a tangent end.

    References
    ----------
    EN 13906-1:2013, 9.8 (from memory).
    """
    active = total_coils - dead_coils
    if active <= 0:
        raise NoSolution(f"of {total_coils:g} turns {dead_coils:g} are dead: none is left to twist")
    return active


@formula(
    valid={"wire": WIRE, "mean_diameter": MEAN_DIAMETER, "active_coils": COILS, "shear_modulus": (2e10, 9e10)},
    rises=("wire", "shear_modulus"),
    falls=("mean_diameter", "active_coils"),
)
def coil_rate(wire: float, mean_diameter: float, active_coils: float, shear_modulus: float) -> float:
    """Rate of a helical compression spring of round wire.

    k = G d^4 / (8 D^3 n)

    Parameters
    ----------
    wire : length [m]
        Wire diameter d.
    mean_diameter : length [m]
        Mean coil diameter D.
    active_coils : turns [1]
        Coils that twist, n.
    shear_modulus : stress [Pa]
        Of the wire, G; 78.5 to 79.3 GPa for spring steel.

    Returns
    -------
    spring_rate [N/m]
        Force per deflection.

    Valid for
    ---------
    Round wire, cylindrical coil of even pitch, spring index 4 to 20.  The small term for direct shear,
    1 + 1/(2 w^2), is left out as the standard leaves it out: 0.7 % at index 8.

    References
    ----------
    EN 13906-1:2013, 9.4 (clause as cited in a program written to it).
    """
    spring_index(wire, mean_diameter)
    return shear_modulus * wire**4 / (8 * mean_diameter**3 * active_coils)


@formula(
    valid={"load": (1.0, 2e5), "free_length": LENGTH, "loaded_length": LENGTH},
    rises=("load", "loaded_length"),
    falls=("free_length",),
)
def coil_rate_measured(load: float, free_length: float, loaded_length: float) -> float:
    """Rate of a coil from its length in a car whose axle was weighed, and its length out of it.

    k = F / (L0 - L)

    Parameters
    ----------
    load : force [N]
        On this coil when its length was read.
    free_length : length [m]
        Off the car, L0.
    loaded_length : length [m]
        Under the load, L, same end marks.

    Returns
    -------
    spring_rate [N/m]
        Force per deflection, mean over the whole deflection.

    Valid for
    ---------
    A coil of even pitch, no turn closed under the load.

    References
    ----------
    Definition of rate.
    """
    if free_length <= loaded_length:
        raise NoSolution(
            f"a loaded length of {loaded_length * 1e3:g} mm is not shorter than the free {free_length * 1e3:g} mm"
        )
    return load / (free_length - loaded_length)


@formula(valid={"load": LOAD, "rate": RATE}, rises=("load",), falls=("rate",))
def coil_deflection(load: float, rate: float) -> float:
    """How far a coil closes under a load.

    s = F / k

    Parameters
    ----------
    load : force [N]
        Along the spring.
    rate : spring_rate [N/m]
        Of the spring.

    Returns
    -------
    length [m]
        Shortening from the free length.

    Valid for
    ---------
    A linear spring, before any turn closes.

    References
    ----------
    Definition of rate.
    """
    return load / rate


@formula(valid={"free_length": LENGTH, "load": LOAD, "rate": RATE}, rises=("free_length", "rate"), falls=("load",))
def coil_length(free_length: float, load: float, rate: float) -> float:
    """Length of a coil under a load.

    L = L0 - F / k

    Parameters
    ----------
    free_length : length [m]
        Unloaded, L0.
    load : force [N]
        Along the spring; on a car the seat load.
    rate : spring_rate [N/m]
        Of the spring.

    Returns
    -------
    length [m]
        Seat to seat.

    Valid for
    ---------
    A linear spring; compare the result with the solid length.

    References
    ----------
    Definition of rate.
    """
    length = free_length - load / rate
    if length <= 0:
        raise NoSolution(
            f"{load:.0f} N would close a coil of {rate / 1e3:.3g} N/mm by {load / rate * 1e3:.0f} mm, "
            f"more than its free {free_length * 1e3:.0f} mm"
        )
    return length
