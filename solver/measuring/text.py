"""The measure command's answer as text: what is kept, what it changes, what to read next."""

from __future__ import annotations

from collections.abc import Sequence

from ..folding import Line, fitted
from ..tables import Table
from ..words import and_more, sentence
from .document import MeasureDocument, RecordShown, Remark, StandingShown, VerdictChange

_WORDS = {True: "some build has it", False: "no build has it", None: "not told in the steps allowed"}


def measure_text(document: MeasureDocument, wide: int | None = None) -> str:
    """The whole answer, for paper or for a screen of ``wide`` columns."""
    lines: list[Line] = [document.says]
    if document.kept is not None:
        lines.append(f"  kept as line {document.kept} of {document.file}")
    lines += _known(document)
    lines += _section("What it changes", _changes(document))
    lines += _section("Wear limits", _wear(document))
    lines += _section("Not to be used", [f"  {text}" for text in document.left])
    lines += _section("Worth measuring next" if document.kept else "Worth measuring", _worth(document))
    lines += _section("Read so far", record_lines(document.records))
    lines += _section("Odd, look at it", remark_lines(document.remarks))
    return fitted(lines, wide)


def _section(title: str, lines: Sequence[Line]) -> list[Line]:
    return ["", title, *lines] if lines else []


def _known(document: MeasureDocument) -> list[str]:
    known = document.known
    if known is None:
        return []
    stated = f"{known.stated} ({known.stated_evidence})" if known.stated_evidence else known.stated
    where = f", {known.where}" if known.where else ""
    return [
        f"  the catalogue says  {stated}{where}",
        f"  read                {known.read}",
        f"  counts now          {known.now} ({known.now_evidence})",
        *([f"  ({known.unread})"] if known.unread else []),
    ]


def _arrow(before: str, after: str) -> str:
    return after if before == after else f"{before} -> {after}"


_SEVERITIES = {"must": "", "should": " (advice)", "check": " (look into it)"}


def _verdict(change: VerdictChange) -> list[str]:
    named = f"{change.relation}{_SEVERITIES[change.severity]}"
    before = "as before, " if change.before == change.after else ""
    lines = [f"  {before}{named}: {_arrow(change.before, change.after)}"]
    return lines + [f"      {sentence(r)}" for r in change.reasons]


def _standing(one: StandingShown) -> str:
    because = f": {'; '.join(one.because)}" if one.because else ""
    return (
        f"  for the goal, at {one.position.replace('_', ' ')}: {_arrow(_WORDS[one.before], _WORDS[one.after])}{because}"
    )


def _changes(document: MeasureDocument) -> list[str]:
    if document.kept is None:
        return []
    return [*_answers(document), *_verdicts(document), *_quantities(document)]


def _answers(document: MeasureDocument) -> list[str]:
    """What becomes of the goal."""
    lines = [_standing(one) for one in document.standing]
    plan = document.plan
    if plan is None:
        return [*lines, f"  the whole plan was not made again; for that: swapwright plan {document.goal_file}"]
    if plan.changed:
        return [*lines, f"  best build before: {plan.before or 'none'}", f"  best build now:    {plan.after or 'none'}"]
    return [*lines, f"  best build, as before: {plan.after or 'none'}"]


def _verdicts(document: MeasureDocument) -> list[str]:
    """The rules that read it, judged on the car as it stands: what changed, what is not plainly good, how many fit."""
    lines: list[str] = []
    for at in dict.fromkeys(v.position for v in document.verdicts):
        here = [v for v in document.verdicts if v.position == at]
        moved = [v for v in here if v.before != v.after]
        still = [v for v in here if v.before == v.after]
        fine = len({v.relation for v in still if v.after == "fits"})
        put = f", with this at {at.replace('_', ' ')} and nothing else changed" if at else ""
        lines += [f"  the rules that read it, on the car as it stands{put}:"]
        for change in [*moved, *(v for v in still if v.after != "fits")]:
            lines += _verdict(change)
        if fine:
            lines += [f"  as before, fits: {fine} {'rule' if fine == 1 else 'rules'} (--json has them)"]
    return lines


def _quantities(document: MeasureDocument) -> list[str]:
    """What the goal wants and what changed a verdict, before and after; the others are counted."""
    deciding = {name for v in document.verdicts if v.before != v.after for name in v.quantities}
    shown = [q for q in document.quantities if q.wanted or q.name in deciding]
    rest = len(document.quantities) - len(shown)
    lines = [f"  {q.name.replace('_', ' ')}: {_arrow(q.before, q.after)}" for q in shown]
    what = f"{'quantity' if rest == 1 else 'quantities'} more, which change no verdict"
    return [*lines, f"  {and_more(rest, what)}"] if rest else lines


def _wear(document: MeasureDocument) -> list[Line]:
    shown = document.wear if document.kept is None else [w for w in document.wear if w.read]
    rows = [[w.attribute, w.read or "not read", w.limit, w.verdict or "", w.source] for w in shown]
    return [Table(["what", "read", "good is", "", "source"], rows)] if rows else []


def _worth(document: MeasureDocument) -> list[str]:
    lines = []
    for i, one in enumerate(document.worth, 1):
        error = f", to within {one.tolerance}" if one.tolerance else ""
        lines.append(f"  {i}. {one.attribute} (now {one.now}): {one.read or 'as fits'}{error}")
        lines.append(f"     removes {one.removes} ({', '.join(one.settles)})")
        if one.good_enough:
            lines.append(f"     good enough: {one.good_enough}")
    return lines


def record_lines(records: Sequence[RecordShown]) -> list[Line]:
    """The readings in force, one a line."""
    rows = [
        [str(r.line), r.at[:10], r.part, r.piece, r.attribute, r.text, r.tolerance, r.how or r.evidence]
        for r in records
    ]
    return [Table(["line", "day", "part", "piece", "what", "as read", "+/-", "with"], rows)] if rows else []


def remark_lines(remarks: Sequence[Remark]) -> list[str]:
    """What is odd, with what to do about it."""
    lines = []
    for r in remarks:
        lines.append(f"  {r.where}: {r.found}; expected {r.expected}")
        lines += [f"      mend: {r.mend}"] if r.mend else []
    return lines
