"""Damping of a corner, at the wheel and against critical."""

from __future__ import annotations

from math import sqrt

from knowledge.formulas._registry import formula
from knowledge.formulas.ride import CORNER_MASS, RATE

DAMPING = (0.0, 1e5)


@formula(valid={"rate": RATE, "sprung_mass": CORNER_MASS}, rises=("rate", "sprung_mass"))
def critical_damping(rate: float, sprung_mass: float) -> float:
    """Damping at which a body displaced on its spring just does not swing past rest.

    c = 2 sqrt(k m)

    Parameters
    ----------
    rate : spring_rate [N/m]
        At the wheel.
    sprung_mass : mass [kg]
        That the spring carries, per corner.

    Returns
    -------
    damping [N s/m]
        At the wheel.

    Valid for
    ---------
    One degree of freedom.

    References
    ----------
    Mechanics of vibration.
    """
    return 2 * sqrt(rate * sprung_mass)


@formula(valid={"damping": DAMPING, "motion_ratio": (0.2, 1.5)}, rises=("damping", "motion_ratio"))
def damping_at_wheel(damping: float, motion_ratio: float) -> float:
    """Damping of a damper as the wheel feels it.

    c_w = c MR^2

    Parameters
    ----------
    damping : damping [N s/m]
        Of the damper along its rod.
    motion_ratio : ratio [1]
        Damper travel over wheel travel.

    Returns
    -------
    damping [N s/m]
        At the wheel, both wheels moving together.

    Valid for
    ---------
    Small travel about the height at which the ratio was taken.

    References
    ----------
    Virtual work.
    """
    return damping * motion_ratio**2


@formula(
    valid={"damping": DAMPING, "rate": RATE, "sprung_mass": CORNER_MASS},
    rises=("damping",),
    falls=("rate", "sprung_mass"),
)
def damping_ratio(damping: float, rate: float, sprung_mass: float) -> float:
    """Damping of a corner over its critical damping.

    zeta = c / (2 sqrt(k m))

    Parameters
    ----------
    damping : damping [N s/m]
        At the wheel, mean of bump and rebound.
    rate : spring_rate [N/m]
        At the wheel.
    sprung_mass : mass [kg]
        That the spring carries, per corner.

    Returns
    -------
    ratio [1]
        0.2 to 0.4 on road cars (common practice, no source).

    Valid for
    ---------
    One degree of freedom, a damper near linear.

    References
    ----------
    Mechanics of vibration.
    """
    return damping / critical_damping(rate, sprung_mass)
