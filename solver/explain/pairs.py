"""The conflicts of chosen parts among each other and with the goal, within so much work for all of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from shared.explained import ConflictShown

from .document import Answer
from .questions import Line
from .refusal import MOST_SIZE
from .showing import conflict_shown
from .together import Together

# The work (see Budget) for finding the conflicts, and for the rules behind them and their ways out in all.
MOST_WORK_SETS = 100_000
MOST_WORK_CONFLICTS = 180_000


def conflicts_of(together: Together, lines: Sequence[Line]) -> tuple[tuple[ConflictShown, ...], bool]:
    """The minimal conflicts among lines, the chosen parts among them, and whether these are all.

    Each gets its share of the work for the rules behind it and its ways out; what one leaves goes to the others.
    """
    questions = together.questions
    budget = questions.budget
    with budget.within(MOST_WORK_SETS):
        sets = questions.sets(lines, MOST_SIZE)
    found = []
    with budget.within(MOST_WORK_CONFLICTS):
        for number, members in enumerate(sets.conflicts):
            with budget.part(1, len(sets.conflicts) - number):
                found.append(_conflict(together, [lines[i] for i in members], members not in sets.unproved))
    return tuple(found), sets.complete


def _conflict(together: Together, involved: Sequence[Line], needed: bool) -> ConflictShown:
    """A conflict of chosen parts and lines of the goal with its rules and ways out; ``needed`` if proved minimal.

    The rules behind it may take half of the work that is left, the ways out most of the rest.
    """
    questions = together.questions
    budget = questions.budget
    with budget.part(1, 2):
        conflict = questions.rules_behind(involved)
    untold = budget.untold
    with budget.part(3, 4):
        with budget.part(2, 3):
            moves = together.relaxing.singly(involved)
        mends, complete = together.mends_of_conflict(involved, moves)
    complete = complete and budget.untold == untold
    conflict = replace(conflict, minimal=conflict.minimal and needed)
    return conflict_shown(questions, conflict, moves, together.units, mends, complete)


def together_words(clash: bool, never: bool, violated: bool, doubtful: bool) -> tuple[Answer, str]:
    """The answer about parts that something was told of, and its words."""
    if never:
        return "no", "do not go together, whatever else is fitted"
    if clash:
        return "no", "go together on the car, but not with the goal"
    if violated:
        return "no", "do not go on the car as it is now; with other parts changed they do"
    return ("yes if checked", "go together if checked") if doubtful else ("yes", "go together")
