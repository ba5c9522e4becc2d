"""Which axle locks first, from where, and how well the two use the road together.

With front share f of the static load, rise h of the centre of gravity and wheelbase L, the front axle carries
f + z h / L of the weight at a braking rate z (deceleration over g).  Adhesion used k is braking force over load.
All three formulas are exact: see ``Balance``.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from math import sqrt

from knowledge.formulas._brake_pieces import Balance, Piece, balance, quadratic_roots, within
from knowledge.formulas._registry import formula
from knowledge.formulas.adhesion import CAR
from knowledge.formulas.axle_loads import STANDARD_GRAVITY
from shared.errors import NoSolution

Z_FROM, Z_TO = 0.15, 0.8  # braking rates the front must lock first over
K_FROM, K_TO = 0.2, 0.8  # adhesions the use of adhesion is judged over
K_BASE, K_SLOPE = 0.1, 0.7  # z >= 0.1 + 0.7 (k - 0.2)

SAFER = ("wheelbase", "front_torque", "rear_threshold")
# Brakes are held against the torque at the wheels that stops the car, which is mass times radius.
WEIGHT = ("mass", "loaded_radius")
TOUCHIER = ("front_share", "cg_height", "rear_torque", "split", "slope")


@formula(valid=CAR, rises=SAFER, falls=TOUCHIER, product=WEIGHT)
def front_first_margin(
    mass: float,
    front_share: float,
    cg_height: float,
    wheelbase: float,
    loaded_radius: float,
    front_torque: float,
    rear_torque: float,
    rear_threshold: float,
    split: float,
    slope: float,
) -> float:
    """Least by which the front's adhesion used stands above the rear's, over braking rates from 0.15 to 0.8.

    min over z in [0.15, 0.8] of k_f(z) - k_r(z), found exactly piece by piece

    Parameters
    ----------
    mass : mass [kg]
        Mass of the car as loaded.
    front_share : share [1]
        Share of the static load on the front axle.
    cg_height : length [m]
        Height of the centre of gravity above the road.
    wheelbase : length [m]
        Between the axles.
    loaded_radius : length [m]
        Loaded radius of the tyres.
    front_torque : torque_per_pressure [N m/Pa]
        Of one front brake.
    rear_torque : torque_per_pressure [N m/Pa]
        Of one rear brake.
    rear_threshold : pressure [Pa]
        Pressure below which the rear brake does nothing.
    split : pressure [Pa]
        Split pressure of the valve.
    slope : share [1]
        Slope of the valve above the split.

    Returns
    -------
    ratio [1]
        Positive: the front locks first throughout.  Negative: somewhere the rear does.

    Valid for
    ---------
    Four like tyres, both circuits whole, no anti-lock control.

    References
    ----------
    71/320/EEC annex II appendix, adhesion curves for M1 from 0.15 to 0.8 (read); UN R13-H annex 5 (from memory).
    """
    car = balance(
        mass, front_share, cg_height, wheelbase, loaded_radius, front_torque, rear_torque, rear_threshold, split, slope
    )
    if car.reach < Z_TO:
        raise NoSolution(f"the brakes give {car.reach:.2f} g at most: nothing can be said of {Z_TO} g")
    # The rear's adhesion rises and bends upward on every piece; the front's either bends downward or
    # falls.  Their difference arches or falls throughout, so its least is at an end.
    return min(
        car.front(piece, z) - car.rear(piece, z)
        for piece in car.pieces
        if piece.start <= Z_TO and piece.end >= Z_FROM
        for z in (max(Z_FROM, piece.start), min(Z_TO, piece.end))
    )


@formula(valid=CAR, rises=SAFER, falls=TOUCHIER, product=WEIGHT)
def rear_lock_deceleration(
    mass: float,
    front_share: float,
    cg_height: float,
    wheelbase: float,
    loaded_radius: float,
    front_torque: float,
    rear_torque: float,
    rear_threshold: float,
    split: float,
    slope: float,
) -> float:
    """Lowest deceleration from which the rear axle uses more adhesion than the front.

    first z with k_f(z) < k_r(z), times g

    Parameters
    ----------
    mass : mass [kg]
        Mass of the car as loaded.
    front_share : share [1]
        Share of the static load on the front axle.
    cg_height : length [m]
        Height of the centre of gravity above the road.
    wheelbase : length [m]
        Between the axles.
    loaded_radius : length [m]
        Loaded radius of the tyres.
    front_torque : torque_per_pressure [N m/Pa]
        Of one front brake.
    rear_torque : torque_per_pressure [N m/Pa]
        Of one rear brake.
    rear_threshold : pressure [Pa]
        Pressure below which the rear brake does nothing.
    split : pressure [Pa]
        Split pressure of the valve.
    slope : share [1]
        Slope of the valve above the split.

    Returns
    -------
    acceleration [m/s2]
        Below it the front locks first; 0 where the rear is ahead from the first touch of the pedal.

    Valid for
    ---------
    Four like tyres, both circuits whole, no anti-lock control.

    Notes
    -----
    The rear is ahead where F_f < m z g (f + z h / L): its crossing with a + b z is a quadratic on each piece.

    References
    ----------
    71/320/EEC annex II appendix (read); UN R13-H annex 5 (from memory); braking texts (Limpert).
    """
    car = balance(
        mass, front_share, cg_height, wheelbase, loaded_radius, front_torque, rear_torque, rear_threshold, split, slope
    )
    lifts = car.lift_off
    for piece in car.pieces:
        start, end = piece.start, min(piece.end, lifts)
        if start >= end:
            break
        roots = sorted(within(quadratic_roots(car.eta, car.phi - piece.b, -piece.a), start, end))
        bounds = [start, *roots, end]
        for low, high in pairwise(bounds):
            middle = (low + high) / 2
            if piece.a + piece.b * middle < middle * (car.phi + car.eta * middle):
                return low * STANDARD_GRAVITY
    raise NoSolution(f"the front axle locks first at every deceleration up to {lifts:.2f} g, where the rear lifts off")


@formula(valid=CAR, product=WEIGHT)
def adhesion_utilisation_margin(
    mass: float,
    front_share: float,
    cg_height: float,
    wheelbase: float,
    loaded_radius: float,
    front_torque: float,
    rear_torque: float,
    rear_threshold: float,
    split: float,
    slope: float,
) -> float:
    """Least by which the braking rate stands above what the regulation asks at the adhesion used, k from 0.2 to 0.8.

    min over both axles and k in [0.2, 0.8] of z - (0.1 + 0.7 (k(z) - 0.2)), found exactly piece by piece

    Parameters
    ----------
    mass : mass [kg]
        Mass of the car as loaded.
    front_share : share [1]
        Share of the static load on the front axle.
    cg_height : length [m]
        Height of the centre of gravity above the road.
    wheelbase : length [m]
        Between the axles.
    loaded_radius : length [m]
        Loaded radius of the tyres.
    front_torque : torque_per_pressure [N m/Pa]
        Of one front brake.
    rear_torque : torque_per_pressure [N m/Pa]
        Of one rear brake.
    rear_threshold : pressure [Pa]
        Pressure below which the rear brake does nothing.
    split : pressure [Pa]
        Split pressure of the valve.
    slope : share [1]
        Slope of the valve above the split.

    Returns
    -------
    ratio [1]
        Positive: enough of the road's adhesion is used before an axle locks.

    Valid for
    ---------
    Four like tyres, both circuits whole, no anti-lock control.

    References
    ----------
    UN R13-H annex 5 3.1 (from memory; older text 0.85 in place of 0.7).
    """
    car = balance(
        mass, front_share, cg_height, wheelbase, loaded_radius, front_torque, rear_torque, rear_threshold, split, slope
    )
    margins = [margin for piece in car.pieces for margin in _use_margins(car, piece)]
    if not margins:
        raise NoSolution(f"neither axle uses an adhesion from {K_FROM} to {K_TO} before the rear lifts off")
    return min(margins)


def _use_margins(car: Balance, piece: Piece) -> Iterator[float]:
    """Margins at every rate of the piece where the least can lie, for each axle."""
    lifts = car.lift_off
    low, high = piece.start, min(piece.end, lifts * (1.0 - 1e-9))
    if low > high:
        return
    for a, b, c, d, used in (
        (piece.a, piece.b, car.phi, car.eta, car.front),
        (-piece.a, 1.0 - piece.b, 1.0 - car.phi, -car.eta, car.rear),
    ):
        # k = (a + b z)/(c + d z); z - 0.7 k is level where (c + d z)2 = 0.7 (b c - a d); k = K where it says so.
        level = [(sign * sqrt(K_SLOPE * (b * c - a * d)) - c) / d for sign in (1, -1) if b * c - a * d >= 0.0]
        edges = [(k * c - a) / (b - k * d) for k in (K_FROM, K_TO) if b != k * d]
        for z in (low, high, *within((*level, *edges), low, high)):
            k = used(piece, z)
            if K_FROM - 1e-9 <= k <= K_TO + 1e-9:
                yield z - (K_BASE + K_SLOPE * (k - K_FROM))
