"""Explanations as they come out: conflicts, ways out, and the ledger; parts of the answers of ``plan`` and ``why``.

Numbers are in SI beside the text a person reads.
"""

from __future__ import annotations

from typing import Literal

from .shown import Model, Number, ReasonShown, VerdictWord

MemberKind = Literal["limit", "choice", "part", "rule"]
MendKind = Literal[
    "another part", "adapter", "alteration", "what is fitted now", "nothing there", "relaxed limit", "dropped line"
]


class MemberShown(Model):
    """One member of a conflict: a line of the goal, a chosen part, or a rule of the trade, with its reasons.

    The reasons are those it gives against a build that meets every other member; ``relations`` are what the line
    makes of itself (an ``avoid`` line makes one for each position); ``nearest`` tells that no build that meets the
    other members comes nearer to the line than the one in the reasons.  ``fitted`` names the new parts of that build
    that the member looks at; ``reaches`` are the positions a rule leads on to that nothing before it spoke of.
    """

    name: str
    kind: MemberKind
    text: str
    source: str
    reasons: tuple[ReasonShown, ...]
    relations: tuple[str, ...] = ()
    nearest: bool = False
    fitted: tuple[str, ...] = ()
    reaches: tuple[str, ...] = ()


class MendShown(Model):
    """One change that was tried and lets the rest go together.

    ``price`` is what the change itself costs, ``total`` the cheapest build with it (``None`` where that was not
    worked out); ``also`` names what else that build changes.  ``line`` is the line of the goal that gives way, if one
    does, and ``off`` by how much where it is a limit.
    """

    kind: MendKind
    text: str
    line: str | None = None
    position: str | None = None
    part: str | None = None
    price: Number | None = None
    total: Number | None = None
    also: tuple[str, ...] = ()
    verdict: VerdictWord = "fits"
    off: str = ""


class ConflictShown(Model):
    """A set that cannot all hold.

    ``minimal`` tells that dropping any member was proved to let the rest hold.  Mends are cheapest first.
    ``other_rules`` are further minimal sets of rules the same lines clash over, by name, each a proof of its own;
    ``all_rules`` tells that there are no others.  ``ways_out_complete`` tells that every single change was asked that
    could be a mend no dearer than those listed, and was answered; without it there may be others, and cheaper ones.
    """

    members: tuple[MemberShown, ...]
    minimal: bool
    other_rules: tuple[tuple[str, ...], ...] = ()
    all_rules: bool = False
    mends: tuple[MendShown, ...] = ()
    ways_out_complete: bool = True


class ChangeShown(Model):
    """One line of the goal changed: a limit moved to ``new``, or a choice given up.

    ``nearest`` tells that no value nearer to the old one can be met, proved by solving again; ``as_now`` that the new
    value is what the car has now.
    """

    line: str
    old: str
    new: str
    value: float | None
    exact: float | None
    nearest: bool
    as_now: bool = False


class RelaxationShown(Model):
    """Changes that together let the goal be met; ``price`` is that of the cheapest build found with them.

    ``cheapest`` tells that no cheaper one exists; ``checks`` names what has to be known before paying for it.  None of
    the changes is enough without the others.
    """

    changes: tuple[ChangeShown, ...]
    price: Number
    hours: Number
    skill: int
    new_parts: tuple[str, ...]
    verdict: str
    cheapest: bool
    checks: tuple[str, ...] = ()


class RuledOut(Model):
    """How many combinations one rule rules out: by itself, and beyond all the others (``None``: not counted)."""

    relation: str
    kind: str
    says: str
    alone: int | None
    beyond: int | None


class Ledger(Model):
    """Exact counts; ``None`` and a reason where something was not counted."""

    combinations: int
    meeting: int | None
    not_counted: str
    rules: tuple[RuledOut, ...]
