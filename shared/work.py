"""The work: tasks and their steps, what lies apart between them, fasteners, consumables, cautions, checks."""

from __future__ import annotations

from dataclasses import dataclass, field

from .layout import Input
from .ranges import Range


@dataclass(frozen=True)
class Caution:
    """A warning said once in the layout and named by the steps it belongs to."""

    id: str
    says: str
    source: str


@dataclass(frozen=True)
class Apart:
    """Something one step takes apart and one step puts together; ``stands`` are in use as long as it lies apart."""

    id: str
    about: str
    stands: int = 0


@dataclass(frozen=True)
class Consumable:
    """Something used up by a task: fluid, split pins, gaskets.

    ``amount`` is what was written, ``quantity`` [``unit``] the same as a number; ``low`` and ``high`` are its
    price in all.  ``grade`` says which fluid or class, ``kind`` what sort of thing it is.
    """

    name: str
    amount: str
    low: float
    high: float
    quantity: float = 1.0
    unit: str = ""
    grade: str = ""
    kind: str = ""


@dataclass(frozen=True)
class Check:
    """Something to be found good before the next step, and before anybody drives.

    ``inspection`` is the id of a published limit that belongs to it (see ``knowledge.standards.inspection``).
    """

    says: str
    source: str
    inspection: str = ""


@dataclass(frozen=True)
class Later:
    """Something to look at again after a ``distance`` [m] on the road."""

    distance: Range
    says: str


@dataclass(frozen=True)
class Fastener:
    """A threaded joint that is tightened to a figure.

    ``maker`` lists where a maker's torque may stand, tried in turn; it goes before everything computed.  The car
    maker's figure holds as long as the parts at ``own`` are the car's own, altered or not.  ``threads`` lists where the
    thread's name stands, ``sizes`` where only a diameter [m] is known.  ``grades`` are strength grades it may have:
    one, or several told apart by the mark on the head; ``grade`` is where a part says its own.  ``share`` is the part
    of its proof load aimed at, ``condition`` the state of the threads (a row of the table of nut factors), ``how`` the
    way it is tightened, ``again`` distances [m] after which it is tightened again.  With ``undone_by`` (tasks) or
    ``undone_with`` (positions) it matters only where one of these is worked at.
    """

    id: str
    name: str
    how: str
    source: str
    maker: tuple[Input, ...] = ()
    threads: tuple[Input, ...] = ()
    sizes: tuple[Input, ...] = ()
    grades: tuple[str, ...] = ()
    grade: Input | None = None
    share: Range = field(default_factory=lambda: Range(0.65, 0.75))
    condition: str = "dry"
    again: tuple[Range, ...] = ()
    own: tuple[str, ...] = ()
    undone_by: tuple[str, ...] = ()
    undone_with: tuple[str, ...] = ()


@dataclass(frozen=True)
class Step:
    """One piece of a task, done in one go.

    ``id`` is ``task`` or ``task.step``.  ``hours`` is in seconds.  ``after`` names steps that come before it whenever
    they are in the plan; ``rather_after`` the same where it can be had.  ``at`` names the places worked at, which
    nobody else can work at meanwhile; without one the whole car is taken up.  A step done at both ``sides`` alike can
    be shared by two people, each at one side.  ``fits`` names the positions whose part
    goes on here.  A step that ``drives`` waits for every check that can be made before it.
    """

    id: str
    task: str
    does: str
    hours: float
    after: tuple[str, ...] = ()
    rather_after: tuple[str, ...] = ()
    takes_apart: tuple[str, ...] = ()
    while_apart: tuple[str, ...] = ()
    puts_together: tuple[str, ...] = ()
    fits: tuple[str, ...] = ()
    at: tuple[str, ...] = ()
    people: int = 1
    sides: bool = False
    drives: bool = False
    tools: tuple[str, ...] = ()
    fasteners: tuple[str, ...] = ()
    consumables: tuple[Consumable, ...] = ()
    cautions: tuple[str, ...] = ()
    checks: tuple[Check, ...] = ()
    later: tuple[Later, ...] = ()


@dataclass(frozen=True)
class Task:
    """A piece of work, done once however many parts ask for it.

    ``changed`` lists the positions whose change calls for it; ``always`` calls for it in every build that changes
    anything; ``with_tasks`` are called for with it.  ``hours`` [s] and ``consumables`` are those of all its steps.
    """

    id: str
    title: str
    hours: float
    skill: int
    changed: tuple[str, ...] = ()
    always: bool = False
    with_tasks: tuple[str, ...] = ()
    consumables: tuple[Consumable, ...] = ()
    steps: tuple[Step, ...] = ()
    about: str = ""
