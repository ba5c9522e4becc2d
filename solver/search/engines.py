"""Two engines behind one interface: the same questions, the same answers, only the time differs.

``ours`` reduces and bounds first and lets python-constraint2 prove; ``cp-sat`` hands the problem to OR-tools CP-SAT,
which comes with the extra ``engines``.  :func:`engine` names one.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from importlib.util import find_spec
from typing import Literal, Protocol, get_args

from shared.errors import SwapwrightError
from shared.part import Part

from ..problem import Problem
from ..relations import Build, Relation
from .enumeration import Found

EngineName = Literal["ours", "cp-sat"]
ENGINES: tuple[EngineName, ...] = get_args(EngineName)
Candidate = tuple[str, str]
Forced = Mapping[str, Sequence[Part | None]]


@dataclass(frozen=True)
class Best:
    """The best builds in order; ``complete`` tells that there are no others at all."""

    builds: tuple[Found, ...]
    complete: bool


class Engine(Protocol):
    """What can be asked of a problem.  Every answer is exact or ``LimitReached`` is raised."""

    def best(self, problem: Problem, most: int) -> Best:
        """The ``most`` best builds with proof: certain before doubtful, then by score, then by the parts' ids."""

    def satisfying(self, problem: Problem, relations: Sequence[Relation], forced: Forced | None = None) -> Build | None:
        """A build that passes these relations, out of ``forced`` candidates where given; ``None`` if there is none."""

    def usable(self, problem: Problem) -> frozenset[Candidate]:
        """Position and id (empty for an empty place) of every candidate that is in some build that may hold."""

    def count(self, problem: Problem, relations: Sequence[Relation]) -> int:
        """How many builds pass these relations."""


class Ours:
    """Reductions and bounds in front, python-constraint2 as the search that proves."""

    def best(self, problem: Problem, most: int) -> Best:
        """See :meth:`Engine.best`."""
        from .best import best_builds

        answer = best_builds(problem, most)
        return Best(answer.builds, answer.complete)

    def satisfying(self, problem: Problem, relations: Sequence[Relation], forced: Forced | None = None) -> Build | None:
        """See :meth:`Engine.satisfying`."""
        from .possible import Possible

        return Possible(problem).ask(relations, forced).build

    def usable(self, problem: Problem) -> frozenset[Candidate]:
        """See :meth:`Engine.usable`."""
        from .usable import usable_candidates

        return usable_candidates(problem)

    def count(self, problem: Problem, relations: Sequence[Relation]) -> int:
        """See :meth:`Engine.count`."""
        from .counts import Counter
        from .possible import Possible

        return Counter(Possible(problem)).count(relations)


def engine(name: EngineName) -> Engine:
    """The engine of a name; raises :class:`SwapwrightError` where what it needs is not installed."""
    if name == "ours":
        return Ours()
    if find_spec("ortools") is None:
        raise SwapwrightError(
            "the engine cp-sat needs OR-tools, which is not installed; install swapwright with its extra 'engines', "
            "or leave --engine out: the answer is the same"
        )
    from .cp_sat.engine import CpSat

    return CpSat()


def _id(part: Part | None) -> str:
    return "" if part is None else part.id
