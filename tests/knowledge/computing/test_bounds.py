"""Bounds of formulas: ends where they are monotonic, inside where they turn."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from math import pi, sin

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from scipy.optimize import minimize_scalar

from knowledge.computing.bounds import MOST_TURNING, extreme, formula_bounds
from knowledge.formulas import Formula, formulas
from shared.errors import FormulaError, NoSolution
from shared.ranges import Range


def test_monotonic_bounds_are_at_the_ends() -> None:
    coil = formulas()["coil_rate"]
    found = formula_bounds(coil, [Range(0.0138, 0.0142), Range(0.125, 0.125), Range(9, 9), Range(78.5e9, 78.5e9)])
    assert found.lo == coil.function(0.0138, 0.125, 9, 78.5e9)
    assert found.hi == coil.function(0.0142, 0.125, 9, 78.5e9)


def test_a_peak_inside_is_found() -> None:
    """Tyre swing peaks at 31.2 deg, before full lock at 33 (the reference car); corners alone miss it."""
    swing = formulas()["tyre_lock_swing"]
    exact = swing.function(0.35175, 0.105, 0.215, np.radians(33))
    assert exact > 0.35175 * np.cos(np.radians(33)) + 0.2125 * np.sin(np.radians(33))


def test_outside_the_valid_range_is_refused_with_the_number() -> None:
    with pytest.raises(FormulaError, match="wire"):
        formula_bounds(formulas()["coil_rate"], [Range(5, 5), Range(0.1, 0.1), Range(9, 9), Range(78e9, 78e9)])


@given(st.floats(0.2, 3.0), st.floats(0.1, 6.0), st.floats(-3, 3))
@example(2.46875, 5.515625, 0.0)  # the greatest lies beside the second best point of the grid
@settings(max_examples=60, deadline=None)
def test_extreme_against_scipy(frequency: float, width: float, start: float) -> None:
    """scipy.optimize.minimize_scalar on a fine partition is the outside reference."""

    def function(x: float) -> float:
        return sin(frequency * x) + 0.05 * x

    box = Range(start, start + width)
    edges = np.linspace(box.lo, box.hi, 40)
    best = min(
        min(function(a), function(b), minimize_scalar(function, bounds=(a, b), method="bounded").fun)
        for a, b in pairwise(edges)
    )
    assert extreme(lambda p: function(p[0]), [box], 1) == pytest.approx(best, abs=1e-6)
    greatest = extreme(lambda p: function(p[0]), [box], -1)
    assert greatest >= max(function(x) for x in np.linspace(box.lo, box.hi, 500)) - 1e-6


def test_two_turning_inputs() -> None:
    def saddle(x: float, y: float) -> float:
        return sin(pi * x) * sin(pi * y)

    formula = Formula("saddle", "test", saddle, {}, frozenset(), frozenset())
    found = formula_bounds(formula, [Range(0, 1), Range(0, 1)])
    assert found.hi == pytest.approx(1.0, abs=1e-9)
    assert found.lo == pytest.approx(0.0, abs=1e-9)


PRODUCTS = [f for f in formulas().values() if f.product]


def test_there_are_formulas_that_know_a_product() -> None:
    assert {"front_first_margin", "rear_lock_deceleration", "adhesion_utilisation_margin"} <= {f.name for f in PRODUCTS}


@pytest.mark.parametrize("f", PRODUCTS, ids=lambda f: f.name)
@given(data=st.data())
@settings(max_examples=60, deadline=None)
def test_factors_count_by_their_product_alone(f: Formula, data: st.DataObject) -> None:
    """One factor made larger and another smaller by as much changes nothing, anywhere in what is valid."""
    assert len(f.product) > 1 and not f.product & (f.rises | f.falls)
    values = {name: data.draw(st.floats(*f.valid[name]), label=name) for name in f.names}
    assert all(f.valid[name][0] > 0 for name in f.product)
    one, two = sorted(f.product)
    most = min(f.valid[one][1] / values[one], values[two] / f.valid[two][0])
    k = data.draw(st.floats(1.0, max(1.0, most * (1 - 1e-12))), label="k")
    try:
        before = f.function(**values)
    except FormulaError:
        before = None
    try:
        after = f.function(**{**values, one: values[one] * k, two: values[two] / k})
    except FormulaError:
        after = None
    if before is not None and after is not None:
        assert after == pytest.approx(before, rel=1e-6, abs=1e-9)


@pytest.mark.parametrize("f", PRODUCTS, ids=lambda f: f.name)
def test_factors_searched_as_one_give_no_narrower_bounds(f: Formula) -> None:
    """Against a fine net over both factors (the reference car, a heavier load and taller tyres)."""
    car = {
        "front_share": 0.56,
        "cg_height": 0.66,
        "wheelbase": 2.58,
        "front_torque": 24.0e-5,
        "rear_torque": 9.5e-5,
        "rear_threshold": 2.5e5,
        "split": 30e5,
        "slope": 0.4,
    }
    mass, radius = Range(1400, 1900), Range(0.32, 0.37)
    spans = {"mass": mass, "loaded_radius": radius}
    box = [spans.get(name, Range.exactly(car.get(name, 0.0))) for name in f.names]
    if f.name == "rear_lock_deceleration":  # the rear has to be ahead somewhere
        box[f.names.index("slope")] = Range.exactly(1.0)
        car = {**car, "slope": 1.0}
    found = formula_bounds(f, box)
    net = [
        f.function(**{**car, "mass": m, "loaded_radius": r})
        for m in np.linspace(mass.lo, mass.hi, 41)
        for r in np.linspace(radius.lo, radius.hi, 41)
    ]
    assert found.lo <= min(net) + 1e-9 and found.hi >= max(net) - 1e-9
    assert found.lo == pytest.approx(min(net), abs=2e-3) and found.hi == pytest.approx(max(net), abs=2e-3)


SIZES = [f for f in formulas().values() if f.size_of is not None]


@pytest.mark.parametrize("f", SIZES, ids=lambda f: f.name)
@given(data=st.data())
@settings(max_examples=60, deadline=None)
def test_the_size_of_what_has_a_sign_needs_no_search(f: Formula, data: st.DataObject) -> None:
    """The result is the size everywhere, and its bounds are those of a search over the formula itself."""
    # No more is searched at once; the others are known exactly.
    open_names = f.names if len(f.names) <= MOST_TURNING else data.draw(st.permutations(f.names))[:2]
    box = []
    for name in f.names:
        low, high = (max(end, -1e3) if end < 0 else min(end, 1e3) for end in f.valid[name])
        one = data.draw(st.floats(low, high))
        other = data.draw(st.floats(low, high)) if name in open_names else one
        box.append(Range(min(one, other), max(one, other)))
    assert f.size_of is not None
    share = data.draw(st.lists(st.floats(0.0, 1.0), min_size=len(box), max_size=len(box)))
    point = [min(r.lo + x * r.width, r.hi) for r, x in zip(box, share, strict=True)]
    try:
        plain = formula_bounds(replace(f, size_of=None), box)
    except NoSolution:
        return  # somewhere in the box there is no such thing
    value = f.function(*point)
    assert value == abs(f.size_of.function(*point))
    found = formula_bounds(f, box)
    rounding = 1e-9 * (1 + found.hi)
    assert found.lo - rounding <= value <= found.hi + rounding
    # The search ends a little above the least and below the greatest.
    slack = 1e-3 * (1 + found.hi)
    assert found.hi == pytest.approx(plain.hi, abs=rounding)
    assert found.lo - rounding <= plain.lo <= found.lo + slack


def test_there_are_formulas_that_give_a_size() -> None:
    assert {"absolute", "torsional_acceleration", "link_angle_mismatch"} <= {f.name for f in SIZES}


def test_what_was_searched_for_is_remembered() -> None:
    """And what was not searched for is not: it is found again as quickly."""
    seen: dict[tuple[object, ...], Range] = {}
    turning = formulas()["track_bar_axle_shift"]
    box = [Range(0.8, 0.9), Range(0.1, 0.12), Range(0.0, 0.1), Range.exactly(0.0)]
    first = formula_bounds(turning, box, searched=seen)
    assert list(seen.values()) == [first] and first == formula_bounds(turning, box, searched=seen)
    formula_bounds(formulas()["total"], [Range(1.0, 2.0), Range(1.0, 2.0)], searched=seen)
    assert len(seen) == 1
