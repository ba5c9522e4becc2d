"""The three questions put to whoever answers them, and two answered: why is there no build, do these go together."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from knowledge.garage import read_goal
from shared.part import Part
from shared.units import System

from ..problem import Problem, build_problem
from ..search.enumeration import LimitReached
from .budget import Budget
from .document import Answer, WhyDocument, answered, remark_on
from .ledger import ledger
from .one_part import why_all, why_part
from .pairs import conflicts_of, together_words
from .questions import Line, Questions
from .refusal import MOST_SIZE, refusal
from .relaxation_text import refused_headline
from .together import Together, chosen_parts

# The work (see Budget) for an answer about parts.
MOST_WORK_PARTS = 400_000


def why(
    goal_file: Path,
    parts: Sequence[str] = (),
    all_parts: bool = False,
    units: System = "metric",
    count: bool = False,
) -> WhyDocument:
    """Why a goal can or cannot be met, whether parts go together, or whether any build uses a part.

    Without ``parts`` it is about the goal; with one, about that part; with several, about their going together;
    with ``all_parts``, about every candidate of the catalogue.  A part is named by its id, or ``position=id``.
    ``count`` is for a goal or one part: how many builds there are is counted though it takes a minute.

    Raises :class:`shared.faults.BadInput` with every fault of every file, and for a part that is not there.

    >>> from solver import demo_goal, why
    >>> why(demo_goal("tight"), ["rear-shafts-31", "stock-rear-carrier"]).answer
    'no'
    """
    goal, garage = read_goal(goal_file, units)
    problem = build_problem(goal, garage)
    name = str(goal_file)
    if all_parts:
        return why_all(problem, name, units)
    chosen = chosen_parts(problem, list(dict.fromkeys(parts)), name)
    if len(chosen) == 1:
        return why_part(problem, name, *next(iter(chosen.items())), units, count)
    return why_parts(problem, name, chosen, units) if chosen else why_goal(problem, name, units, count)


# -- why is there no build


def why_goal(problem: Problem, goal_file: str, units: System, count: bool = False) -> WhyDocument:
    """Why a goal can or cannot be met; with ``count`` all is counted that can be, however long that takes."""
    questions = Questions(problem)
    reply = questions.with_lines(questions.lines)
    name = problem.goal.name
    if reply is None or reply.build is not None:
        told: Answer = "not told" if reply is None else "yes"
        text = (
            "whether a build meets this goal could not be told in the steps allowed"
            if reply is None
            else "there are builds that meet this goal; `swapwright plan` shows the best"
        )
        book = ledger(problem, questions, thorough=count)
        return answered("goal", problem, goal_file, told, f"{name}: {text}", ledger=book)
    found = refusal(questions, units, thorough=True)
    return answered(
        "goal",
        problem,
        goal_file,
        "no",
        refused_headline(name, found.conflicts, found.relaxations, found.whole),
        remarks=found.remarks,
        conflicts=found.conflicts,
        conflicts_complete=found.complete,
        relaxations=found.relaxations,
        ledger=ledger(problem, questions, thorough=count),
    )


# -- do these go together


def why_parts(problem: Problem, goal_file: str, chosen: dict[str, Part], units: System) -> WhyDocument:
    """Whether parts go together on the car, and with the goal."""
    questions = Questions(problem, budget=Budget(until=MOST_WORK_PARTS))
    together = Together(questions, chosen, units)
    violated = together.violated()
    doubtful = together.doubtful()
    remarks: list[str] = []
    lines: Sequence[Line] = together.lines
    whole, told = None, True
    try:
        whole = together.whole()
    except LimitReached:
        told = False
    if whole is not None:
        goal_alone = questions.with_lines(questions.lines)
        remarks += remark_on(goal_alone)
        if goal_alone is not None and goal_alone.build is not None:
            lines = [*together.lines, *questions.lines]
    conflicts, complete = conflicts_of(together, lines)
    if not complete:
        remarks.append(
            f"Looked for ways out of up to {MOST_SIZE} changes, within the steps allowed; there may be more conflicts."
        )
    names = " and ".join(part.name for part in chosen.values())
    answer: Answer
    if not conflicts and not (told and complete):
        where = "go together on the car; whether with the goal" if whole is not None else "whether they go together"
        answer, verdict = "not told", f"{where} could not be told in the steps allowed"
    else:
        answer, verdict = together_words(bool(conflicts), whole is None, bool(violated), bool(doubtful))
    return answered(
        "parts",
        problem,
        goal_file,
        answer,
        f"{names}: {verdict}",
        parts=tuple(f"{at}={part.id}" for at, part in chosen.items()),
        remarks=tuple(remarks),
        conflicts=conflicts,
        conflicts_complete=complete,
        violated=violated,
        doubtful=doubtful,
        together=whole,
    )
