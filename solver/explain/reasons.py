"""The three questions, answered: do these go together, why is there no build, why not this part."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any, Literal

from knowledge.garage import read_goal
from shared.part import Part
from shared.units import System
from shared.verdict import Verdict

from ..counting import counted_meeting
from ..problem import Problem, build_problem
from ..relations import Build
from ..search.best import best_builds
from ..search.certainty import certain_build, none_certain
from ..search.counts import Counter
from ..search.enumeration import Found, LimitReached
from ..search.possible import Reply
from ..words import counted
from .budget import Budget
from .candidacy import Usability, lines_in
from .document import Answer, Question, WhyDocument
from .ledger import ledger
from .mending import relaxed
from .pairs import conflicts_of, together_words
from .questions import GOAL, Conflict, Line, Questions, part_line
from .refusal import MOST_SIZE, refusal
from .relaxation_text import refused_headline
from .relaxing import Relaxing
from .showing import conflict_shown, standing
from .together import Together, chosen_parts

MOST_COUNT_NODES = 600
MOST_WORK = 4_000
MOST_STEPS = 40_000
# More than a plan takes the time for.
MOST_TUPLES = 8_000
MOST_WIDE = 60_000
MOST_TUPLES_COUNTING, MOST_WIDE_COUNTING = 60_000, 400_000
MOST_NODES_CHEAPEST = 400
# The work (see Budget) for an answer about parts in all, and for the ways out of the clash of one part.
MOST_WORK_PARTS = 400_000
MOST_WORK_PART = 150_000
GOAL_NOT_MET = "The goal cannot be met by itself, so only the rules of the trade were asked."
GOAL_NOT_TOLD = (
    "Whether the goal can be met by itself could not be told in the steps allowed, "
    "so only the rules of the trade were asked."
)


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


def _answered(
    question: Question, problem: Problem, goal_file: str, answer: Answer, headline: str, **more: Any
) -> WhyDocument:
    return WhyDocument(
        question=question,
        goal=problem.goal.name,
        goal_file=goal_file,
        answer=answer,
        headline=headline,
        **{"parts": (), **more},
    )


def _remark(goal_alone: Reply | None) -> tuple[str, ...]:
    """What is to be said where the goal by itself has no build, or it was not told whether it has."""
    if goal_alone is None:
        return (GOAL_NOT_TOLD,)
    return () if goal_alone.build is not None else (GOAL_NOT_MET,)


# -- why is there no build


def why_goal(problem: Problem, goal_file: str, units: System, count: bool = False) -> WhyDocument:
    """Why a goal can or cannot be met; with ``count`` all is counted that can be, however long that takes."""
    questions = Questions(problem)
    tuples, wide = (MOST_TUPLES_COUNTING, MOST_WIDE_COUNTING) if count else (MOST_TUPLES, MOST_WIDE)
    book = ledger(problem, questions.possible, tuples, most_wide=wide, whatever=count)
    reply = questions.with_lines(questions.lines)
    name = problem.goal.name
    if reply is None:
        text = f"{name}: whether a build meets this goal could not be told in the steps allowed"
        return _answered("goal", problem, goal_file, "not told", text, ledger=book)
    if reply.build is not None:
        text = f"{name}: there are builds that meet this goal; `swapwright plan` shows the best"
        return _answered("goal", problem, goal_file, "yes", text, ledger=book)
    found = refusal(questions, units, thorough=True)
    return _answered(
        "goal",
        problem,
        goal_file,
        "no",
        refused_headline(name, found.conflicts, found.relaxations, found.whole),
        remarks=found.remarks,
        conflicts=found.conflicts,
        conflicts_complete=found.complete,
        relaxations=found.relaxations,
        ledger=book,
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
        remarks += _remark(goal_alone)
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
    return _answered(
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


# -- why not this part


def why_part(problem: Problem, goal_file: str, at: str, part: Part, units: System, count: bool = False) -> WhyDocument:
    """Whether any build uses a part and the best that does, or a minimal reason why none can.

    How many use it is counted if that is soon done; or else with ``count``, however long it takes.
    """
    questions = Questions(problem)
    named = f"{part.name} ({at.replace('_', ' ')})"
    goal_alone = questions.with_lines(questions.lines)
    met_by = None if goal_alone is None else goal_alone.build
    goal_met = met_by is not None
    verdict = Usability(questions, problem.hard if goal_met else questions.trade, units).one(at, part, met_by)
    more: dict[str, Any] = {"parts": (f"{at}={part.id}",), "remarks": _remark(goal_alone)}
    if verdict.build is None and not verdict.relations:
        text = f"{named}: whether a build uses it could not be told in the steps allowed"
        return _answered("part", problem, goal_file, "not told", text, **more)
    if verdict.build is None:
        fixed = lines_in(questions.lines, verdict.relations)
        rules = tuple(r for r in verdict.relations if r.source != GOAL)
        lines = (part_line(at, part), *fixed)
        with questions.budget.within(MOST_WORK_PART):
            untold = questions.budget.untold
            with questions.budget.part(3, 4):
                moves = Relaxing(questions, units, met_by).singly(lines) if verdict.minimal else {}
            complete = verdict.minimal and questions.budget.untold == untold
            mends = relaxed(problem, moves, {at: part}, units)
            conflict = Conflict(lines, rules, verdict.minimal)
            members = conflict_shown(questions, conflict, moves, units, mends, complete, verdict.witnesses)
        return _answered(
            "part", problem, goal_file, "no", f"{named}: no build can use it", conflicts=(members,), **more
        )
    if not goal_met:
        text = f"{named}: it goes on the car with the right parts beside it"
        return _answered("part", problem, goal_file, "yes", text, **more)
    return _used(questions, goal_file, at, part, verdict.build, units, more, count)


def _used(
    questions: Questions,
    goal_file: str,
    at: str,
    part: Part,
    known: Build,
    units: System,
    more: dict[str, Any],
    whatever: bool,
) -> WhyDocument:
    """The answer about a part that some build uses, ``known``, in a fixed number of steps."""
    from ..planning import build_shown  # planning asks this package for its refusals

    problem = questions.problem
    forced = replace(problem, relations=(*problem.relations, *part_line(at, part).relations))
    try:
        count: int | None = Counter(questions.possible, MOST_COUNT_NODES, MOST_WORK).count(problem.hard, {at: (part,)})
    except LimitReached:
        count = counted_meeting(problem, (at, part)) if whatever else None
    found, how = best_with(forced, known)
    shown = build_shown(forced, found, 1, units)
    doubt = ", if checked" if found.doubtful else ""
    untold = "could not be told in the steps allowed"
    says = {
        "best": f"the best build with it costs {shown.price.text}",
        "cheapest": f"the cheapest build with it costs {shown.price.text}, whether it is the best {untold}",
        "some": f"a build with it costs {shown.price.text}, whether one is cheaper or better {untold}",
    }
    uses = "uses" if count == 1 else "use"
    many = (
        f"how many use it was not counted{'' if whatever else ' (--count does)'}"
        if count is None
        else f"{counted(count, 'build')} {uses} it"
    )
    return _answered(
        "part",
        problem,
        goal_file,
        "yes if checked" if found.doubtful else "yes",
        f"{part.name} ({at.replace('_', ' ')}): can be used{doubt}; {says[how]}; {many}",
        best=shown,
        best_proved=how == "best",
        builds_with=count,
        **more,
    )


def best_with(
    problem: Problem, known: Build, most_steps: int = MOST_STEPS
) -> tuple[Found, Literal["best", "cheapest", "some"]]:
    """A build of a problem one is ``known`` of, and what is proved of it, in a fixed number of steps.

    The best where that can be told; else the cheapest of those that certainly fit, or where none of these is known of
    those that fit if checked; else the cheapest that was found.
    """
    sure: Build | None = None
    asked = problem
    try:
        sure = certain_build(problem, known)
        asked = problem if sure is not None else none_certain(problem)
    except LimitReached:
        pass
    try:
        return best_builds(asked, 1, most_steps=most_steps).builds[0], "best"
    except LimitReached:
        pass
    questions = Questions(problem, certain=sure is not None)
    questions.possible.most_nodes = MOST_NODES_CHEAPEST
    build, proved = Relaxing(questions, "metric").cheapest(problem.hard, known if sure is None else sure)
    ids = tuple("" if p is None else p.id for p in build.values())
    doubtful = standing(problem.hard, build) is Verdict.CHECK
    score = problem.scoring.score(build, problem.scoring.dearest_known(problem.domains))
    return Found(score, doubtful, ids, build), "cheapest" if proved else "some"


def why_all(problem: Problem, goal_file: str, units: System) -> WhyDocument:
    """The verdict on every candidate of the catalogue, grouped by reason."""
    questions = Questions(problem)
    goal_alone = questions.with_lines(questions.lines)
    hint = None if goal_alone is None else goal_alone.build
    usability = Usability(questions, questions.trade if hint is None else problem.hard, units)
    verdicts = usability.everyone(hint)
    usable = tuple(usability.shown(c) for c in verdicts if c.usable is not False)
    groups = usability.grouped(verdicts)
    failing = sum(len(g.candidates) for g in groups)
    untold = sum(c.usable is None for c in usable)
    remarks = list(_remark(goal_alone))
    if untold:
        remarks.append(f"{counted(untold, 'part')} could not be told in the steps allowed.")
    where = "in some build that meets the goal" if hint is not None else "in some build, whatever the goal"
    return _answered(
        "all",
        problem,
        goal_file,
        "yes" if usable else "no",
        f"{problem.goal.name}: {len(usable) - untold} of {len(verdicts)} parts are {where}, {failing} in none",
        remarks=tuple(remarks),
        unusable=groups,
        usable=usable,
    )
