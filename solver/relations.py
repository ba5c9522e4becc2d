"""The relation: the one thing the solver knows.

A relation has a name, a scope of positions, and a test that answers with a verdict and, when asked, a reason.
Mates, requirements, goal limits, the goal's choices and belonging to an assembly are all relations.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Literal

from knowledge.dataflow import Domains, Result
from shared.layout import Input, Severity
from shared.part import Part
from shared.verdict import Reason, Verdict

Build = Mapping[str, Part | None]
Known = Mapping[str, Result]
Kind = Literal["mate", "requirement", "goal limit", "goal choice", "belonging"]


@dataclass(frozen=True, slots=True)
class Outlook:
    """A verdict on bounds that may be too wide; ``open`` where sharper ones could still turn a *check*."""

    verdict: Verdict
    open: bool


@dataclass(frozen=True, eq=False)
class Relation:
    """A named relation among the parts at the positions of its ``scope``.

    ``judge`` answers for a build that fills (at least) the scope; quantities in ``known`` are taken as
    given, which lets the search try values of shared quantities without naming the parts behind them.
    ``explain`` gives the reasons of a verdict that is not *fits*.  ``uses`` are the quantities the judgement
    reads, ``parts`` the positions it looks at itself.  ``bound`` answers, for sets of candidates,
    ``Verdict.NO`` only if no build out of them can pass; ``rough`` answers quickly, on
    bounds that may be too wide (without it ``judge`` is as quick).
    """

    name: str
    kind: Kind
    scope: tuple[str, ...]
    judge: Callable[[Build, Known], Verdict]
    explain: Callable[[Build], tuple[Reason, ...]]
    severity: Severity = "must"
    says: str = ""
    source: str = ""
    uses: tuple[Input, ...] = ()
    parts: tuple[str, ...] = ()
    bound: Callable[[Domains], Verdict] | None = None
    rough: Callable[[Build, Known], Outlook] | None = None

    def outlook(self, build: Build, known: Known) -> Outlook:
        """The quick answer: a *no* is sure, a *fits* is sure, a *check* may be open."""
        return Outlook(self.judge(build, known), False) if self.rough is None else self.rough(build, known)

    def verdict(self, build: Build) -> Verdict:
        """The verdict on a build."""
        return self.judge(build, {})
