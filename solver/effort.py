"""Money and labour of a build: what is bought, which tasks it calls for, how many cars must be visited."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import NamedTuple

from shared.layout import Layout
from shared.part import Part
from shared.ranges import Range
from shared.work import Task

Build = Mapping[str, Part | None]
_NOTHING = Range(0.0, 0.0)


class Handling(NamedTuple):
    """What putting a part at its place takes: whether it is new to the car, comes mounted on its assembly, is none."""

    new: bool
    mounted: bool
    bare: bool

    def touched(self, new_host: bool) -> bool:
        """Whether somebody has to work there; with ``new_host`` what the place is bolted to is new."""
        return not self.mounted and (self.new or (new_host and not self.bare))


@dataclass(frozen=True)
class Effort:
    """Computes money and labour for one layout and one car as it stands."""

    layout: Layout
    stock: Build
    _closures: dict[frozenset[str], tuple[Task, ...]] = field(default_factory=dict, compare=False)
    _least: dict[tuple[str, str, tuple[Part | None, ...]], float] = field(default_factory=dict, compare=False)

    @cached_property
    def triggers(self) -> Mapping[str, tuple[str, ...]]:
        """For every position the tasks its change calls for."""
        return {p: tuple(t.id for t in self.layout.tasks.values() if p in t.changed) for p in self.layout.positions}

    @cached_property
    def pulled(self) -> Mapping[str, frozenset[str]]:
        """For every task itself and all the tasks it pulls along."""
        found: dict[str, frozenset[str]] = {}

        def pull(name: str, on_the_way: frozenset[str]) -> frozenset[str]:
            if name in found:
                return found[name]
            if name in on_the_way:
                return frozenset()
            names = {name}
            for other in self.layout.tasks[name].with_tasks:
                names |= pull(other, on_the_way | {name})
            if not on_the_way:
                found[name] = frozenset(names)
            return frozenset(names)

        for name in self.layout.tasks:
            pull(name, frozenset())
        return found

    @cached_property
    def always(self) -> frozenset[str]:
        """The tasks of every build that changes anything."""
        return frozenset().union(*(self.pulled[t.id] for t in self.layout.tasks.values() if t.always))

    @cached_property
    def callers(self) -> Mapping[str, frozenset[str]]:
        """For every task the positions at any of which work calls for it."""
        found: dict[str, set[str]] = {name: set() for name in self.layout.tasks}
        for position, first in self.triggers.items():
            for name in self.always.union(*(self.pulled[task] for task in first)):
                found[name].add(position)
        return {name: frozenset(positions) for name, positions in found.items()}

    def is_new(self, position: str, part: Part | None) -> bool:
        """Whether the part at a position is not the one fitted now."""
        return part is not self.stock[position]

    def handling(self, position: str, part: Part | None) -> Handling:
        """What a part at a position is to whoever builds."""
        return Handling(self.is_new(position, part), part is not None and part.host is not None, part is None)

    def is_touched(self, position: str, build: Build) -> bool:
        """Whether somebody has to work at a position: a new part, or an old one moved to a new host.

        A part that comes mounted on its assembly is not touched.
        """
        host = self.layout.positions[position].host
        new_host = host is not None and self.is_new(host, build[host])
        return self.handling(position, build[position]).touched(new_host)

    def touched(self, build: Build) -> tuple[str, ...]:
        """All positions where somebody has to work."""
        return tuple(p for p in self.layout.positions if self.is_touched(p, build))

    def tasks(self, build: Build) -> tuple[Task, ...]:
        """The tasks a build calls for, each once, in the order of their ids."""
        return self.tasks_for(self.touched(build))

    def tasks_for(self, touched: Iterable[str]) -> tuple[Task, ...]:
        """The tasks that work at these positions calls for."""
        key = frozenset(touched)
        if key not in self._closures:
            names = set(self.always) if key else set()
            for position in key:
                for name in self.triggers[position]:
                    names |= self.pulled[name]
            self._closures[key] = tuple(self.layout.tasks[n] for n in sorted(names))
        return self._closures[key]

    def part_price(self, position: str, part: Part | None) -> Range | None:
        """What a part costs at a position: nothing for the one fitted now; ``None`` if unknown."""
        return _NOTHING if part is None or not self.is_new(position, part) else part.price

    def part_hours(self, position: str, part: Part | None) -> Range:
        """Labour of the part itself (a bench job, an alteration), on top of its tasks."""
        return _NOTHING if part is None or not self.is_new(position, part) else part.hours

    def price(self, build: Build) -> Range | None:
        """Everything bought, consumables included; ``None`` if a price is unknown."""
        total = _NOTHING
        for position, part in build.items():
            price = self.part_price(position, part)
            if price is None:
                return None
            total = total + price
        for task in self.tasks(build):
            for item in task.consumables:
                total = total + Range(item.low, item.high)
        return total

    def known_price(self, build: Build) -> float:
        """The least everything bought costs, parts of unknown price counted as nothing."""
        parts = (self.part_price(position, part) for position, part in build.items())
        consumables = sum(item.low for task in self.tasks(build) for item in task.consumables)
        return sum(price.lo for price in parts if price is not None) + consumables

    def hours(self, build: Build) -> Range:
        """All labour [s], shared tasks counted once."""
        total = Range.exactly(sum(t.hours for t in self.tasks(build)))
        for position, part in build.items():
            total = total + self.part_hours(position, part)
        return total

    def skill(self, build: Build) -> int:
        """The highest skill class any task or part asks for; 0 if nothing is done."""
        classes = [t.skill for t in self.tasks(build)]
        classes += [p.skill for at, p in build.items() if p is not None and self.is_new(at, p)]
        return max(classes, default=0)

    def least(self, name: str, domains: Mapping[str, Sequence[Part | None]]) -> float:
        """What a build out of these candidates needs at the least of ``price``, ``hours`` or ``skill``."""
        needs = []
        for at, parts in domains.items():
            key = (name, at, tuple(parts))
            if key not in self._least:
                self._least[key] = min((self._needs(name, at, part) for part in parts), default=0.0)
            needs.append(self._least[key])
        return max(needs, default=0.0) if name == "skill" else sum(needs)

    def _needs(self, name: str, position: str, part: Part | None) -> float:
        """What one candidate needs by itself, whatever the rest of the build is."""
        if part is None or not self.is_new(position, part):
            return 0.0
        if name == "price":
            return 0.0 if part.price is None else part.price.lo
        if name == "hours":
            return part.hours.lo
        if name == "skill" and part.host is None:
            return float(max([part.skill, *(t.skill for t in self.tasks_for((position,)))]))
        return 0.0

    def parts_changed(self, build: Build) -> int:
        """How many positions hold something else than now, an emptied one included."""
        return sum(self.is_new(at, part) for at, part in build.items())

    def donor_choices(self, build: Build) -> tuple[frozenset[str], ...]:
        """For each used part of the build the donors it can come from, parts bought new left out."""
        return tuple(found for at, part in sorted(build.items()) if (found := self.carriers(at, part)))

    def carriers(self, position: str, part: Part | None) -> frozenset[str]:
        """The donors a part can come from; none where nothing is bought, or it is bought new."""
        if part is None or part.buy == "new" or not self.is_new(position, part):
            return frozenset()
        return frozenset(d.key for d in part.donors)

    def donors(self, build: Build) -> tuple[str, ...]:
        """The fewest donors that carry every used part; the first in order of name among equals."""
        return fewest(self.donor_choices(build))


def fewest(choices: Iterable[frozenset[str]]) -> tuple[str, ...]:
    """The smallest set that meets every choice (an exact hitting set); the first in order among equals."""
    wanted = sorted(set(choices), key=lambda c: (len(c), sorted(c)))
    wanted = [c for i, c in enumerate(wanted) if not any(other < c for other in wanted[:i])]
    best: tuple[str, ...] | None = None

    def search(left: list[frozenset[str]], taken: tuple[str, ...]) -> None:
        nonlocal best
        if best is not None and len(taken) + (1 if left else 0) > len(best):
            return
        if not left:
            found = tuple(sorted(taken))
            if best is None or (len(found), found) < (len(best), best):
                best = found
            return
        shortest: frozenset[str] = min(left, key=lambda c: (len(c), sorted(c)))
        for name in sorted(shortest):
            search([c for c in left if name not in c], (*taken, name))

    search(wanted, ())
    return best or ()
