"""Adhesion used by both axles, against statics worked pressure by pressure, and the regulation's two demands on it.

UN R13-H, annex 5 (from memory): f1 = T1 / N1 with N1 = P1 + z h P / E, f2 = T2 / N2 with N2 = P2 - z h P / E; the
front's curve lies above the rear's for braking rates from 0.15 to 0.8 (3.1); z >= 0.1 + 0.7 (k - 0.2) for k from 0.2
to 0.8 (3.1).  Letters are the annex's: P the weight, E the wheelbase, h the height, z the rate, T forces at the tyres.
"""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.constants import g

from knowledge.formulas.adhesion import adhesion_used_front, adhesion_used_rear
from knowledge.formulas.brake_balance import adhesion_utilisation_margin, front_first_margin

Curve = NDArray[np.float64]

SOUND = {
    "mass": 1500.0,
    "front_share": 0.55,
    "cg_height": 0.65,
    "wheelbase": 2.56,
    "loaded_radius": 0.333,
    "front_torque": 2.5e-4,
    "rear_torque": 1e-4,
    "rear_threshold": 2.5e5,
    "split": 30e5,
    "slope": 0.4,
}
CARS = {
    "sound": SOUND,
    "bigger rear cylinders": {**SOUND, "rear_torque": 2.2e-4},
    "no valve": {**SOUND, "slope": 1.0},
    "laden": {**SOUND, "mass": 1950.0, "front_share": 0.44, "cg_height": 0.72},
    "weak in front": {**SOUND, "front_torque": 1.2e-4},
    "laden, next to nothing behind": {**SOUND, "mass": 1950.0, "front_share": 0.44, "rear_torque": 1e-6},
}


def statics(car: dict[str, float]) -> tuple[Curve, Curve, Curve]:
    """Rates and the adhesion used by both axles, at pressures from nothing up: no equation is solved for any."""
    front = np.linspace(0.0, 250e5, 2_000_001)
    rear = np.where(front > car["split"], car["split"] + car["slope"] * (front - car["split"]), front)
    t1 = 2 * car["front_torque"] * front / car["loaded_radius"]
    t2 = 2 * car["rear_torque"] * np.maximum(rear - car["rear_threshold"], 0.0) / car["loaded_radius"]
    weight = car["mass"] * g
    z = (t1 + t2) / weight
    moved = z * car["cg_height"] * weight / car["wheelbase"]
    n1, n2 = car["front_share"] * weight + moved, (1 - car["front_share"]) * weight - moved
    carried = n2 > 0.0
    return z[carried], (t1 / n1)[carried], (t2[carried] / n2[carried])


@pytest.mark.parametrize("car", CARS.values(), ids=CARS)
def test_adhesion_used(car: dict[str, float]) -> None:
    z, k1, k2 = statics(car)
    for rate in (0.05, 0.15, 0.3, 0.5, 0.8):
        assert adhesion_used_front(rate * g, **car) == pytest.approx(np.interp(rate, z, k1), abs=1e-6)
        assert adhesion_used_rear(rate * g, **car) == pytest.approx(np.interp(rate, z, k2), abs=1e-6)


@pytest.mark.parametrize("car", CARS.values(), ids=CARS)
def test_the_front_locks_first(car: dict[str, float]) -> None:
    z, k1, k2 = statics(car)
    asked = (z >= 0.15) & (z <= 0.8)
    least = float((k1 - k2)[asked].min())
    assert front_first_margin(**car) == pytest.approx(least, abs=1e-5)


@pytest.mark.parametrize("car", CARS.values(), ids=CARS)
def test_the_road_is_used(car: dict[str, float]) -> None:
    z, k1, k2 = statics(car)
    margins = [z[(k >= 0.2) & (k <= 0.8)] - (0.1 + 0.7 * (k[(k >= 0.2) & (k <= 0.8)] - 0.2)) for k in (k1, k2)]
    least = min(float(m.min()) for m in margins if m.size)
    assert adhesion_utilisation_margin(**car) == pytest.approx(least, abs=1e-5)


def test_the_cars_are_unlike_enough() -> None:
    """Both demands are met by some and missed by others, or a sign the wrong way round would not be seen."""
    firsts = [front_first_margin(**car) > 0 for car in CARS.values()]
    uses = [adhesion_utilisation_margin(**car) > 0 for car in CARS.values()]
    assert len(set(firsts)) == len(set(uses)) == 2
