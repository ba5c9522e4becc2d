"""The coil spring after turns were cut off."""

from __future__ import annotations

from knowledge.formulas._registry import formula
from knowledge.formulas.springs import COILS, LENGTH, RATE, WIRE
from shared.errors import NoSolution


@formula(
    valid={"rate": RATE, "active_coils": COILS, "cut_coils": (0.0, 10.0)},
    rises=("rate", "cut_coils"),
    falls=("active_coils",),
)
def coil_cut_rate(rate: float, active_coils: float, cut_coils: float) -> float:
    """Rate of a coil after turns were cut off.

    k' = k n / (n - c)

    Parameters
    ----------
    rate : spring_rate [N/m]
        Before the cut, k.
    active_coils : turns [1]
        Before the cut, n.
    cut_coils : turns [1]
        Active turns taken away, c.

    Returns
    -------
    spring_rate [N/m]
        Always above the rate before.

    Valid for
    ---------
    An even coil, cut cold; heat from a torch ruins the temper of what is left.

    References
    ----------
    EN 13906-1:2013, 9.4: the rate goes as 1/n.
    """
    if cut_coils >= active_coils:
        raise NoSolution(f"{cut_coils:g} turns cannot be cut from {active_coils:g} active ones")
    return rate * active_coils / (active_coils - cut_coils)


@formula(
    valid={"free_length": LENGTH, "solid_length": LENGTH, "wire": WIRE, "active_coils": COILS, "cut_coils": (0, 10)},
    rises=("free_length", "solid_length", "active_coils"),
    falls=("wire", "cut_coils"),
)
def coil_cut_free_length(
    free_length: float, solid_length: float, wire: float, active_coils: float, cut_coils: float
) -> float:
    """Free length of a coil after turns were cut off.

    L0' = L0 - c (d + (L0 - L_c) / n)

    Parameters
    ----------
    free_length : length [m]
        Before the cut, L0.
    solid_length : length [m]
        Before the cut, L_c.
    wire : length [m]
        Wire diameter d.
    active_coils : turns [1]
        Before the cut, n.
    cut_coils : turns [1]
        Active turns taken away, c.

    Returns
    -------
    length [m]
        Each turn takes its wire and its gap with it.

    Valid for
    ---------
    An even pitch and a cut end that sits in its seat as it did before.

    References
    ----------
    Geometry of a helix of even pitch.
    """
    if cut_coils >= active_coils:
        raise NoSolution(f"{cut_coils:g} turns cannot be cut from {active_coils:g} active ones")
    if free_length <= solid_length:
        raise NoSolution(
            f"a free length of {free_length * 1e3:g} mm is not longer than the solid {solid_length * 1e3:g} mm"
        )
    left = free_length - cut_coils * (wire + (free_length - solid_length) / active_coils)
    if left <= 0:
        raise NoSolution(
            f"cutting {cut_coils:g} turns of {active_coils:g} leaves no length of {free_length * 1e3:g} mm"
        )
    return left
