"""What a build is worth: money, and everything else at the price the goal puts on it.

The score is an integer number of cents; less is better.  It is the sum of

* the price of the build, at the dearer end where it is a range;
* for each preference of the goal, what the build misses of it times what that is worth
  (``least``: above ``to`` or zero, ``most``: below ``to``, ``near``: away from ``to``; ranges at their worse end);
* for each broken *should*, the worth of ``advice``.

Builds that certainly fit come before builds that fit only if checked, whatever their scores.  Equal scores are
ordered by the ids of their parts.  A part whose price is unknown counts as the dearest known part that could
stand in its place.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from math import ceil

from knowledge.computing.quantities import Result
from knowledge.layouts import EFFORT
from shared.goal import Goal, Preference
from shared.layout import Input
from shared.part import Part
from shared.ranges import Range
from shared.verdict import Verdict

from .demands import Demands
from .effort import Effort
from .relations import Build, Known, Relation

HOUR = 3600.0
DEFAULT_PREFERENCES = (
    Preference("hours", "least", 20.0 / HOUR, None, "least hours: 20 per h"),
    Preference("donors", "least", 10.0, None, "least donors: 10 per 1"),
    Preference("advice", "least", 60.0, None, "least advice: 60 per 1"),
)


def cents(money: float) -> int:
    """Money in whole cents, rounded up so that a score never flatters."""
    return ceil(round(money * 100.0, 6))


def missed(preference: Preference, value: Range) -> float:
    """By how much a value misses what is preferred, at its worse end, in the quantity's SI unit."""
    if preference.aim == "near":
        to = preference.to or 0.0
        return max(abs(value.lo - to), abs(value.hi - to))
    if preference.aim == "most":
        return max(0.0, (preference.to or 0.0) - value.lo)
    return max(0.0, value.hi - (preference.to or 0.0))


@dataclass(frozen=True)
class Scoring:
    """Scores builds for one goal."""

    goal: Goal
    demands: Demands
    effort: Effort
    advice: tuple[Relation, ...]
    _parts: dict[tuple[str, Part | None, int], int] = field(default_factory=dict, compare=False, repr=False)

    @cached_property
    def preferences(self) -> tuple[Preference, ...]:
        """The goal's preferences, with the usual ones for what it does not speak of."""
        return (*self.goal.prefer, *self.usual)

    @cached_property
    def usual(self) -> tuple[Preference, ...]:
        """The usual preferences on what the goal does not speak of."""
        named = {p.quantity for p in self.goal.prefer}
        return tuple(p for p in DEFAULT_PREFERENCES if p.quantity not in named)

    @cached_property
    def _worths(self) -> Mapping[str, float]:
        return {p.quantity: p.worth for p in reversed(self.preferences)}

    def worth(self, quantity: str) -> float:
        """What one SI unit of hours, donors or advice is worth."""
        return self._worths.get(quantity, 0.0)

    @cached_property
    def terms(self) -> tuple[Preference, ...]:
        """The preferences on quantities that formulas give."""
        return tuple(p for p in self.preferences if p.quantity not in EFFORT and p.quantity != "advice")

    def term_cents(self, preference: Preference, result: Result) -> int:
        """What a quantity's value costs; an unknown one costs nothing here, it is doubted elsewhere."""
        if not isinstance(result.value, Range):
            return 0
        return cents(preference.worth * missed(preference, result.value))

    def term(self, preference: Preference, build: Build, known: Known) -> int:
        """What a preference costs on a build."""
        item = Input("quantity", preference.quantity)
        found = self.demands.look_up(item, build, known) if known else self.demands.sharp(item, build)
        return self.term_cents(preference, found)

    def part_cents(self, position: str, part: Part | None, dearest: Mapping[str, int]) -> int:
        """Price of a part and worth of its own labour."""
        key = (position, part, dearest.get(position, 0))
        found = self._parts.get(key)
        if found is None:
            found = self._parts[key] = self._part_cents(position, part, dearest)
        return found

    def _part_cents(self, position: str, part: Part | None, dearest: Mapping[str, int]) -> int:
        price = self.effort.part_price(position, part)
        money = dearest.get(position, 0) if price is None else cents(price.hi)
        return money + cents(self.effort.part_hours(position, part).hi * self.worth("hours"))

    def dearest_known(self, domains: Mapping[str, tuple[Part | None, ...]]) -> dict[str, int]:
        """For every position the dearest known price in cents, the stand-in for an unknown one."""
        return {
            at: max((cents(p.price.hi) for p in parts if p is not None and p.price is not None), default=0)
            for at, parts in domains.items()
        }

    def task_cents(self, hours: float, consumables: float) -> int:
        """Worth of a task's labour and price of what it uses up."""
        return cents(hours * self.worth("hours")) + cents(consumables)

    def score(self, build: Build, dearest: Mapping[str, int]) -> int:
        """The score of a whole build in cents."""
        total = sum(self.part_cents(at, part, dearest) for at, part in build.items())
        for task in self.effort.tasks(build):
            total += self.task_cents(task.hours, sum(c.high for c in task.consumables))
        total += sum(self.term(p, build, {}) for p in self.terms)
        total += cents(self.worth("donors")) * len(self.effort.donors(build))
        broken = sum(r.verdict(build) is Verdict.NO for r in self.advice)
        total += cents(self.worth("advice")) * broken
        return total + self.whole_cents(build)

    def whole_cents(self, build: Build) -> int:
        """What the goal's preferences on the skill class and the number of changes cost, told of whole builds alone."""
        wanted = [p for p in self.goal.prefer if p.quantity in ("skill", "parts_changed")]
        return sum(self.term_cents(p, self.demands.effort_value(p.quantity, build)) for p in wanted)
