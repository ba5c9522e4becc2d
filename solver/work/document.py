"""What ``work`` answers: the work of one build as one documented and versioned shape; the text is made from it.

Steps stand in an order one person can follow.  Numbers are in SI with their measure, and carry the text a person
reads; times in a timetable are seconds from its start.
"""

from __future__ import annotations

from typing import Literal

from shared.plan import Model, Number

WORK_FORMAT = "swapwright work"
WORK_VERSION = 1


class PartAtWork(Model):
    """What happens to a part in a step: ``in`` (goes on), ``over`` (moved to its new host), ``out`` (not replaced)."""

    position: str
    id: str | None
    name: str
    what: Literal["in", "over", "out"]


class CheckShown(Model):
    """Something to be found good before the next step; ``limit`` is a published one that belongs to it."""

    says: str
    source: str
    inspection: str = ""
    limit: str = ""


class SupplyShown(Model):
    """Something used up, with its amount and price."""

    name: str
    grade: str
    kind: str
    quantity: float
    unit: str
    text: str
    price: Number


class RungShown(Model):
    """A torque for one grade: what share of its proof load that is in truth, friction's scatter included."""

    grade: str
    torque: Number
    reached: Number
    preload: Number


class TorqueShown(Model):
    """What a fastener is tightened to, on what that rests, and how."""

    id: str
    name: str
    torque: Number
    basis: Literal["the part's maker", "the car's maker", "computed", "unknown", "not by torque"]
    threads: tuple[str, ...]
    condition: str
    nut_factor: float
    scatter: float
    aimed: Number
    by_grade: tuple[RungShown, ...]
    how: str
    source: str
    needs: tuple[str, ...]
    again: tuple[Number, ...]


class CautionShown(Model):
    """A caution, its source, and the step it is first said at."""

    id: str
    says: str
    source: str
    first: str


class StepShown(Model):
    """One step.

    ``after`` names the nodes it waits for and that nothing else in it waits for: steps, or ``STEP/check``, which
    means once the checks of that step are found good.  ``critical`` marks the longest chain.
    """

    id: str
    number: int
    task: str
    kind: Literal["work", "drive"]
    does: str
    hours: Number
    skill: int
    people: int
    at: tuple[str, ...]
    after: tuple[str, ...]
    critical: bool
    takes_apart: tuple[str, ...]
    puts_together: tuple[str, ...]
    parts: tuple[PartAtWork, ...]
    tools: tuple[str, ...]
    torques: tuple[str, ...]
    consumables: tuple[SupplyShown, ...]
    cautions: tuple[str, ...]
    checks: tuple[CheckShown, ...]


class SlotShown(Model):
    """Who does what when: 1 is the first person, ``side`` is left or right where two share a step."""

    step: str
    side: str
    start: int
    end: int
    people: tuple[int, ...]


class TimetableShown(Model):
    """Two people: how long, the least it could be, whether that is proved, and who does what."""

    hours: Number
    least: Number
    proved: bool
    slots: tuple[SlotShown, ...]


class LaterShown(Model):
    """What is due after a distance on the road."""

    distance: Number
    torques: tuple[str, ...]
    says: tuple[str, ...]


class DriveShown(Model):
    """A step that moves the car, and how many checks come before it."""

    step: str
    does: str
    checks: int


class LookShown(Model):
    """Something to ask about where the car is used, about what, and the text it may stand in."""

    says: str
    about: str = ""
    source: str


class NoWork(Model):
    """There is no build, so there is no work."""

    format: Literal["swapwright work"] = "swapwright work"
    version: Literal[1] = 1
    answer: Literal["no build"] = "no build"
    goal: str
    vehicle: str
    says: str = "no build meets this goal, so there is no work; `swapwright why GOAL` tells what stands in the way"


class WorkDocument(Model):
    """The work of one build.

    ``stands`` is how many axle stands are under the car at once, of the ``stands_there``; ``stands_for_all`` is how
    many it would take to have everything up at once.  ``hours`` is the work of one person, ``longest`` what the
    longest chain takes however many people help.  ``to_measure`` is what the ``rules_to_check`` hang on.
    """

    format: Literal["swapwright work"] = "swapwright work"
    version: Literal[1] = 1
    answer: Literal["work"] = "work"
    goal: str
    vehicle: str
    layout: str
    build: int
    stands: int
    stands_there: int
    stands_for_all: int
    steps: tuple[StepShown, ...]
    hours: Number
    longest: Number
    longest_chain: tuple[str, ...]
    two: TimetableShown
    tools: tuple[str, ...]
    consumables: tuple[SupplyShown, ...]
    torques: tuple[TorqueShown, ...]
    cautions: tuple[CautionShown, ...]
    drives: tuple[DriveShown, ...]
    later: tuple[LaterShown, ...]
    rules_held: int
    rules_to_check: tuple[str, ...]
    to_measure: tuple[str, ...] = ()
    rules_broken: tuple[str, ...]
    looks: tuple[LookShown, ...]
