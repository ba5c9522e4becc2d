"""The words of a why, made from its document and from nothing else: headline, both sides, what would help."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from shared.explained import ConflictShown
from shared.shown import ReasonShown

from ..folding import Line, fitted
from ..words import and_more, needed, sentence
from .conflict_text import NOT_ALL, conflict_lines, mend_lines
from .document import CandidateShown, DoubtShown, ReasonGroup, ViolatedShown, WhyDocument
from .ledger_text import ledger_lines
from .relaxation_text import relaxation_lines

MOST_REASONS = 3


def why_text(document: WhyDocument, wide: int | None = None) -> str:
    """The whole answer, for paper or for a screen of ``wide`` columns."""
    lines: list[Line] = [document.headline, *document.remarks]
    told: set[str] = set()
    for number, violated in enumerate(document.violated, 1):
        name = f" [{violated.relation}]" if violated.kind != "mate" else ""
        lines += ["", f"Clash {number}: {violated.says}{name}", *_violated(violated, told)]
    lines += _together(document)
    alone = {v.relation for v in document.violated if v.alone}
    lines += relaxation_lines(document.relaxations)
    lines += conflict_lines([c for c in document.conflicts if not _is_told(c, alone)])
    lines += _section("In doubt", [x for d in document.doubtful for x in _doubt(d)])
    if document.best is not None:
        new = [p.name for p in document.best.parts if p.status == "new" and p.comes_with is None]
        head = "The best build with it" if document.best_proved else "A build with it"
        lines += _section(head, [f"- {name}" for name in new])
    if document.question == "all":
        lines += _candidates(document.unusable, document.usable)
    if document.ledger is not None:
        lines += ["", *ledger_lines(document.ledger)]
    return fitted(lines, wide)


def _section(title: str, lines: Sequence[str]) -> list[str]:
    return ["", title, *lines] if lines else []


def _is_told(conflict: ConflictShown, alone: set[str]) -> bool:
    """Whether a conflict is the one rule of a clash already told."""
    rules = [m.name for m in conflict.members if m.kind == "rule"]
    return len(rules) == 1 and rules[0] in alone and all(m.kind in ("rule", "part") for m in conflict.members)


def _violated(violated: ViolatedShown, told: set[str]) -> list[str]:
    """A clash; ways out already told for an earlier one are not told again."""
    lines = _told(violated.reasons)
    if violated.alone:
        lines.append("  whatever else is fitted")
    if violated.source:
        lines.append(f"  source: {violated.source}")
    new = [m for m in violated.mends if m.text not in told]
    told.update(m.text for m in violated.mends)
    more = [] if violated.ways_out_complete else [NOT_ALL]
    if violated.mends and not new:
        return [*lines, "  the same changes help as above", *more]
    head = "what would help:" if len(new) == len(violated.mends) else "what else would help:"
    return [*lines, *mend_lines(new, head), *more]


def _told(reasons: Iterable[ReasonShown]) -> list[str]:
    """The first few reasons, both sides on one line each."""
    every = list(reasons)
    lines = [f"  {sentence(reason)}" for reason in every[:MOST_REASONS]]
    if len(every) > MOST_REASONS:
        lines.append(f"  {and_more(len(every) - MOST_REASONS, 'more of the kind')}")
    return lines


def _together(document: WhyDocument) -> list[str]:
    whole = document.together
    if whole is None or not whole.also:
        return []
    price = "" if whole.total is None else f": {whole.total.text} in all, the least it can be"
    return ["", f"They go on the car together with {'; '.join(whole.also)}{price}"]


def _doubt(doubt: DoubtShown) -> list[str]:
    lines = [f"- {doubt.reason.says} [{doubt.relation}]", f"  {sentence(doubt.reason)}"]
    if doubt.measure:
        lines.append(f"  measure: {'; '.join(needed(doubt.measure))}")
    if doubt.good_enough:
        lines.append(f"  good enough: {doubt.good_enough}")
    return lines


def _candidates(groups: Sequence[ReasonGroup], usable: Sequence[CandidateShown]) -> list[str]:
    lines: list[str] = []
    for group in groups:
        lines += ["", f"{group.says} [{', '.join(group.relations)}]"]
        if not group.minimal:
            lines.append("  true, but not proved to be the smallest reason; ask for the part alone for a longer look")
        for candidate in group.candidates:
            lines.append(f"- {candidate.name} ({candidate.position.replace('_', ' ')}): {candidate.says}")
    untold = [c for c in usable if c.usable is None]
    lines += _section("Not told", [f"- {c.name} ({c.position.replace('_', ' ')})" for c in untold])
    places: dict[str, list[str]] = {}
    for candidate in usable:
        if candidate.usable:
            places.setdefault(candidate.position.replace("_", " "), []).append(candidate.name)
    return [*lines, *_section("In some build", [f"- {at}: {', '.join(names)}" for at, names in places.items()])]
