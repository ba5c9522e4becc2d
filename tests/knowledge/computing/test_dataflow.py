"""Quantities of builds: what a layout's data says is what is computed, and one input is one input."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from knowledge.computing.dataflow import Dataflow
from knowledge.computing.quantities import scopes
from knowledge.garage import Garage, read_goal
from shared.evidence import Evidence, Value
from shared.part import Part
from shared.ranges import Range

GOAL = Path(__file__).parents[2] / "data" / "trailer" / "goal.yaml"


@pytest.fixture
def garage() -> Garage:
    return read_goal(GOAL)[1]


def flow_of(garage: Garage) -> Dataflow:
    return Dataflow(garage.layout, garage.vehicle, garage.fitted())


def with_property(part: Part, name: str, lo: float, hi: float) -> Part:
    value = Value(Range(lo, hi), "", Evidence.MEASURED)
    return replace(part, properties={**part.properties, name: value})


def test_the_scope_follows_the_data(garage: Garage) -> None:
    assert scopes(garage.layout)["bed_lift"] == ("spring", "wheel")


def test_a_spring_by_hand(garage: Garage) -> None:
    """200 mm free, 2 kN on 20 N/mm: 100 mm give, 100 mm stand; the tall one stands 40 mm higher."""
    flow = flow_of(garage)
    build = {**garage.fitted(), "spring": garage.parts["spring-tall"]}
    stands = flow.value("ride_height", garage.fitted()).value
    assert isinstance(stands, Range) and stands.lo == pytest.approx(0.1) and stands.exact
    lift = flow.value("lift", build).value
    assert isinstance(lift, Range) and lift.lo == pytest.approx(0.04)


def test_the_stock_car_has_no_lift_however_vague_its_spring(garage: Garage) -> None:
    """The same uncertain spring before and after is one spring: its doubt cancels."""
    vague = with_property(garage.parts["spring-old"], "free_height", 0.19, 0.21)
    stock = {**garage.fitted(), "spring": vague}
    flow = Dataflow(garage.layout, garage.vehicle, stock)
    rough = flow.value("lift", stock)
    assert isinstance(rough.value, Range) and rough.value.width == pytest.approx(0.04)
    assert not rough.sharp
    sharp = flow.sharpened("lift", stock)
    assert isinstance(sharp.value, Range)
    assert sharp.value.lo == pytest.approx(0.0, abs=1e-9)
    assert sharp.value.hi == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize(("lo", "hi", "least", "most"), [(0.23, 0.23, 0.02, 0.04), (0.22, 0.24, 0.01, 0.05)])
def test_what_an_alteration_made_of_a_figure_is_another_figure(
    garage: Garage, lo: float, hi: float, least: float, most: float
) -> None:
    """The car's own spring, 190 to 210 mm free, re-arched to 230 mm: it lifts by 20 to 40 mm (100 mm give in both).

    What the alteration left alone is still one figure: 18 to 22 N/mm before and after cancel.
    """
    vague = with_property(garage.parts["spring-old"], "free_height", 0.19, 0.21)
    arched = replace(with_property(vague, "free_height", lo, hi), id="spring-old+arch", base="spring-old")
    for rate in ((20e3, 20e3), (18e3, 22e3)):
        stock, new = (with_property(spring, "rate", *rate) for spring in (vague, arched))
        flow = Dataflow(garage.layout, garage.vehicle, {**garage.fitted(), "spring": stock})
        found = flow.sharpened("lift", {**garage.fitted(), "spring": new}).value
        assert isinstance(found, Range)
        assert (found.lo, found.hi) == pytest.approx((least, most), abs=1e-9)


def test_unknown_names_what_to_measure(garage: Garage) -> None:
    part = garage.parts["spring-tall"]
    blank = replace(part, properties={k: v for k, v in part.properties.items() if k != "rate"})
    found = flow_of(garage).value("lift", {**garage.fitted(), "spring": blank})
    assert found.value is None
    assert found.missing == ("rate of Tall spring (spring-tall)",)


def test_a_hull_holds_every_build(garage: Garage) -> None:
    flow = flow_of(garage)
    springs = tuple(p for p in garage.parts.values() if p.kind == "trailer_spring")
    wheels = tuple(p for p in garage.parts.values() if p.kind == "trailer_wheel")
    hull = flow.hull("bed_lift", {"spring": springs, "wheel": wheels})
    assert hull is not None
    for spring in springs:
        for wheel in wheels:
            value = flow.value("bed_lift", {"spring": spring, "wheel": wheel}).value
            assert isinstance(value, Range) and value.within(hull)


def test_what_was_forgotten_is_computed_again_the_same(garage: Garage) -> None:
    flow = flow_of(garage)
    build = {**garage.fitted(), "spring": garage.parts["spring-tall"]}
    before = {name: flow.value(name, build) for name in flow.scope}
    flow.forget()
    assert {name: flow.value(name, build) for name in flow.scope} == before
