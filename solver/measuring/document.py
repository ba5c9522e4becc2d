"""What the measure command answers, as one documented and versioned shape."""

from __future__ import annotations

from typing import Literal

from shared.plan import Model, ReasonShown, VerdictWord

Answer = Literal["yes", "no", "yes if checked"]


class RecordShown(Model):
    """A reading in force: its line in the file, the text as it was read, and what it comes to with its tolerance."""

    line: int
    at: str
    part: str
    piece: str
    attribute: str
    text: str
    value: str
    evidence: str
    how: str
    tolerance: str
    note: str = ""


class KnownShown(Model):
    """One attribute: what the catalogue says, what was read, what counts now, and how each piece agrees."""

    part: str
    attribute: str
    stated: str
    stated_evidence: str
    where: str
    read: str
    now: str
    now_evidence: str
    outcomes: tuple[str, ...]
    unread: str = ""


class VerdictChange(Model):
    """A relation that reads the attribute, with the car as it is now and the part on it: before and after."""

    position: str
    relation: str
    severity: Literal["must", "should", "check"]
    says: str
    before: VerdictWord
    after: VerdictWord
    quantities: tuple[str, ...] = ()
    reasons: tuple[ReasonShown, ...] = ()


class QuantityChange(Model):
    """A quantity that hangs on the attribute, before and after; ``wanted`` if the goal limits it."""

    name: str
    wanted: bool
    before: str
    after: str


class StandingShown(Model):
    """Whether some build of the goal has the part: ``None`` where that could not be told in the steps allowed."""

    position: str
    before: bool | None
    after: bool | None
    because: tuple[str, ...] = ()


class PlanChange(Model):
    """The best build before and after; empty texts where there is none."""

    before: str
    after: str
    changed: bool
    parts_out: tuple[str, ...] = ()
    parts_in: tuple[str, ...] = ()


class WorthShown(Model):
    """One reading worth taking: how, what is known now, what it would settle, and which answer is good enough."""

    position: str
    part: str
    attribute: str
    read: str
    now: str
    tolerance: str
    settles: tuple[str, ...]
    removes: str
    good_enough: str


class WearShown(Model):
    """One wear limit of the part, and what was read of it."""

    attribute: str
    read: str
    limit: str
    says: str
    source: str
    verdict: VerdictWord | None


class Remark(Model):
    """Something odd in the file, or two statements that cannot both be true: where, found, expected, what to do."""

    where: str
    found: str
    expected: str
    mend: str


class MeasureDocument(Model):
    """The answer; ``kept`` is the line of the record that was added, if one was.

    ``left`` are, in a list of all readings, the parts of which a piece is left where it is.
    """

    format: Literal["swapwright measure"] = "swapwright measure"
    version: Literal[1] = 1
    goal: str
    goal_file: str
    file: str
    answer: Answer = "yes"
    says: str
    kept: int | None = None
    known: KnownShown | None = None
    verdicts: tuple[VerdictChange, ...] = ()
    quantities: tuple[QuantityChange, ...] = ()
    standing: tuple[StandingShown, ...] = ()
    plan: PlanChange | None = None
    wear: tuple[WearShown, ...] = ()
    left: tuple[str, ...] = ()
    worth: tuple[WorthShown, ...] = ()
    records: tuple[RecordShown, ...] = ()
    remarks: tuple[Remark, ...] = ()
