"""A formula's inputs on the car as it stands: whatever the layout computes with it, read off the car's own parts."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from knowledge.computing.dataflow import Dataflow
from knowledge.computing.quantities import Build
from knowledge.files.shape import nearest, spelt
from knowledge.formulas import formulas
from knowledge.garage import read_goal
from shared.faults import BadInput, Fault
from shared.layout import Call, Choice, Layout, Quantity, Way
from shared.ranges import Range


@dataclass(frozen=True)
class Standing:
    """A formula as the layout uses it: the quantity it gives, and what is known of its inputs on the car."""

    flow: Dataflow
    formula: str
    quantity: str
    inputs: Mapping[str, tuple[Range | str, ...]]

    @property
    def layout(self) -> Layout:
        """The layout of the car."""
        return self.flow.layout

    def known(self, name: str) -> Range | None:
        """A property of the car, or else a quantity of it as it stands; ``None`` if it has neither."""
        if name in self.layout.vehicle:
            found = self.flow.vehicle.attribute(name).value
        elif name in self.layout.quantities:
            found = self.flow.value(name, self.flow.stock_build).value
        else:
            found = None
        return found if isinstance(found, Range) else None


def _call(way: Way, flow: Dataflow, build: Build) -> Call | None:
    """The call a way comes down to on a car, choices made as the car makes them."""
    if isinstance(way, Choice):
        branch = way.ways.get(str(flow.input(way.by, build).value))
        return None if branch is None else _call(branch, flow, build)
    return way if isinstance(way, Call) else None


def _calls(quantity: Quantity, flow: Dataflow, build: Build) -> list[Call]:
    found = (_call(way, flow, build) for way, _ in quantity.ways)
    return [call for call in found if call is not None]


def car_of(goal_file: Path) -> Dataflow:
    """The car of a goal, with the goal's loads; raises :class:`BadInput` with the faults of the goal's files."""
    goal, garage = read_goal(goal_file)
    return Dataflow(garage.layout, garage.vehicle, garage.fitted(), goal.loads)


def as_it_stands(car: Path | Dataflow, name: str) -> Standing:
    """What a car (or that of a goal's file) says of a formula, or of the formula behind a quantity of that name.

    Where the layout uses a formula for more than one quantity, its first use counts; the name of a quantity picks
    another.  Raises :class:`BadInput` for a name that is neither, and with the faults of the goal's files.
    """
    flow = car if isinstance(car, Dataflow) else car_of(car)
    stock, quantities = flow.stock_build, flow.layout.quantities
    name = spelt(name, [*quantities, *formulas()])
    if name not in quantities and name not in formulas():
        mend = nearest(name, [*formulas(), *quantities])
        raise BadInput([Fault("calc", 0, "unknown-formula", repr(name), "a formula, or a quantity of the car", mend)])
    chosen = [quantities[name]] if name in quantities else list(quantities.values())
    for quantity in chosen:
        for call in _calls(quantity, flow, stock):
            if name in (quantity.name, call.formula) and formulas()[call.formula].names:
                return Standing(flow, call.formula, quantity.name, _inputs(call, flow, stock))
    if name in formulas():
        return Standing(flow, name, "", {})
    raise BadInput([Fault("calc", 0, "unknown-formula", repr(name), "a quantity that one formula gives")])


def _inputs(call: Call, flow: Dataflow, build: Build) -> dict[str, tuple[Range | str, ...]]:
    names = formulas()[call.formula].names
    read = {n: flow.input(item, build).value for n, item in zip(names, call.inputs, strict=False)}
    return {n: (value,) for n, value in read.items() if value is not None}
