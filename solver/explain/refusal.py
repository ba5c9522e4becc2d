"""Why is there no build?  Every minimal conflict of a goal's lines, and the smallest changes that unlock one.

The one mechanism behind the refusals of ``plan``, ``why`` and ``graph``.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from shared.explained import ConflictShown, RelaxationShown
from shared.units import System
from shared.verdict import Verdict

from ..problem import Problem
from ..relations import Relation
from ..words import VERDICT_WORDS
from .document import NOT_ALL_CHANGES
from .mending import relaxed
from .minimal import MinimalSets
from .questions import Conflict, Line, Questions
from .relaxing import Relaxing
from .showing import conflict_shown, relaxation_shown

MOST_SIZE = 4
MOST_CERTAIN = 6
# The work (see Budget) for one refusal: some times what the demo's goals take.
MOST_WORK_REFUSAL = 400_000


@dataclass(frozen=True)
class Refusal:
    """Why no build meets a goal.

    ``conflicts`` are all minimal ones if ``complete``; each of ``relaxations`` was solved again.
    """

    conflicts: tuple[ConflictShown, ...]
    complete: bool
    relaxations: tuple[RelaxationShown, ...]
    remarks: tuple[str, ...]

    @property
    def whole(self) -> bool:
        """Whether everything was looked for, the smallest changes too."""
        return self.complete and NOT_ALL_CHANGES not in self.remarks


def refusal(questions: Questions, units: System, thorough: bool = False) -> Refusal:
    """The refusal of a goal that no build meets; with ``thorough`` also the other rules its lines clash over.

    It takes no more than ``MOST_WORK_REFUSAL`` of work (see :class:`Budget`), half of it for the conflicts; what was
    not looked for because of that is said.
    """
    lines, budget = questions.lines, questions.budget
    relaxing = Relaxing(questions, units)
    with budget.within(MOST_WORK_REFUSAL):
        with budget.part(1, 2):
            sets = questions.sets(lines, MOST_SIZE)
            conflicts = [told for _, told in _told(relaxing, sets, units, thorough)]
        untold = budget.untold
        found = _relaxed(relaxing, [[lines[i] for i in members] for members in sets.corrections], lines, units)
        if any(one.verdict != VERDICT_WORDS[Verdict.FITS] for one in found):
            surely = Questions(questions.problem, certain=True, budget=budget)
            certain = surely.sets(lines, MOST_SIZE).corrections[:MOST_CERTAIN]
            found += _relaxed(
                Relaxing(surely, units), [[lines[i] for i in members] for members in certain], lines, units
            )
    remarks = []
    if not sets.complete:
        remarks.append(
            f"Looked at every way out that changes up to {MOST_SIZE} lines, within the steps allowed; "
            "there may be more conflicts."
        )
    if budget.untold > untold:
        remarks.append(NOT_ALL_CHANGES)
    if any(all(m.kind == "rule" for m in c.members) for c in conflicts):
        remarks.append("The rules of the trade alone cannot be met with this catalogue and car, whatever the goal.")
    return Refusal(tuple(conflicts), sets.complete, _ordered(found), tuple(remarks))


def _told(
    relaxing: Relaxing, sets: MinimalSets, units: System, thorough: bool
) -> Iterator[tuple[Conflict, ConflictShown]]:
    """Every conflict, and as it comes out."""
    questions, lines = relaxing.questions, relaxing.questions.lines
    for members in sets.conflicts:
        involved = [lines[i] for i in members]
        conflict = questions.rules_behind(involved, thorough)
        conflict = replace(conflict, minimal=conflict.minimal and members not in sets.unproved)
        untold = questions.budget.untold
        moves = relaxing.singly(involved)
        complete = questions.budget.untold == untold
        mends = relaxed(questions.problem, moves, {}, units)
        yield conflict, conflict_shown(questions, conflict, moves, units, mends, complete)


def _relaxed(
    relaxing: Relaxing, corrections: Sequence[Sequence[Line]], lines: Sequence[Line], units: System
) -> list[RelaxationShown]:
    """Every correction with its lines given way as little as may be."""
    problem = relaxing.questions.problem
    return [relaxation_shown(problem, made, units) for given in corrections for made in relaxing.relax(given, lines)]


def independent_conflicts(problem: Problem, units: System = "metric") -> list[tuple[list[Relation], ConflictShown]]:
    """Minimal conflicts that share no line of the goal: each must be answered, whatever is done about the others.

    Each is told as the refusal of a plan tells it.  Empty where a build meets the goal, and where no conflict could be
    told.
    """
    questions = Questions(problem)
    with questions.budget.within(MOST_WORK_REFUSAL), questions.budget.part(1, 2):
        sets = questions.sets(questions.lines, MOST_SIZE)
        every = list(_told(Relaxing(questions, units), sets, units, False))
    found: list[tuple[list[Relation], ConflictShown]] = []
    taken: set[Line] = set()
    for conflict, told in every:
        if taken.isdisjoint(conflict.lines):
            taken.update(conflict.lines)
            found.append(([*questions.needed(conflict), *conflict.rules], told))
    return found


def _ordered(relaxations: Sequence[RelaxationShown]) -> tuple[RelaxationShown, ...]:
    """What certainly fits first, then fewest changes, then cheapest; each once."""

    def key(r: RelaxationShown) -> tuple[bool, int, float, str]:
        money = float("inf") if r.price.hi is None else r.price.hi
        return r.verdict != VERDICT_WORDS[Verdict.FITS], len(r.changes), money, "; ".join(c.new for c in r.changes)

    return tuple(dict.fromkeys(sorted(relaxations, key=key)))
