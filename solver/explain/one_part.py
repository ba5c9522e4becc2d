"""Why not this part: of one the best build with it or the reasons why none can use it, and of all whether any can."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from shared.explained import ConflictShown
from shared.part import Part
from shared.units import System
from shared.verdict import Verdict

from ..counting import counted_meeting
from ..problem import Problem
from ..relations import Build
from ..search.best import best_builds
from ..search.certainty import certain_build, none_certain
from ..search.counts import Counter
from ..search.enumeration import Found, LimitReached
from ..search.nearing import MOST_NODES, nearest
from ..search.possible import Possible
from ..words import counted
from .candidacy import Candidacy, Usability, lines_in
from .document import WhyDocument, answered, remark_on
from .mending import relaxed
from .questions import GOAL, Conflict, Questions, part_line
from .relaxing import Relaxing
from .showing import conflict_shown, standing

MOST_COUNT_NODES = 600
MOST_WORK = 4_000
# Steps and stages of the first tables and of the last.
FEW_STEPS, FEW_STAGES = 1_000, 4
MOST_STEPS, MOST_STAGES = 40_000, 6
# The work (see Budget) for the ways out of each clash of a part.
MOST_WORK_PART = 150_000


def why_part(problem: Problem, goal_file: str, at: str, part: Part, units: System, count: bool = False) -> WhyDocument:
    """Whether any build uses a part and the best that does, or minimal reasons why none can.

    The reasons are all rules of the trade near the part that refuse it each by itself, or else one set of relations;
    whether there are others is not looked for.

    How many use it is counted if that is soon done; or else with ``count``, however long it takes.
    """
    questions = Questions(problem)
    named = f"{part.name} ({at.replace('_', ' ')})"
    goal_alone = questions.with_lines(questions.lines)
    met_by = None if goal_alone is None else goal_alone.build
    goal_met = met_by is not None
    usability = Usability(questions, problem.hard if goal_met else questions.trade, units)
    verdict = usability.one(at, part, met_by)
    more: dict[str, Any] = {"parts": (f"{at}={part.id}",), "remarks": remark_on(goal_alone)}
    if verdict.build is None and not verdict.relations:
        text = f"{named}: whether a build uses it could not be told in the steps allowed"
        return answered("part", problem, goal_file, "not told", text, **more)
    if verdict.build is None:
        alone = [c for c in usability.alone(at, part) if lines_in(questions.lines, c.relations) == ()]
        reasons = alone or [verdict]
        return answered(
            "part",
            problem,
            goal_file,
            "no",
            f"{named}: no build can use it",
            conflicts=tuple(_clash(questions, part, reason, units, met_by) for reason in reasons),
            conflicts_complete=False,
            **more,
        )
    if not goal_met:
        text = f"{named}: it goes on the car with the right parts beside it"
        return answered("part", problem, goal_file, "yes", text, **more)
    return _used(questions, goal_file, at, part, verdict.build, units, more, count)


def _clash(questions: Questions, part: Part, reason: Candidacy, units: System, met_by: Build | None) -> ConflictShown:
    """One reason why no build can use a part, with what would have to give way."""
    fixed = lines_in(questions.lines, reason.relations)
    rules = tuple(r for r in reason.relations if r.source != GOAL)
    lines = (part_line(reason.position, part), *fixed)
    with questions.budget.within(MOST_WORK_PART):
        untold = questions.budget.untold
        with questions.budget.part(3, 4):
            moves = Relaxing(questions, units, met_by).singly(lines) if reason.minimal else {}
        complete = reason.minimal and questions.budget.untold == untold
        mends = relaxed(questions.problem, moves, {reason.position: part}, units)
        conflict = Conflict(lines, rules, reason.minimal)
        return conflict_shown(questions, conflict, moves, units, mends, complete, reason.witnesses)


def _used(
    questions: Questions,
    goal_file: str,
    at: str,
    part: Part,
    known: Build,
    units: System,
    more: dict[str, Any],
    thorough: bool,
) -> WhyDocument:
    """The answer about a part that some build uses, ``known``, in a fixed number of steps."""
    from ..planning import build_shown  # planning asks this package for its refusals

    problem = questions.problem
    forced = replace(problem, relations=(*problem.relations, *part_line(at, part).relations))
    try:
        count: int | None = Counter(questions.possible, MOST_COUNT_NODES, MOST_WORK).count(problem.hard, {at: (part,)})
    except LimitReached:
        count = counted_meeting(problem, (at, part)) if thorough else None
    found, proved = best_with(forced, known, questions.possible)
    shown = build_shown(forced, found, 1, units)
    doubt = ", if checked" if found.doubtful else ""
    says = f"the best build with it costs {shown.price.text}"
    if not proved:
        says = f"a build with it costs {shown.price.text}, whether one is better could not be told in the steps allowed"
    uses = "uses" if count == 1 else "use"
    many = (
        f"how many use it was not counted{'' if thorough else ' (--count does)'}"
        if count is None
        else f"{counted(count, 'build')} {uses} it"
    )
    return answered(
        "part",
        problem,
        goal_file,
        "yes if checked" if found.doubtful else "yes",
        f"{part.name} ({at.replace('_', ' ')}): can be used{doubt}; {says}; {many}",
        best=shown,
        best_proved=proved,
        builds_with=count,
        **more,
    )


def best_with(
    problem: Problem,
    known: Build,
    possible: Possible,
    few_steps: int = FEW_STEPS,
    most_nodes: int = MOST_NODES,
    most_steps: int = MOST_STEPS,
) -> tuple[Found, bool]:
    """A build of a problem one is ``known`` of, and whether it was proved to be the best, in a fixed number of steps.

    ``possible`` answers what may hold, of this problem or one with fewer relations.  The best is looked for with small
    tables, then by questions coming nearer, then with larger tables.
    """
    near: Build = known
    asked, told = problem, True
    certainly = Possible(problem, certain=True)
    try:
        sure = certain_build(problem, known, certainly)
        if sure is None:
            asked = none_certain(problem)
        else:
            near, possible = sure, certainly
    except LimitReached:
        told = False
    try:
        return best_builds(asked, 1, few_steps, FEW_STAGES).builds[0], True
    except LimitReached as reached:
        none = reached.none
    if told:
        near, proved = nearest(possible, problem.hard, near, none, most_nodes)
        if proved:
            return _as_found(problem, near), True
    try:
        return best_builds(asked, 1, most_steps, MOST_STAGES).builds[0], True
    except LimitReached:
        return _as_found(problem, near), False


def _as_found(problem: Problem, build: Build) -> Found:
    """A build that passes every hard relation, as the search would have found it."""
    ids = tuple("" if p is None else p.id for p in build.values())
    doubtful = standing(problem.hard, build) is Verdict.CHECK
    return Found(problem.scoring.score(build, problem.dearest), doubtful, ids, build)


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
    remarks = list(remark_on(goal_alone))
    if untold:
        remarks.append(f"{counted(untold, 'part')} could not be told in the steps allowed.")
    where = "in some build that meets the goal" if hint is not None else "in some build, whatever the goal"
    return answered(
        "all",
        problem,
        goal_file,
        "yes" if usable else "no",
        f"{problem.goal.name}: {len(usable) - untold} of {len(verdicts)} parts are {where}, {failing} in none",
        remarks=tuple(remarks),
        unusable=groups,
        usable=usable,
    )
