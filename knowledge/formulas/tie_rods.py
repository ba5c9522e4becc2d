"""Strength of a tie rod or drag link under the push of the steering."""

from __future__ import annotations

from math import pi, sqrt

from knowledge.formulas._registry import formula
from shared.errors import NoSolution

TUBE = {"outside": (0.01, 0.08), "inside": (0.0, 0.075), "length": (0.2, 2.0)}  # m


def _second_moment(outside: float, inside: float) -> float:
    if inside >= outside:
        raise NoSolution(f"a tube of {outside * 1e3:.1f} mm cannot have a bore of {inside * 1e3:.1f} mm")
    return pi * (outside**4 - inside**4) / 64


@formula(valid={**TUBE, "modulus": (6e10, 2.2e11)}, rises=("outside", "modulus"), falls=("inside", "length"))
def tie_rod_buckling(outside: float, inside: float, length: float, modulus: float) -> float:
    """Force at which a straight tie rod buckles.

    pi^2 E I / L^2, I = pi (D^4 - d^4) / 64

    Parameters
    ----------
    outside : length [m]
        Outside diameter D.
    inside : length [m]
        Bore d; 0 for a solid bar.
    length : length [m]
        Joint to joint.
    modulus : stress [Pa]
        Young modulus, about 207 GPa for steel.

    Returns
    -------
    force [N]
        Euler's load, ends pinned.

    Valid for
    ---------
    A straight, slender rod; a bent one fails far earlier.

    References
    ----------
    Euler's column, pinned ends.
    """
    return pi * pi * modulus * _second_moment(outside, inside) / (length * length)


@formula(valid=TUBE, rises=("length",), falls=("outside", "inside"))
def tie_rod_slenderness(outside: float, inside: float, length: float) -> float:
    """Slenderness of a tie rod; above about 100 it buckles before it yields.

    L / i, i = sqrt(D^2 + d^2) / 4

    Parameters
    ----------
    outside : length [m]
        Outside diameter D.
    inside : length [m]
        Bore d; 0 for a solid bar.
    length : length [m]
        Joint to joint.

    Returns
    -------
    ratio [1]
        Length over radius of gyration.

    Valid for
    ---------
    Round rod or tube, ends pinned.

    References
    ----------
    Mechanics of materials: i^2 = I / A.
    """
    if inside >= outside:
        raise NoSolution(f"a tube of {outside * 1e3:.1f} mm cannot have a bore of {inside * 1e3:.1f} mm")
    return 4 * length / sqrt(outside * outside + inside * inside)


@formula(
    valid={**TUBE, "modulus": (6e10, 2.2e11), "yield_stress": (1e8, 1.5e9), "force": (100.0, 1e5)},
    rises=("outside", "modulus", "yield_stress"),
    falls=("inside", "length", "force"),
)
def tie_rod_safety(
    outside: float, inside: float, length: float, modulus: float, yield_stress: float, force: float
) -> float:
    """Safety of a straight tie rod against the link force.

    stress x area / force; stress = pi^2 E / (L/i)^2 up to half the yield stress S, then S - S^2 (L/i)^2 / (4 pi^2 E)

    Parameters
    ----------
    outside : length [m]
        Outside diameter D.
    inside : length [m]
        Bore d; 0 for a solid bar.
    length : length [m]
        Joint to joint.
    modulus : stress [Pa]
        Young modulus.
    yield_stress : stress [Pa]
        Yield stress of the tube.
    force : force [N]
        Link force, as steering_link_force gives it.

    Returns
    -------
    ratio [1]
        2 or more is wanted.

    Valid for
    ---------
    A straight rod.  A slender one (over about 100) is governed by Euler's load, a stocky one by yield; between them
    the lesser of the two would be up to a third too high, as no rod is perfectly straight, and the parabola stands
    for both.  A bent rod fails far earlier.

    References
    ----------
    Euler's column; J. B. Johnson's parabola, which touches it at half the yield stress (Shigley's Mechanical
    Engineering Design, chapter 4, from memory; the formula read in two pages on machine design).
    """
    area = pi * (outside * outside - inside * inside) / 4
    buckling = tie_rod_buckling(outside, inside, length, modulus) / area
    stress = buckling if buckling <= yield_stress / 2 else yield_stress * (1 - yield_stress / (4 * buckling))
    return stress * area / force
