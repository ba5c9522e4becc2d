"""The ledger: how many combinations there are, how many meet the goal, and what each rule rules out.

Every number is an exact count; where counting would take too long the ledger says so instead.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from shared.explained import Ledger, RuledOut

from ..counting import combinations_of, counted_meeting, counted_whole, removed_alone
from ..counting.ruled_out import MOST_WHOLE
from ..problem import Problem
from ..search.counts import Counter
from ..search.enumeration import LimitReached
from .questions import Questions

MOST_NODES = 600
MOST_NODES_BEYOND = 3000
MOST_WORK = 4_000
# The work (see Budget) for asking what cannot be met even without one rule.
MOST_WORK_BEYOND = 100_000
# Combinations of one rule that are listed, and work for one wide rule.
THOROUGH = (60_000, 400_000)
TOO_MANY = "too many rules look at too many parts at once"


def ledger(
    problem: Problem,
    questions: Questions | None = None,
    most_whole: int = MOST_WHOLE,
    thorough: bool = False,
) -> Ledger:
    """The ledger of a problem.

    A catalogue of at most ``most_whole`` combinations is counted whole; of a larger one the rules with few combinations
    of their own, and what can be added up.  How many meet everything is counted if it is soon done.  If ``thorough``,
    wide rules are counted too, and all of it is given the time it takes.  What was asked in ``questions`` before saves
    counting: where rules cannot be met even without another, that one rules out nothing beyond them.
    """
    whole = counted_whole(problem, most_whole)
    if whole is not None:
        return _made(problem, whole.meeting, "", dict(whole.alone), dict(whole.beyond))
    questions = questions or Questions(problem)
    possible = questions.possible
    meeting: int | None = None
    why = ""
    try:
        refused = questions.refused(problem.hard) is not None
        meeting = 0 if refused else Counter(possible, MOST_NODES, MOST_WORK).count(problem.hard)
    except LimitReached:
        meeting = counted_meeting(problem) if thorough else None
        if meeting is None:
            why = (
                TOO_MANY if thorough else f"{TOO_MANY} for a quick count; `swapwright why GOAL --count` takes the time"
            )
    alone = removed_alone(possible, *(THOROUGH if thorough else ()))
    beyond: dict[str, int | None] = {}
    if meeting is not None:
        with questions.budget.within(MOST_WORK_BEYOND):
            beyond = _beyond(questions, _telling(problem, alone), meeting)
    return _made(problem, meeting, why, alone, beyond)


def _beyond(questions: Questions, names: Sequence[str], meeting: int) -> dict[str, int | None]:
    """How many combinations more would meet the goal without each of some rules, as far as that is told."""
    counter: Counter | None = Counter(questions.possible, MOST_NODES_BEYOND, MOST_WORK)
    found: dict[str, int | None] = {}
    for name in names:
        others = [r for r in questions.problem.hard if r.name != name]
        if not meeting and (reply := questions.ask(others)) is not None and reply.build is None:
            found[name] = 0
        elif counter is not None:
            try:
                found[name] = counter.count(others) - meeting
            except LimitReached:
                counter = None
    return found


def _telling(problem: Problem, alone: Mapping[str, int | None]) -> list[str]:
    """The rules that rule anything out or were not counted, what rules out most first, the uncounted last."""
    names = [r.name for r in problem.hard if alone[r.name] != 0]
    return sorted(names, key=lambda name: ((n := alone[name]) is None, -(n or 0), name))


def _made(
    problem: Problem, meeting: int | None, why: str, alone: Mapping[str, int | None], beyond: Mapping[str, int | None]
) -> Ledger:
    rules = {r.name: r for r in problem.hard}
    return Ledger(
        combinations=combinations_of(problem),
        meeting=meeting,
        not_counted=why,
        rules=tuple(
            RuledOut(
                relation=name,
                kind=rules[name].kind,
                says=rules[name].says,
                alone=alone[name],
                beyond=beyond.get(name),
            )
            for name in _telling(problem, alone)
        ),
    )
