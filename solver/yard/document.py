"""The shape of what comes out of a visit to the yard; text and JSON are made from it."""

from __future__ import annotations

from typing import Literal

from shared.plan import Model, Number, PlanDocument, VerdictWord


class ReadingShown(Model):
    """What to read on a part before it is paid for.

    ``now`` is what the catalogue says, ``good`` the answer that is good enough in this build (empty where that
    could not be told), ``doubtful`` whether the plan hangs on it; ``sorts_out`` are look-alikes it tells apart.
    """

    part: str
    what: str
    how: str
    now: str
    good: str
    doubtful: bool
    sorts_out: tuple[str, ...] = ()


class LimitShown(Model):
    """A wear limit of the part: what passes, how it is read, why, and the source."""

    part: str
    what: str
    good: str
    how: str
    says: str
    source: str


class OtherCar(Model):
    """Another car that carries the same part."""

    row: str
    car: str
    verdict: VerdictWord
    look: tuple[str, ...] = ()


class InsteadShown(Model):
    """The next best part for a place, everything else as planned; ``dearer`` is the score it costs, in money."""

    part: str
    name: str
    source: str
    verdict: VerdictWord
    price: Number
    dearer: float


class PullShown(Model):
    """One part to take off one car."""

    position: str
    part: str
    name: str
    count: int
    verdict: VerdictWord
    look: tuple[str, ...]
    recognise: tuple[str, ...]
    numbers: tuple[str, ...]
    with_it: tuple[str, ...]
    readings: tuple[ReadingShown, ...]
    limits: tuple[LimitShown, ...]
    leave_when: tuple[str, ...]
    always_new: tuple[str, ...]
    price: Number
    note: str
    cautions: tuple[str, ...]
    other_cars: tuple[OtherCar, ...]
    instead: InsteadShown | None


class StopShown(Model):
    """A car to stop at: where it stands, what the list says of it, what to take."""

    row: str
    line: int
    car: str
    notes: str
    pulls: tuple[PullShown, ...]


class BoughtShown(Model):
    """A part of the plan that is not pulled, with what it costs: bought new, or the car's own and altered."""

    position: str
    part: str
    name: str
    price: Number


class MissingShown(Model):
    """A part that no car here carries, from which cars it comes, and what it would be good for."""

    position: str
    part: str
    name: str
    donors: tuple[str, ...]
    why: str
    instead_of: str
    saves: float | None


class UntoldCar(Model):
    """A car of which the list says too little to plan on it."""

    row: str
    line: int
    notes: str


class UnknownCar(Model):
    """A car that the list names and that no part of the catalogue comes off."""

    row: str
    line: int
    car: str
    notes: str


class YardDocument(Model):
    """A goal met with what stands in a yard today and what can be bought new.

    ``cars_at_least`` is how few cars can have everything that is pulled, as far as that was proved: as many as there
    are stops, or fewer where the search for the smallest set of cars ran out of work.  ``altered`` are the car's own
    parts that somebody works on: nothing is bought for them but that.
    """

    format: Literal["swapwright yard"] = "swapwright yard"
    version: Literal[1] = 1
    goal: str
    goal_file: str
    cars_file: str
    cars: int
    before: tuple[str, ...]
    stops: tuple[StopShown, ...]
    cars_at_least: int = 0
    bought: tuple[BoughtShown, ...]
    altered: tuple[BoughtShown, ...] = ()
    missing: tuple[MissingShown, ...]
    untold: tuple[UntoldCar, ...]
    unknown: tuple[UnknownCar, ...] = ()
    plan: PlanDocument
    everything: PlanDocument | None = None
