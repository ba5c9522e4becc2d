"""What requirements and limits ask of a build, looked up: parts, the car, quantities, money and labour."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass
from typing import Literal

from knowledge.computing.dataflow import Dataflow
from knowledge.computing.quantities import Domains, Read, Result, to_measure
from knowledge.layouts import EFFORT
from shared.goal import Goal
from shared.interface import WORD
from shared.layout import Condition, Input
from shared.part import Part
from shared.ranges import Range

from .effort import Effort
from .relations import Build, Known


@dataclass(frozen=True)
class Asked:
    """Looks up what is asked of builds of one car, catalogue and goal."""

    flow: Dataflow
    effort: Effort
    goal: Goal

    # -- reading inputs

    def look_up(self, item: Input, build: Build, known: Known | None = None) -> Result:
        """The value of an input; shared quantities in ``known`` are taken as given."""
        return self.reader(item)(build, known or {})

    def reader(self, item: Input) -> Read:
        """An input made ready to be looked up for many builds."""
        if item.source == "quantity" and item.name in EFFORT:
            return lambda build, known: self.effort_value(item.name, build)
        return self.flow.reader(item)

    def sharp(self, item: Input, build: Build) -> Result:
        """The value of an input with its true bounds."""
        if item.source == "quantity" and item.name not in EFFORT:
            return self.flow.sharpened(item.name, build)
        return self.look_up(item, build)

    def effort_value(self, name: str, build: Build) -> Result:
        """Price, hours, donors and the like of a whole build."""
        if name == "price":
            price = self.effort.price(build)
            return Result(price, missing=() if price is not None else ("a price",))
        if name == "hours":
            return Result(self.effort.hours(build))
        counted = {
            "donors": lambda: len(self.effort.donors(build)),
            "skill": lambda: self.effort.skill(build),
            "parts_changed": lambda: self.effort.parts_changed(build),
        }[name]()
        return Result(Range.exactly(float(counted)))

    def scope_of(self, item: Input | None) -> tuple[str, ...]:
        """The positions an input depends on."""
        if item is None:
            return ()
        if item.source == "part":
            return (item.name,)
        if item.source == "quantity":
            if item.name in EFFORT:
                return tuple(self.flow.layout.positions)
            return self.flow.scope[item.name]
        return ()

    def somewhere(self, scope: tuple[str, ...]) -> tuple[str, ...]:
        """A scope that is not empty: what hangs on the car alone is judged at the first position, whatever is there.

        Counts, conflicts and ways out are about positions, and would pass over what hangs on none.
        """
        return scope or tuple(self.flow.layout.positions)[:1]

    def measure_of(self, item: Input) -> str:
        """The measure of an input."""
        layout = self.flow.layout
        if item.source in ("quantity", "stock"):
            return EFFORT.get(item.name) or layout.quantities[item.name].measure
        if item.source == "vehicle":
            return layout.vehicle[item.name].measure
        if item.source in ("part", "stock_part"):
            kind = layout.kinds[layout.positions[item.name].kind]
            port, dot, name = item.path.partition(".")
            if not dot:
                return kind.properties[item.path].measure
            return layout.interfaces[kind.ports[port].interface].attributes[name].measure
        return WORD

    # -- conditions

    def speaks(self, when: Condition, build: Build, known: Known | None = None) -> bool:
        """Whether a requirement has anything to say about a build."""
        return self.speaking(when)(build, known or {})

    def speaking(self, when: Condition) -> Callable[[Build, Known], bool]:
        """A condition made ready to be asked of many builds."""
        asked = [(self.reader(item), words) for item, words in when.words]
        changed, fitted, is_new = when.changed, when.fitted, self.effort.is_new

        def speaks(build: Build, known: Known) -> bool:
            if changed and not any(is_new(p, build[p]) for p in changed):
                return False
            if fitted and any(build[p] is None for p in fitted):
                return False
            return not asked or all(read(build, known).value in words for read, words in asked)

        return speaks

    def surely_speaks(self, when: Condition, domains: Domains) -> bool:
        """Whether it is certain that a requirement has something to say about every build out of some candidates."""
        is_new = self.effort.is_new
        if when.changed and not any(all(is_new(p, part) for part in domains[p]) for p in when.changed):
            return False
        if any(part is None for p in when.fitted for part in domains[p]):
            return False
        return all(
            item.source == "part"
            and all(self.flow.part_value(item.name, part, item.path).value in words for part in domains[item.name])
            for item, words in when.words
        )

    # -- what an answer hangs on

    def looks_at_of(
        self, asked: Sequence[Input], changed: Sequence[str]
    ) -> Callable[[str, Part | None], Hashable] | None:
        """What a judgement of inputs sees of a candidate: the values read of it, and whether it is new where that
        counts; ``None`` where everything counts."""
        if any(item.source == "quantity" and item.name in EFFORT for item in asked):
            return None
        paths, trust = self.flow.paths(asked), self.goal.trust

        def looks_at(position: str, part: Part | None) -> Hashable:
            new = position in changed and self.effort.is_new(position, part)
            seen = (self.flow.sight(position, part, path) for path in paths.get(position, ()))
            return part is None, new, *((value, evidence >= trust, owner) for value, evidence, owner in seen)

        return looks_at

    def uncertain(self, found: Result, build: Build) -> tuple[str, ...]:
        """What has to be measured to know a result better."""
        parts = {p.base or p.id: p for p in (*self.flow.stock_build.values(), *build.values()) if p is not None}
        things: dict[str, Part | Literal["vehicle"]] = {**parts, "vehicle": "vehicle"}
        leaves = sorted(found.leaves)
        named = [to_measure(path, things[owner]) if owner in things else path for owner, path, *_ in leaves]
        return tuple(dict.fromkeys(named))
