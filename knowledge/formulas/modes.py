"""Bounce and pitch of a body on its front and rear springs: two frequencies, each with the point it swings about."""

from __future__ import annotations

from math import hypot, pi, sqrt

from knowledge.formulas._registry import formula
from shared.errors import FormulaError, NoSolution

BODY = {
    "sprung_mass": (100.0, 5000.0),
    "front_rate": (2e3, 1e6),
    "rear_rate": (2e3, 1e6),
    "front_distance": (0.2, 4.0),
    "rear_distance": (0.2, 4.0),
    "gyration": (0.3, 3.0),
}


def _centre_and_spread(
    mode: str,
    sprung_mass: float,
    front_rate: float,
    rear_rate: float,
    front_distance: float,
    rear_distance: float,
    gyration: float,
) -> tuple[float, float, float, float]:
    """Mean and half spread of the two squared frequencies, half their uncoupled difference, and the coupling."""
    if mode not in ("lower", "upper"):
        raise FormulaError(f"a mode is lower or upper, not {mode!r}")
    bounce = (front_rate + rear_rate) / sprung_mass
    pitch = (front_rate * front_distance**2 + rear_rate * rear_distance**2) / (sprung_mass * gyration**2)
    coupling = (rear_rate * rear_distance - front_rate * front_distance) / sprung_mass
    difference = (bounce - pitch) / 2
    return (bounce + pitch) / 2, hypot(difference, coupling / gyration), difference, coupling


@formula(
    valid=BODY,
    rises=("front_rate", "rear_rate"),
    falls=("sprung_mass", "gyration"),
)
def bounce_pitch_frequency(
    mode: str,
    sprung_mass: float,
    front_rate: float,
    rear_rate: float,
    front_distance: float,
    rear_distance: float,
    gyration: float,
) -> float:
    """Natural frequency of the body in one of its two modes of bounce and pitch.

    Roots of (A - w^2)(C - w^2) = B^2 / k^2 with A = (kf + kr) / m, B = (kr b - kf a) / m,
    C = (kf a^2 + kr b^2) / (m k^2); f = w / (2 pi)

    Parameters
    ----------
    mode : word
        "lower" or "upper".
    sprung_mass : mass [kg]
        Of the whole body, m.
    front_rate : spring_rate [N/m]
        Of both front springs together, at the wheels, kf.
    rear_rate : spring_rate [N/m]
        Of both rear springs together, at the wheels, kr.
    front_distance : length [m]
        From the body's centre of gravity to the front axle, a.
    rear_distance : length [m]
        From the body's centre of gravity to the rear axle, b.
    gyration : length [m]
        Radius of gyration of the body in pitch, k.

    Returns
    -------
    frequency [Hz]
        Undamped, tyres taken as rigid.

    Valid for
    ---------
    Small motion of a rigid body.

    References
    ----------
    Mechanics of vibration: two degrees of freedom.
    """
    mean, spread, _, _ = _centre_and_spread(
        mode, sprung_mass, front_rate, rear_rate, front_distance, rear_distance, gyration
    )
    upper = mean + spread
    if mode == "upper":
        return sqrt(upper) / (2 * pi)
    # From the product of the roots: the difference of two near equals would lose figures.
    product = front_rate * rear_rate * ((front_distance + rear_distance) / (sprung_mass * gyration)) ** 2
    return sqrt(product / upper) / (2 * pi)


@formula(valid=BODY)
def bounce_pitch_node(
    mode: str,
    sprung_mass: float,
    front_rate: float,
    rear_rate: float,
    front_distance: float,
    rear_distance: float,
    gyration: float,
) -> float:
    """Point the body swings about in one of its two modes.

    x = B / (A - w^2), with A, B and w as for the frequency

    Parameters
    ----------
    mode : word
        "lower" or "upper".
    sprung_mass : mass [kg]
        Of the whole body, m.
    front_rate : spring_rate [N/m]
        Of both front springs together, at the wheels, kf.
    rear_rate : spring_rate [N/m]
        Of both rear springs together, at the wheels, kr.
    front_distance : length [m]
        From the body's centre of gravity to the front axle, a.
    rear_distance : length [m]
        From the body's centre of gravity to the rear axle, b.
    gyration : length [m]
        Radius of gyration of the body in pitch, k.

    Returns
    -------
    length [m]
        Behind the body's centre of gravity, negative ahead of it; the two nodes multiply to -k^2.

    Valid for
    ---------
    Small motion of a rigid body.

    References
    ----------
    Mechanics of vibration: two degrees of freedom.
    """
    _, spread, difference, coupling = _centre_and_spread(
        mode, sprung_mass, front_rate, rear_rate, front_distance, rear_distance, gyration
    )
    # A - w^2 is difference + spread (lower) or difference - spread (upper).  The one whose terms add up is taken as
    # it is; the other, where they would cancel, from the product of the two, -(B/k)^2.
    firm_mode, firm = ("lower", difference + spread) if difference >= 0 else ("upper", difference - spread)
    if mode == firm_mode:
        if firm == 0:
            raise NoSolution("bounce and pitch have one frequency and are not coupled: any point may be the node")
        return coupling / firm
    if coupling == 0:
        raise NoSolution(
            "bounce is not coupled with pitch: in this mode the body rises and falls level, without a node"
        )
    return -(gyration**2) * firm / coupling
