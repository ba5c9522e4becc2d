"""What a layout's quantities are made of, and what is known of one."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Literal, NamedTuple

from shared.evidence import Evidence, Value
from shared.goal import Load
from shared.layout import Call, Input, Layout, Quantity, Way
from shared.part import Part
from shared.ranges import Range

Build = Mapping[str, Part | None]
Domains = Mapping[str, tuple[Part | None, ...]]
# An uncertain input: whose it is, of what, and its ends.  What an alteration changed is another than what it was.
Leaf = tuple[str, str, float, float]
Given = Mapping[str, "Result"]
Read = Callable[[Build, Given], "Result"]

NO_LEAVES: frozenset[Leaf] = frozenset()


def to_measure(path: str, thing: Part | Literal["vehicle"] | None) -> str:
    """What a person has to measure: an attribute of a part, of the car, or of a part that is not there.

    >>> to_measure("leaf_chord", "vehicle")
    "the car's leaf chord"
    """
    title = path.replace("_", " ").replace(".", " ")
    if thing == "vehicle":
        return f"the car's {title}"
    return f"{title}, where nothing is fitted" if thing is None else f"{title} of {thing.called}"


class Result(NamedTuple):
    """What is known of a quantity.

    ``value`` is ``None`` when something needed is ``missing`` or when there is ``trouble`` (no such geometry,
    or an input outside what a formula is valid for); ``impossible`` tells that no value exists at all.
    ``leaves`` are the uncertain inputs it hangs on; ``sharp`` tells whether the bounds are the true ones.
    """

    value: Range | str | None
    evidence: Evidence = Evidence.MEASURED
    sharp: bool = True
    leaves: frozenset[Leaf] = NO_LEAVES
    missing: tuple[str, ...] = ()
    trouble: str = ""
    impossible: bool = False
    basis: str = "computed"


def walk(way: Way) -> Iterator[Input]:
    """Every input named in a way of computing a quantity."""
    if isinstance(way, Input):
        yield way
    elif isinstance(way, Call):
        yield from way.inputs
    else:
        yield way.by
        for branch in way.ways.values():
            yield from walk(branch)


def inputs_of(quantity: Quantity) -> Iterator[Input]:
    """Every input named anywhere in a quantity."""
    for way, _ in quantity.ways:
        yield from walk(way)


def scopes(layout: Layout) -> dict[str, tuple[str, ...]]:
    """For every quantity the positions whose parts it depends on, directly or through others."""
    found: dict[str, tuple[str, ...]] = {}

    def scope(name: str) -> tuple[str, ...]:
        if name not in found:
            positions: set[str] = set()
            for item in inputs_of(layout.quantities[name]):
                if item.source == "part":
                    positions.add(item.name)
                elif item.source == "quantity" and item.name in layout.quantities:
                    positions.update(scope(item.name))
            found[name] = tuple(sorted(positions))
        return found[name]

    for name in layout.quantities:
        scope(name)
    return found


def goal_values(loads: Sequence[Load]) -> dict[str, Value]:
    """The loads of a goal as one mass at one place."""
    mass = sum(load.mass for load in loads)

    def mean(values: Iterator[float]) -> float:
        return sum(values) / mass if mass else 0.0

    numbers = {
        "load_mass": mass,
        "load_behind": mean(load.mass * load.behind_front_axle for load in loads),
        "load_height": mean(load.mass * load.height for load in loads),
    }
    return {k: Value(Range.exactly(v), f"{v:g}", Evidence.MEASURED) for k, v in numbers.items()}
