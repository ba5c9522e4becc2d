"""Braking forces against braking rate, as straight pieces, for the formulas of the balance."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from math import inf, sqrt

from knowledge.formulas.axle_loads import STANDARD_GRAVITY
from knowledge.formulas.braking import axle_torques, pressure_bends
from shared.errors import NoSolution

# Brakes whose pieces are kept: bounds ask of the same ones again and again, for other loads and heights.
MOST_KEPT = 10_000


@dataclass(frozen=True, slots=True)
class Piece:
    """From braking rate ``start`` to ``end`` the front axle brakes with a + b z of the car's weight."""

    start: float
    end: float
    a: float
    b: float


@dataclass(frozen=True, slots=True)
class Balance:
    """A car's braking against its braking rate z.

    As line pressure rises, both braking forces grow in straight lines between the pressures where the rear brake
    sets in and where the valve holds back, so on each piece the adhesion used is a ratio of two straight lines
    in z, whose extremes and crossings need no sweep.  The front axle carries phi + eta z of the weight.
    """

    phi: float
    eta: float
    pieces: tuple[Piece, ...]

    @property
    def reach(self) -> float:
        """Highest braking rate any pressure gives; infinite unless the last piece is flat."""
        return self.pieces[-1].end

    @property
    def lift_off(self) -> float:
        """Braking rate at which the rear axle carries nothing."""
        return (1.0 - self.phi) / self.eta

    def front(self, piece: Piece, z: float) -> float:
        """Adhesion the front axle uses at rate ``z`` of ``piece``."""
        return (piece.a + piece.b * z) / (self.phi + self.eta * z)

    def rear(self, piece: Piece, z: float) -> float:
        """Adhesion the rear axle uses at rate ``z`` of ``piece``."""
        load = 1.0 - self.phi - self.eta * z
        if load <= 0.0:
            raise NoSolution(f"the rear axle lifts off at {self.lift_off:.2f} g")
        return (z - piece.a - piece.b * z) / load


def balance(
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
) -> Balance:
    """The balance of a car; arguments as those of ``front_first_margin``."""
    weight = loaded_radius * mass * STANDARD_GRAVITY
    pieces = _pieces(weight, front_torque, rear_torque, rear_threshold, split, slope)
    return Balance(front_share, cg_height / wheelbase, pieces)


@lru_cache(maxsize=MOST_KEPT)
def _pieces(
    weight: float, front_torque: float, rear_torque: float, rear_threshold: float, split: float, slope: float
) -> tuple[Piece, ...]:
    """The pieces of a car whose wheels the torque ``weight`` [N m] stops at 1 g: the same wherever its weight sits."""
    bends = [0.0, *(p for p in pressure_bends(rear_threshold, split, slope) if p > 0.0)]
    forces = []
    for pressure in (*bends, bends[-1] + 1e7):  # the last is any pressure in the last piece, which never ends
        front, rear = axle_torques(pressure, front_torque, rear_torque, rear_threshold, split, slope)
        forces.append((front / weight, rear / weight))
    pieces = []
    for number, ((f1, r1), (f2, r2)) in enumerate(pairwise(forces), 1):
        if (grown := f2 - f1 + r2 - r1) > 0.0:
            b = (f2 - f1) / grown
            pieces.append(Piece(f1 + r1, inf if number == len(bends) else f2 + r2, f1 - b * (f1 + r1), b))
    if not pieces:
        raise NoSolution("the brakes give no torque at any line pressure")
    return tuple(pieces)


def quadratic_roots(a: float, b: float, c: float) -> tuple[float, ...]:
    """Real roots of a x2 + b x + c, none where it has none or is flat."""
    if a == 0.0:
        return () if b == 0.0 else (-c / b,)
    inside = b * b - 4 * a * c
    if inside < 0.0:
        return ()
    q = -(b + (sqrt(inside) if b >= 0.0 else -sqrt(inside))) / 2
    return (q / a, c / q) if q != 0.0 else (0.0,)


def within(values: Iterable[float], low: float, high: float) -> Iterator[float]:
    """Those of ``values`` that lie strictly between ``low`` and ``high``."""
    return (value for value in values if low < value < high)
