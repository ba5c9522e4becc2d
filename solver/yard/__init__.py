"""A goal met with what stands in a yard today and what can be bought new, as a walk from car to car.

``naming``    which make and model a list means
``matching``  whether a car is a donor: three answers
``standing``  which car carries what, and the problem narrowed to what can be had today
``covering``  the smallest set of cars
``readings``  what to read on a part; ``probing`` which answer is good enough
``swaps``     one part changed in a build
``walking``   the walk; ``document`` its shape, ``text`` its words
"""

from __future__ import annotations

from pathlib import Path

from knowledge.garage import read_goal
from knowledge.yard.car import YardCar
from knowledge.yard.cars import read_cars
from knowledge.yard.notes import before_all
from shared.errors import SwapwrightError
from shared.faults import BadInput, Fault
from shared.plan import PlanDocument
from shared.units import System

from ..also_a_function import also_a_function
from ..graph.sources import build_of
from ..planning import plan_of
from ..problem import Problem, build_problem
from ..search.certainty import no_certain_build, none_certain
from .document import MissingShown, UnknownCar, UntoldCar, YardDocument
from .standing import Standing, had_today, standing
from .walking import Walk, why_not_here


def yard(
    goal_file: Path, cars_file: Path, most: int = 1, units: System = "metric", compare: bool = False
) -> YardDocument:
    """The best build for a goal out of what stands in a yard, what can be bought new and what is on the car.

    ``compare`` also plans with the whole catalogue; without a build in the yard that is done in any case, for it is
    the nearest way round.  Raises :class:`BadInput` with every fault of the goal's files and of the list.

    >>> from solver import demo_goal, yard
    >>> yard(demo_goal("tight"), demo_goal().parent / "yard.csv").goal
    'A little higher, before the season'
    """
    problem, cars = _read(goal_file, cars_file, units)
    stand = standing(problem, cars)
    today = had_today(problem, stand)
    asked = today
    if len(today.relations) > len(problem.relations) and no_certain_build(today):
        asked = none_certain(today)
    document = plan_of(asked, str(goal_file), most, units, ledger=False)
    everything = None
    if compare or not document.builds:
        everything = plan_of(problem, str(goal_file), 1, units, ledger=False)
    missing = _missing_of(problem, today, stand, everything)
    walk = None
    if document.builds:
        walk = Walk(today, problem, stand, build_of(problem, document.builds[0], goal_file), units)
        known = {m.part for m in missing}
        missing = (*missing, *(m for m in walk.missing() if m.part not in known))
    nameless = [c for c in stand.cars if not c.make and not c.model]
    return YardDocument(
        goal=problem.goal.name,
        goal_file=str(goal_file),
        cars_file=str(cars_file),
        cars=len(cars),
        before=before_all(),
        stops=() if walk is None else walk.stops(),
        cars_at_least=0 if walk is None else walk.cover.at_least,
        bought=() if walk is None else walk.bought(),
        altered=() if walk is None else walk.altered(),
        missing=missing,
        untold=tuple(UntoldCar(row=c.row, line=c.line, notes=c.notes) for c in nameless),
        unknown=tuple(UnknownCar(row=c.row, line=c.line, car=c.name, notes=c.notes) for c in stand.of_no_part()),
        plan=document,
        everything=everything,
    )


def _read(goal_file: Path, cars_file: Path, units: System) -> tuple[Problem, tuple[YardCar, ...]]:
    """Goal and list; the faults of both before anything is raised."""
    faults: list[Fault] = []
    problem, cars = None, None
    try:
        problem = build_problem(*read_goal(goal_file, units))
    except BadInput as error:
        faults += error.faults
    try:
        cars = read_cars(cars_file)
    except BadInput as error:
        faults += error.faults
    if faults:
        raise BadInput(faults)
    if problem is None or cars is None:
        raise SwapwrightError("the goal or the list could not be read")
    return problem, cars


def _missing_of(
    problem: Problem, today: Problem, stand: Standing, everything: PlanDocument | None
) -> tuple[MissingShown, ...]:
    """The parts of the best plan with everything that cannot be had today."""
    if everything is None or not everything.builds:
        return ()
    found = []
    for shown in everything.builds[0].parts:
        part = problem.garage.parts.get(shown.id or "")
        if shown.status != "new" or part is None or part.host is not None or part in today.domains[shown.position]:
            continue
        found.append(
            MissingShown(
                position=shown.position,
                part=part.id,
                name=part.name,
                donors=shown.donors,
                why=why_not_here(stand, part),
                instead_of="",
                saves=None,
            )
        )
    return tuple(found)


also_a_function(__name__)
