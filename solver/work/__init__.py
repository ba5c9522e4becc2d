"""The work of a build: what is done in which order, with what, and what to check before anybody drives.

``supplies``     what is used up, added together
``graph``        steps, checks and drives, and what waits for what
``ordering``     one person's order
``jobs``, ``scheduling``   two people's timetable, proved or with a bound
``torques``      maker's figures first, else from thread, grade and friction
``desk``, ``making``, ``document``, ``showing``, ``text``   the answer
"""

from __future__ import annotations

from pathlib import Path

from shared.units import System

from ..also_a_function import also_a_function
from .document import NoWork, WorkDocument
from .supplies import Supply, consumables

__all__ = ["NoWork", "Supply", "WorkDocument", "consumables", "work"]


def work(source: Path, build: int = 1, stands: int = 4, units: System = "metric") -> WorkDocument | NoWork:
    """The work of one ``build`` of a plan's JSON, or of a goal, which is planned first.

    ``stands`` is how many axle stands there are: with two, one end of the car is finished before the other goes up.

    Raises :class:`shared.faults.BadInput` with every fault of every file, or where the stands cannot do.

    >>> from solver import demo_goal, work
    >>> work(demo_goal("tight")).stands
    4
    """
    from .making import work as make

    return make(source, build, stands, units)


also_a_function(__name__)
