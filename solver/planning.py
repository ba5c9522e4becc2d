"""From a goal to a plan: the best builds, their consequences, what to check, and why others fail."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from knowledge.computing.quantities import Result
from knowledge.garage import read_goal
from knowledge.layouts import EFFORT
from shared.layout import Requirement
from shared.part import Part
from shared.plan import BuildShown, PartShown, PlanDocument, QuantityShown, SamePart, Status
from shared.printing import finer_between, show_apart, show_number
from shared.ranges import Range
from shared.shown import Number, ReasonShown
from shared.units import System
from shared.verdict import Verdict

from .counting import combinations_of
from .explain.ledger import ledger as ledger_of
from .explain.questions import Questions
from .explain.refusal import refusal
from .holding import verdict_on
from .problem import Problem, build_problem
from .relations import Build, Relation
from .search.engines import EngineName, engine
from .search.enumeration import Found
from .search.interchange import Interchange
from .words import VERDICT_WORDS, money, number, shown


def plan(goal_file: Path, most: int = 5, units: System = "metric", by: EngineName = "ours") -> PlanDocument:
    """The ``most`` best builds for a goal, with proof that none better exists.

    ``by`` names the engine that searches; it changes the time taken, never the answer.

    >>> from pathlib import Path
    >>> from solver import demo_goal, plan
    >>> plan(demo_goal(), most=1).builds[0].verdict
    'fits'

    Raises :class:`shared.faults.BadInput` with every fault of every file.
    """
    goal, garage = read_goal(goal_file, units)
    problem = build_problem(goal, garage)
    return plan_of(problem, str(goal_file), most, units, by=by)


def plan_of(
    problem: Problem,
    goal_file: str,
    most: int = 5,
    units: System = "metric",
    ledger: bool = True,
    by: EngineName = "ours",
) -> PlanDocument:
    """The plan of a problem already built; without ``ledger`` nothing is counted of why others fail."""
    answer = engine(by).best(problem, most)
    alike = Interchange(problem)
    builds = tuple(build_shown(problem, found, i, units, alike) for i, found in enumerate(answer.builds, 1))
    questions = Questions(problem)
    refused = None if builds else refusal(questions, units)
    counts = ledger_of(problem, questions) if ledger else None
    return PlanDocument(
        goal=problem.goal.name,
        goal_file=goal_file,
        vehicle=problem.garage.vehicle.name,
        layout=problem.garage.layout.name,
        preference=tuple(p.text for p in problem.goal.prefer),
        usual=tuple(p.text for p in problem.scoring.usual),
        combinations=combinations_of(problem),
        builds=builds,
        complete=answer.complete or (counts is not None and counts.meeting == len(builds)),
        ledger=counts,
        conflicts=() if refused is None else refused.conflicts,
        conflicts_complete=refused is None or refused.complete,
        relaxations=() if refused is None else refused.relaxations,
        remarks=() if refused is None else refused.remarks,
    )


def status_of(problem: Problem, position: str, build: Build) -> Status:
    """What happens at a position."""
    part, stock = build[position], problem.stock[position]
    if part is None:
        return "empty" if stock is None else "removed"
    if part is not stock:
        return "new"
    return "moved" if problem.effort.is_touched(position, build) else "kept"


def _same(alike: Interchange, position: str, part: Part) -> tuple[SamePart, ...]:
    """The same part from elsewhere; what comes with an assembly is not to be had alone."""
    return tuple(
        SamePart(
            id=other.id,
            name=other.name,
            donors=tuple(d.key for d in other.donors),
            buy=other.buy,
            price=money(other.price),
        )
        for other in alike.others(position, part)
    )


def _part(problem: Problem, position: str, build: Build, units: System, alike: Interchange) -> PartShown:
    part: Part | None = build[position]
    place = problem.garage.layout.positions[position]
    status = status_of(problem, position, build)
    new = part is not None and status == "new"
    return PartShown(
        position=position,
        id=None if part is None else part.id,
        name="none" if part is None else part.name,
        status=status,
        count=place.count,
        comes_with=None if part is None else part.host,
        altered=() if part is None else part.altered,
        own=part is not None and part.own,
        donors=tuple(d.key for d in part.donors) if part is not None and new else (),
        buy="either" if part is None else part.buy,
        price=money(problem.effort.part_price(position, part)),
        evidence="" if part is None else part.evidence.word,
        note="" if part is None else part.note,
        cautions=part.cautions if part is not None and new else (),
        same=_same(alike, position, part) if part is not None and new and part.host is None else (),
    )


def build_shown(
    problem: Problem, found: Found, rank: int, units: System, alike: Interchange | None = None
) -> BuildShown:
    """A build as it comes out; ``alike`` remembers interchange classes from build to build."""
    alike = alike or Interchange(problem)
    build, effort = found.build, problem.effort
    layout = problem.garage.layout
    tasks = effort.tasks(build)
    new = [p for at, p in build.items() if p is not None and effort.is_new(at, p)]
    cautions = [layout.cautions[c].says for t in tasks for s in t.steps for c in s.cautions] + [
        c for p in new for c in p.cautions
    ]
    return BuildShown(
        rank=rank,
        score=found.score / 100,
        verdict=VERDICT_WORDS[Verdict.CHECK if found.doubtful else Verdict.FITS],
        parts=tuple(_part(problem, at, build, units, alike) for at in layout.positions),
        quantities=consequences(problem, build, units),
        checks=tuple(_reasons(problem.hard, build, units)),
        advice=tuple(_reasons(problem.advice, build, units)),
        looks=tuple(_reasons(problem.looks, build, units)),
        price=money(effort.price(build)),
        hours=number(effort.hours(build), "time", units),
        skill=effort.skill(build),
        donors=effort.donors(build),
        tasks=tuple(t.id for t in tasks),
        cautions=tuple(dict.fromkeys(cautions)),
    )


def _reasons(relations: Iterable[Relation], build: Build, units: System) -> list[ReasonShown]:
    """Every reason of the relations that do not plainly fit, each once."""
    found = [shown(reason, r.severity, units) for r in relations for reason in r.explain(build)]
    return list(dict.fromkeys(found))


def _limit_ends(problem: Problem, name: str, build: Build) -> tuple[Range | None, Range | None]:
    """The tightest limits any requirement or goal line puts on a quantity of a build."""
    lows: list[Range] = []
    highs: list[Range] = []

    def take(rule: Requirement) -> None:
        for item, ends in ((rule.at_least, lows), (rule.at_most, highs)):
            if item is not None:
                value = problem.demands.look_up(item, build).value
                if isinstance(value, Range):
                    ends.append(value)

    for rule in problem.rules_on.get(name, ()):
        if problem.demands.speaks(rule.when, build):
            take(rule)
    for limit in problem.goal.limits:
        if limit.quantity == name:
            lows += [] if limit.at_least is None else [Range.exactly(limit.at_least)]
            highs += [] if limit.at_most is None else [Range.exactly(limit.at_most)]
    low = max(lows, key=lambda r: r.hi) if lows else None
    high = min(highs, key=lambda r: r.lo) if highs else None
    return low, high


def _margin(value: Range, low: Range | None, high: Range | None) -> tuple[float, Range] | None:
    """The room to the nearest limit, and that limit."""
    rooms = [] if low is None else [(value.lo - low.hi, low.hi)]
    rooms += [] if high is None else [(high.lo - value.hi, high.lo)]
    return min(((room, Range.exactly(limit)) for room, limit in rooms), key=lambda pair: pair[0], default=None)


def _limits_text(low: Range | None, high: Range | None, measure: str, units: System, finer: int) -> str:
    ends = [show_number(x, measure, units, finer=finer) for x in _decisive(low, high)]
    if low is not None and high is not None:
        return " to ".join(ends) if ends[0] != ends[1] else f"exactly {ends[0]}"
    return "" if not ends else f"{'at least' if low is not None else 'at most'} {ends[0]}"


def _decisive(low: Range | None, high: Range | None) -> list[float]:
    """The numbers a value is held against: of a limit that is a range itself, the end that asks for more."""
    return ([] if low is None else [low.hi]) + ([] if high is None else [high.lo])


def consequences(problem: Problem, build: Build, units: System) -> tuple[QuantityShown, ...]:
    """Every quantity that is for people: before, after, limits, room left."""
    rows = []
    wanted = {limit.quantity for limit in problem.goal.limits}
    for quantity in problem.garage.layout.quantities.values():
        if quantity.show or quantity.name in wanted:
            flow = problem.flow
            stock = flow.stock.sharpened(quantity.name, problem.stock)
            new = flow.sharpened(quantity.name, build)
            row = _row(
                problem, quantity.name, quantity.about, quantity.group, quantity.measure, stock, new, build, units
            )
            rows.append(row.model_copy(update={"caution": quantity.caution}))
    for name in ("price", "hours", "donors", "skill"):
        result = problem.demands.effort_value(name, build)
        zero = Result(Range.exactly(0.0))
        rows.append(
            _row(
                problem,
                name,
                {
                    "price": "Everything bought, consumables included",
                    "hours": "Labour, shared tasks counted once",
                    "donors": "Fewest cars that carry the used parts",
                    "skill": "Highest skill class: 1 anyone, 4 a specialist",
                }[name],
                "effort",
                EFFORT[name],
                zero,
                result,
                build,
                units,
            )
        )
    return tuple(rows)


def _row(
    problem: Problem,
    name: str,
    about: str,
    group: str,
    measure: str,
    stock: Result,
    new: Result,
    build: Build,
    units: System,
) -> QuantityShown:
    low, high = _limit_ends(problem, name, build)
    value = new.value if isinstance(new.value, Range) else None
    before = stock.value if isinstance(stock.value, Range) else None
    margin: Number | None = None
    verdict, finer = Verdict.FITS, 0
    nearest = None if value is None else _margin(value, low, high)
    if value is None and (low is not None or high is not None):
        verdict = Verdict.CHECK
    elif value is not None and nearest is not None:
        room, limit = nearest
        verdict = verdict_on(value, low, high)
        if verdict is not Verdict.FITS:
            finer = finer_between(value, [Range.exactly(x) for x in _decisive(low, high)], measure, units)
        finer, text = show_apart(value, limit, room, measure, units, finer=finer)
        margin = Number(lo=room, hi=room, measure=measure, text=text)
    return QuantityShown(
        name=name,
        about=about,
        group=group,
        measure=measure,
        stock=number(before, measure, units, finer),
        new=number(value, measure, units, finer),
        limits=_limits_text(low, high, measure, units, finer),
        margin=margin,
        basis=new.basis,
        verdict=VERDICT_WORDS[verdict],
    )
