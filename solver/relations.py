"""The relation: the one thing the solver knows.

A relation has a name, a scope of positions, and a test that answers with a verdict and, when asked, a reason.
Mates, requirements, goal limits, the goal's choices and belonging to an assembly are all relations.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Literal

from knowledge.dataflow import Domains, Result
from shared.layout import Input, Severity
from shared.part import Part
from shared.verdict import Reason, Verdict

Build = Mapping[str, Part | None]
Known = Mapping[str, Result]
Kind = Literal["mate", "requirement", "goal limit", "goal choice", "belonging"]


@dataclass(frozen=True, eq=False)
class Relation:
    """A named relation among the parts at the positions of its ``scope``.

    ``judge`` answers for a build that fills (at least) the scope; quantities in ``known`` are taken as
    given, which lets the search try values of shared quantities without naming the parts behind them.
    ``explain`` gives the reasons of a verdict that is not *fits*.  ``uses`` are the quantities the judgement
    reads, ``parts`` the positions it looks at itself.  ``bound`` answers, for sets of candidates,
    ``Verdict.NO`` only if no build out of them can pass.
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
    bound: Callable[[Domains], Verdict] | None = field(default=None)
    sharp: bool = True

    def verdict(self, build: Build) -> Verdict:
        """The verdict on a build."""
        return self.judge(build, {})
