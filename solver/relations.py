"""The relation: the one thing the solver knows.

A relation has a name, a scope of positions, and a test that answers with a verdict and, when asked, a reason.
Mates, requirements, goal limits, the goal's choices and belonging to an assembly are all relations.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping
from dataclasses import dataclass, field
from typing import Literal

from knowledge.computing.quantities import Domains, Result
from knowledge.layouts import EFFORT
from shared.goal import Limit
from shared.layout import Input, Requirement, Severity
from shared.part import Part
from shared.verdict import Reason, Verdict

Build = Mapping[str, Part | None]
Known = Mapping[str, Result]
LooksAt = Callable[[str, Part | None], Hashable]
Kind = Literal["mate", "requirement", "goal limit", "goal choice", "belonging"]


@dataclass(frozen=True, slots=True)
class Outlook:
    """A verdict on bounds that may be too wide; ``open`` where sharper ones could still turn a *check*."""

    verdict: Verdict
    open: bool


@dataclass(frozen=True, eq=False)
class Relation:
    """A named relation among the parts at the positions of its ``scope``.

    ``judge`` answers for a build that fills (at least) the scope.  ``explain`` gives the reasons of a verdict that is
    not *fits*.  ``uses`` are the quantities the judgement reads, ``parts`` the positions it looks at itself.
    ``bound`` answers, for sets of candidates, ``Verdict.NO`` only if no build out of them can pass; ``rough`` answers
    quickly, on bounds that may be too wide (without it ``judge`` is as quick), and takes the quantities it is told as
    given: so the search can try values of shared quantities without naming the parts behind them.  ``may`` looks at one
    of the values that an uncertain build may have: where it says yes, the verdict is not *no*.

    ``looks_at`` tells what of a candidate at a position the verdict hangs on: candidates of whom it says the same
    are *interchangeable* to the relation, and are judged once.  It tells nothing of a part's id, price, labour or
    donors, unless the part brings others (see :mod:`solver.lookalikes`).  Without it every candidate is its own.

    ``limit`` is the wanted limit that the relation holds, if it is one; ``rule`` the rule on quantities or attributes
    that it is, a limit's written as one.
    """

    name: str
    kind: Kind
    scope: tuple[str, ...]
    judge: Callable[[Build], Verdict]
    explain: Callable[[Build], tuple[Reason, ...]]
    severity: Severity = "must"
    says: str = ""
    source: str = ""
    uses: tuple[Input, ...] = ()
    parts: tuple[str, ...] = ()
    bound: Callable[[Domains], Verdict] | None = None
    rough: Callable[[Build, Known], Outlook] | None = None
    may: Callable[[Build], bool] | None = None
    looks_at: LooksAt | None = None
    limit: Limit | None = None
    rule: Requirement | None = None
    _alike: dict[str, dict[Part | None, int]] = field(init=False, repr=False)
    _sights: dict[Hashable, int] = field(default_factory=dict, repr=False)
    _verdicts: dict[tuple[int, ...], Verdict] = field(default_factory=dict, repr=False)
    _seen: dict[tuple[int, ...], bool] = field(default_factory=dict, repr=False)
    _outlooks: dict[tuple[int, ...], Outlook] = field(default_factory=dict, repr=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "_alike", {position: {} for position in self.scope})

    @property
    def of_effort(self) -> bool:
        """Whether it counts money, hours, skill, donors or changes: then it can tell all candidates apart."""
        return any(item.source == "quantity" and item.name in EFFORT for item in self.uses)

    def alike(self, position: str, part: Part | None) -> int:
        """A number, the same for candidates of a position that are interchangeable to the relation."""
        known = self._alike[position]
        found = known.get(part)
        if found is None:
            sight = part if self.looks_at is None else self.looks_at(position, part)
            found = known[part] = self._sights.setdefault(sight, len(self._sights))
        return found

    def _key(self, build: Build) -> tuple[int, ...]:
        try:
            return tuple([known[build[p]] for p, known in self._alike.items()])
        except KeyError:
            return tuple([self.alike(p, build[p]) for p in self.scope])

    def outlook(self, build: Build) -> Outlook:
        """The quick answer: a *no* is sure, a *fits* is sure, a *check* may be open."""
        if self.rough is None:
            return Outlook(self.verdict(build), False)
        key = self._key(build)
        found = self._outlooks.get(key)
        if found is None:
            found = self._outlooks[key] = self.rough(build, {})
        return found

    def holds(self, build: Build) -> bool:
        """Whether the verdict on a build is not *no*; true bounds are looked for only where nothing else tells."""
        if self.rough is not None:
            outlook = self.outlook(build)
            if outlook.verdict is Verdict.NO or not outlook.open:
                return outlook.verdict is not Verdict.NO
            if outlook.verdict is Verdict.FITS or self._may(build):
                return True
        return self.verdict(build) is not Verdict.NO

    def _may(self, build: Build) -> bool:
        """Whether one of the values that a build may have passes, if that was or can be looked at."""
        key = self._key(build)
        found = self._seen.get(key)
        if found is None and self.may is not None and key not in self._verdicts:
            found = self._seen[key] = self.may(build)
        return bool(found)

    def verdict(self, build: Build) -> Verdict:
        """The verdict on a build."""
        key = self._key(build)
        found = self._verdicts.get(key)
        if found is None:
            found = self._verdicts[key] = self.judge(build)
        return found
