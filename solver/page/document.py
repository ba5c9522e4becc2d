"""What is on the page: one documented, versioned shape.  The HTML is made from it and from nothing else.

``format`` is always ``swapwright page``; ``version`` grows when a key changes its meaning or goes.  Every ``key`` of
a list is unique on the page and the same whenever the same plan is written: under it the phone remembers a tick.
"""

from __future__ import annotations

from typing import Literal

from shared.plan import Model, Number, QuantityShown, ReasonShown, VerdictWord


class SourceShown(Model):
    """A car that carries a part: what one walks up to, how the right variant is told, what is none."""

    car: str
    recognise: str
    excluded: tuple[str, ...]
    numbers: tuple[str, ...]


class BuyShown(Model):
    """A part to pull or to buy, one that comes with another (``comes_with``), or the car's ``own``, altered."""

    key: str
    position: str
    name: str
    count: int
    status: str
    price: Number
    buy: str
    sources: tuple[SourceShown, ...]
    comes_with: str
    own: bool = False
    altered: tuple[str, ...]
    evidence: str
    note: str
    cautions: tuple[str, ...]


class SupplyShown(Model):
    """Something the work uses up, and the pieces of work it is for."""

    key: str
    name: str
    amount: str
    price: Number
    tasks: tuple[str, ...]


class AnswerShown(Model):
    """One rule that hangs on something not known: both sides, and the answer that is good enough."""

    says: str
    sides: str
    good_enough: str
    source: str
    trouble: str


class MeasureShown(Model):
    """Something to measure, the readings that are good enough, and every rule that hangs on it.

    ``what`` is empty for hearsay as a whole; ``about`` then names the parts it is about.
    """

    key: str
    what: tuple[str, ...]
    about: str
    good_enough: tuple[str, ...]
    answers: tuple[AnswerShown, ...]


class StepShown(Model):
    """A piece of work, with the cautions that belong to it and what to check when it is done."""

    key: str
    title: str
    about: str
    hours: str
    skill: int
    tools: tuple[str, ...]
    supplies: tuple[str, ...]
    cautions: tuple[str, ...]
    checks: tuple[str, ...]


class LookShown(Model):
    """Advice that is not followed, or something somebody has to look into."""

    key: str
    says: str
    about: str
    source: str


class PictureShown(Model):
    """A picture as SVG, and the same in words."""

    title: str
    svg: str
    words: tuple[str, ...]


class MemberOf(Model):
    """One member of a conflict, with its reasons in one line each."""

    text: str
    rule: bool
    reasons: tuple[str, ...]
    source: str


class ClashShown(Model):
    """A set that cannot all hold."""

    title: str
    members: tuple[MemberOf, ...]
    picture: PictureShown | None


class HelpShown(Model):
    """Changes that together would let the goal be met, and what the cheapest build with them takes."""

    changes: tuple[str, ...]
    takes: str
    parts: tuple[str, ...]


class PageDocument(Model):
    """The page.  Lists that do not apply are empty; ``broken`` tells what no longer fits since the plan was made."""

    format: Literal["swapwright page"] = "swapwright page"
    version: Literal[1] = 1
    key: str
    goal: str
    about: str
    vehicle: str
    units: str
    build: int
    answer: Literal["yes", "yes if checked", "no"]
    verdict: VerdictWord
    headline: str
    facts: tuple[tuple[str, str], ...] = ()
    buy: tuple[BuyShown, ...] = ()
    supplies: tuple[SupplyShown, ...] = ()
    removed: tuple[str, ...] = ()
    moved: tuple[str, ...] = ()
    kept: tuple[str, ...] = ()
    measure: tuple[MeasureShown, ...] = ()
    broken: tuple[ReasonShown, ...] = ()
    changed: tuple[QuantityShown, ...] = ()
    unchanged: tuple[QuantityShown, ...] = ()
    advice: tuple[LookShown, ...] = ()
    looks: tuple[LookShown, ...] = ()
    steps: tuple[StepShown, ...] = ()
    picture: PictureShown | None = None
    clashes: tuple[ClashShown, ...] = ()
    helps: tuple[HelpShown, ...] = ()
    remarks: tuple[str, ...] = ()
    local_rules: str = ""
