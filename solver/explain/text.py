"""The words of a why, made from its document and from nothing else: headline, both sides, what would help."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from shared.plan import ReasonShown

from ..words import sentence
from .document import (
    CandidateShown,
    ConflictShown,
    DoubtShown,
    Ledger,
    MemberShown,
    MendShown,
    ReasonGroup,
    RelaxationShown,
    ViolatedShown,
    WhyDocument,
)

MOST_REASONS = 3
MOST_RULES = 12
MOST_NAMES = 8


def why_text(document: WhyDocument) -> str:
    """The whole answer."""
    lines = [document.headline, *document.remarks]
    for number, violated in enumerate(document.violated, 1):
        lines += ["", f"Clash {number}: {violated.says} [{violated.relation}]", *_violated(violated)]
    lines += _together(document)
    alone = {v.relation for v in document.violated if v.alone}
    untold = [c for c in document.conflicts if not _is_told(c, alone)]
    for number, conflict in enumerate(untold, 1):
        lines += ["", _conflict_head(conflict, number), *_conflict(conflict)]
    lines += _section("What would help", [x for r in document.relaxations for x in _relaxation(r)])
    lines += _section("In doubt", [x for d in document.doubtful for x in _doubt(d)])
    if document.best is not None:
        new = [p.name for p in document.best.parts if p.status == "new" and p.comes_with is None]
        lines += _section("The best build with it", [f"- {name}" for name in new])
    if document.question == "all":
        lines += _candidates(document.unusable, document.usable)
    if document.ledger is not None:
        lines += ["", *_ledger(document.ledger)]
    return "\n".join(lines)


def _section(title: str, lines: Sequence[str]) -> list[str]:
    return ["", title, *lines] if lines else []


def _told(reasons: Iterable[ReasonShown]) -> list[str]:
    """The first few reasons, both sides on one line each."""
    every = list(reasons)
    lines = [f"  {sentence(reason)}" for reason in every[:MOST_REASONS]]
    if len(every) > MOST_REASONS:
        lines.append(f"  and {len(every) - MOST_REASONS} more of the kind")
    return lines


def _listed(names: Sequence[str]) -> str:
    """Names in one line, the later ones only counted."""
    more = f" and {len(names) - MOST_NAMES} more" if len(names) > MOST_NAMES else ""
    return ", ".join(names[:MOST_NAMES]) + more


def _is_told(conflict: ConflictShown, alone: set[str]) -> bool:
    """Whether a conflict is the one rule of a clash already told."""
    rules = [m.name for m in conflict.members if m.kind == "rule"]
    return len(rules) == 1 and rules[0] in alone and all(m.kind in ("rule", "part") for m in conflict.members)


def _conflict_head(conflict: ConflictShown, number: int) -> str:
    asked = [m.text for m in conflict.members if m.kind != "rule"]
    names = "; ".join(asked) if asked else "the rules of the trade among themselves"
    return f"Conflict {number}: {names}"


def _member(member: MemberShown) -> list[str]:
    head = f"- {member.text} [{member.name}]" if member.kind == "rule" else f"- {member.text}"
    lines = [head, *_told(member.reasons)]
    if member.kind == "rule" and member.source:
        lines.append(f"  source: {member.source}")
    return lines


def _conflict(conflict: ConflictShown) -> list[str]:
    together = "These cannot all hold; with any one of them given up the rest can."
    if not conflict.minimal:
        together = "These cannot all hold; whether all of them are needed could not be told in the steps allowed."
    lines = [together, *(x for m in conflict.members for x in _member(m))]
    return [*lines, *_mends(conflict.mends)]


def _violated(violated: ViolatedShown) -> list[str]:
    lines = _told(violated.reasons)
    if violated.alone:
        lines.append("  whatever else is fitted")
    if violated.source:
        lines.append(f"  source: {violated.source}")
    return [*lines, *_mends(violated.mends)]


def _mend(mend: MendShown) -> str:
    text = f"{mend.kind}: {mend.text}"
    if mend.price is not None and mend.kind not in ("what is fitted now", "nothing there"):
        text += f", {mend.price.text}"
    if mend.also:
        text += f", with {_listed(mend.also)}"
    if mend.total is not None:
        text += f"; {mend.total.text} in all"
    return f"  - {text}"


def _mends(mends: Sequence[MendShown]) -> list[str]:
    return ["  what would help:", *(_mend(m) for m in mends)] if mends else []


def _together(document: WhyDocument) -> list[str]:
    whole = document.together
    if whole is None or not whole.also:
        return []
    price = "" if whole.total is None else f": {whole.total.text} in all, the least it can be"
    return ["", f"They go on the car together with {_listed(whole.also)}{price}"]


def _relaxation(relaxation: RelaxationShown) -> list[str]:
    lines = []
    for change in relaxation.changes:
        nearest = "" if not change.nearest else " (nothing nearer can be met)"
        lines.append(
            f"{'-' if change is relaxation.changes[0] else ' '} {change.new}, instead of {change.old}{nearest}"
        )
    least = "at least" if relaxation.cheapest else "for example"
    price = f"{relaxation.price.text}, {relaxation.hours.text}, skill {relaxation.skill}, {relaxation.verdict}"
    lines.append(f"  {least} {price}: {_listed(relaxation.new_parts) or 'nothing new'}")
    return lines


def _doubt(doubt: DoubtShown) -> list[str]:
    lines = [f"- {doubt.reason.says} [{doubt.relation}]", f"  {sentence(doubt.reason)}"]
    if doubt.measure:
        lines.append(f"  measure: {'; '.join(doubt.measure)}")
    if doubt.good_enough:
        lines.append(f"  good enough: {doubt.good_enough}")
    return lines


def _candidates(groups: Sequence[ReasonGroup], usable: Sequence[CandidateShown]) -> list[str]:
    lines: list[str] = []
    for group in groups:
        lines += ["", f"{group.says} [{', '.join(group.relations)}]"]
        if not group.minimal:
            lines.append("  true, but not proved to be the smallest reason: some of these rules may not be needed")
        for candidate in group.candidates:
            lines.append(f"- {candidate.name} ({candidate.position.replace('_', ' ')}): {candidate.says}")
    untold = [c for c in usable if c.usable is None]
    lines += _section("Not told", [f"- {c.name} ({c.position.replace('_', ' ')})" for c in untold])
    places: dict[str, list[str]] = {}
    for candidate in usable:
        if candidate.usable:
            places.setdefault(candidate.position.replace("_", " "), []).append(candidate.name)
    return [*lines, *_section("In some build", [f"- {at}: {', '.join(names)}" for at, names in places.items()])]


def _whole(count: int | None, otherwise: str) -> str:
    return otherwise if count is None else f"{count:,}"


def _ledger(ledger: Ledger) -> list[str]:
    from ..tables import table

    meeting = f"{ledger.meeting:,} meet the goal" if ledger.meeting is not None else "how many meet it was not counted"
    head = f"Of {ledger.combinations:,} combinations {meeting}"
    if ledger.not_counted:
        head += f" ({ledger.not_counted})"
    rows = [
        [
            r.relation,
            r.kind,
            "not counted" if r.alone is None else f"{r.alone:,}",
            "" if r.beyond is None else f"{r.beyond:,}",
        ]
        for r in ledger.rules
    ]
    lines = [head, *table(["rule", "kind", "it alone rules out", "beyond all others"], rows[:MOST_RULES])]
    if len(rows) > MOST_RULES:
        lines.append(f"  and {len(rows) - MOST_RULES} more rules")
    return lines
