"""Ride: frequencies of body and axle, static deflection and settling."""

from __future__ import annotations

from math import pi, sqrt

from knowledge.formulas._registry import formula
from knowledge.formulas.axle_loads import STANDARD_GRAVITY
from knowledge.formulas.seating import series_rate

RATE = (1e3, 1e6)
TYRE_RATE = (2e4, 2e6)
CORNER_MASS = (10.0, 3000.0)
FREQUENCY = (0.2, 30.0)
DAMPING = (0.0, 1e5)


@formula(valid={"rate": RATE, "sprung_mass": CORNER_MASS}, rises=("rate",), falls=("sprung_mass",))
def ride_frequency(rate: float, sprung_mass: float) -> float:
    """Natural frequency of the body on one spring.

    f = sqrt(k / m) / (2 pi)

    Parameters
    ----------
    rate : spring_rate [N/m]
        At the wheel.
    sprung_mass : mass [kg]
        That the spring carries, per corner.

    Returns
    -------
    frequency [Hz]
        Undamped, tyre taken as rigid.

    Valid for
    ---------
    An end of the car that bounces by itself, pitch left out.

    References
    ----------
    Mechanics of vibration: one degree of freedom.
    """
    return sqrt(rate / sprung_mass) / (2 * pi)


@formula(
    valid={"rate": RATE, "tyre_rate": TYRE_RATE, "sprung_mass": CORNER_MASS},
    rises=("rate", "tyre_rate"),
    falls=("sprung_mass",),
)
def ride_frequency_with_tyre(rate: float, tyre_rate: float, sprung_mass: float) -> float:
    """Natural frequency of the body on one spring and its tyre.

    f = sqrt(k k_t / ((k + k_t) m)) / (2 pi)

    Parameters
    ----------
    rate : spring_rate [N/m]
        At the wheel.
    tyre_rate : spring_rate [N/m]
        Vertical rate of one tyre.
    sprung_mass : mass [kg]
        That the spring carries, per corner.

    Returns
    -------
    frequency [Hz]
        Undamped, the axle's own mass left out.

    Valid for
    ---------
    A tyre much stiffer than the spring.

    References
    ----------
    Mechanics of vibration: springs in series.
    """
    return ride_frequency(series_rate(rate, tyre_rate), sprung_mass)


@formula(
    valid={"rate": RATE, "tyre_rate": TYRE_RATE, "unsprung_mass": (5.0, 400.0)},
    rises=("rate", "tyre_rate"),
    falls=("unsprung_mass",),
)
def hop_frequency(rate: float, tyre_rate: float, unsprung_mass: float) -> float:
    """Natural frequency of an axle hopping between its springs and its tyres.

    f = sqrt((k + k_t) / m_u) / (2 pi)

    Parameters
    ----------
    rate : spring_rate [N/m]
        At the wheel.
    tyre_rate : spring_rate [N/m]
        Vertical rate of one tyre.
    unsprung_mass : mass [kg]
        Per wheel: half the axle.

    Returns
    -------
    frequency [Hz]
        Undamped, the body taken as standing still.

    Valid for
    ---------
    Both wheels hopping together.

    References
    ----------
    Mechanics of vibration: one degree of freedom.
    """
    return sqrt((rate + tyre_rate) / unsprung_mass) / (2 * pi)


@formula(valid={"rate": RATE, "sprung_mass": CORNER_MASS}, rises=("sprung_mass",), falls=("rate",))
def static_deflection(rate: float, sprung_mass: float) -> float:
    """How far a spring is deflected by the load it carries at rest.

    d = m g / k

    Parameters
    ----------
    rate : spring_rate [N/m]
        At the wheel.
    sprung_mass : mass [kg]
        That the spring carries, per corner.

    Returns
    -------
    length [m]
        At the wheel.

    Valid for
    ---------
    A linear spring.

    References
    ----------
    Statics, with standard gravity.
    """
    return sprung_mass * STANDARD_GRAVITY / rate


@formula(valid={"frequency": FREQUENCY}, falls=("frequency",))
def static_deflection_at_frequency(frequency: float) -> float:
    """Static deflection that goes with a ride frequency.

    d = g / (2 pi f)^2

    Parameters
    ----------
    frequency : frequency [Hz]
        Of the body on its spring.

    Returns
    -------
    length [m]
        About 250 mm at 1 Hz.

    Valid for
    ---------
    A linear spring.

    References
    ----------
    Statics and one degree of freedom, with standard gravity.
    """
    return STANDARD_GRAVITY / (2 * pi * frequency) ** 2


@formula(
    valid={"rear_frequency": FREQUENCY, "front_frequency": FREQUENCY},
    rises=("rear_frequency",),
    falls=("front_frequency",),
)
def ride_frequency_ratio(rear_frequency: float, front_frequency: float) -> float:
    """Rear ride frequency over the front one.

    Parameters
    ----------
    rear_frequency : frequency [Hz]
        Of the body on the rear springs.
    front_frequency : frequency [Hz]
        Of the body on the front springs.

    Returns
    -------
    ratio [1]
        Above 1 the rear catches up after a bump and the car rides flat.

    Valid for
    ---------
    Both taken in the same way, with or without tyre.

    References
    ----------
    Flat-ride rule; the band 1.1 to 1.3 is common practice, no source.
    """
    return rear_frequency / front_frequency


@formula(
    valid={"load": (0.0, 1e5), "load_before": (0.0, 1e5), "rate": RATE},
    rises=("load",),
    falls=("load_before",),
    one_way=("rate",),
)
def load_settle(load: float, load_before: float, rate: float) -> float:
    """How far a corner settles when its load grows, on its spring alone.

    s = (F - F_before) / k

    Parameters
    ----------
    load : force [N]
        Sprung load at the wheel now.
    load_before : force [N]
        Sprung load at the wheel before.
    rate : spring_rate [N/m]
        At the wheel.

    Returns
    -------
    length [m]
        Positive downwards.

    Valid for
    ---------
    A linear spring, bump stop not touching.

    References
    ----------
    Definition of rate.
    """
    return (load - load_before) / rate
