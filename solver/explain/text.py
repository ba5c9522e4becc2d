"""The words of a why, made from its document and from nothing else: headline, both sides, what would help."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from shared.explained import (
    ChangeShown,
    ConflictShown,
    Ledger,
    MemberShown,
    MendShown,
    RelaxationShown,
)
from shared.shown import ReasonShown

from ..words import sentence
from .document import CandidateShown, DoubtShown, ReasonGroup, ViolatedShown, WhyDocument

MOST_REASONS = 3
MOST_RULES = 12
MOST_NAMES = 8
MOST_CHECKS = 4
NOT_ALL = "  not all ways out were looked for"


def why_text(document: WhyDocument) -> str:
    """The whole answer."""
    lines = [document.headline, *document.remarks]
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


def _listed(names: Sequence[str], most: int = MOST_NAMES) -> str:
    """Names in one line, the later ones only counted."""
    more = f" and {len(names) - most} more" if len(names) > most else ""
    return "; ".join(names[:most]) + more


def _is_told(conflict: ConflictShown, alone: set[str]) -> bool:
    """Whether a conflict is the one rule of a clash already told."""
    rules = [m.name for m in conflict.members if m.kind == "rule"]
    return len(rules) == 1 and rules[0] in alone and all(m.kind in ("rule", "part") for m in conflict.members)


def refused_headline(goal: str, conflicts: Sequence[ConflictShown], relaxations: Sequence[RelaxationShown]) -> str:
    """One line that stands alone: no build, and how much has to give."""
    if not conflicts:
        return f"{goal}: no build meets this goal; which of its lines clash could not be told in the steps allowed"
    least = min((len(r.changes) for r in relaxations), default=0)
    surely = min((len(r.changes) for r in relaxations if _surely(r)), default=least)
    more = f", {surely} if nothing may be left in doubt" if surely > least else ""
    give = f"; at least {counted(least, 'line')} of it must give way{more}" if least else ""
    return f"{goal}: no build meets this goal{give}"


def counted(count: int, word: str) -> str:
    """A number of things in words."""
    return f"{count:,} {word}{'' if count == 1 else 's'}"


def conflict_lines(conflicts: Sequence[ConflictShown]) -> list[str]:
    """Each conflict: what was asked, how near the rest comes to each line, the rules behind it, what settles it."""
    lines: list[str] = []
    told_before: dict[tuple[str, ...], int] = {}
    for number, conflict in enumerate(conflicts, 1):
        asked = [m for m in conflict.members if m.kind != "rule"]
        rules = [m for m in conflict.members if m.kind == "rule"]
        names = "; ".join(m.text for m in asked) if asked else "the rules of the trade among themselves"
        alone = ", whatever else gives way" if len(asked) == 1 else ""
        lines += ["", f"Conflict {number}: {names}{alone}"]
        if not conflict.minimal:
            lines.append("  whether all of this is needed for the clash could not be told in the steps allowed")
        gives = {m.line: m for m in conflict.mends if m.line is not None}
        settles = [m for m in asked if m.name in gives or (m.kind == "part" and conflict.minimal)]
        several = len(asked) > 1 and settles == asked
        if several:
            lines.append("  one of these giving way settles it:")
        for member in asked:
            lines += _asked(member, gives.get(member.name), several)
        rest = [m for m in conflict.mends if m.line is None or m.line not in {a.name for a in asked}]
        names_of_rules = tuple(m.name for m in rules)
        if names_of_rules and names_of_rules in told_before:
            lines.append(f"  because of the same rules as in conflict {told_before[names_of_rules]}")
            rules = []
        elif rules and asked:
            lines.append("  because:")
        told_before.setdefault(names_of_rules, number)
        # Where the proof could not be made small, the document has all of it.
        told = rules if conflict.minimal else rules[:MOST_RULES]
        lines += [x for member in told for x in _rule(member)]
        if len(told) < len(rules):
            lines.append(f"- and {len(rules) - len(told)} more rules that may have to do with it")
        lines += _other_rules(conflict, set(names_of_rules)) if rules else []
        lines += _mends(rest)
        if not conflict.ways_out_complete:
            lines.append(NOT_ALL)
        elif not conflict.mends:
            lines.append("  nothing in this catalogue changes that, whatever else is fitted")
    return lines


def _asked(member: MemberShown, mend: MendShown | None, several: bool) -> list[str]:
    """A line of a conflict, and how little of it has to give for the rest to be met."""
    if member.kind == "part" and several:
        return [f"- {member.text} left out"]
    gap = next((f", {r.gap} off" for r in member.reasons if r.gap), "")
    if mend is not None:
        name = member.text.partition(":")[0]
        give = mend.text.removeprefix(f"{name} ").removeprefix(f"{member.text} ")
        would = give if mend.kind == "dropped line" else f"{give} would do{gap}"
        cost = "" if mend.total is None or not (mend.also or mend.total.hi) else f"{mend.total.text} in all"
        also = f"with {_listed(mend.also)}" if mend.also else ""
        how = " ".join(x for x in (cost, also) if x)
        return [f"- {member.text} asked; {would}", *([f"  {how}{_if_checked(mend)}"] if how else [])]
    if member.kind == "limit" and member.reasons:
        reason = member.reasons[0]
        return [f"- {member.text}: for example {reason.left.what} {reason.left.value}{gap}"]
    return [f"- {member.text}"]


def _rule(member: MemberShown) -> list[str]:
    """A rule: what it says against the nearest way round it, then why it is one."""
    source = f"; {member.source}" if member.source else ""
    why = f"  {member.text} [{member.name}{source}]"
    if not member.reasons:
        return ["-" + why[1:]]
    more = f"; and {len(member.reasons) - 1} more of the kind" if len(member.reasons) > 1 else ""
    fitted = f", with {_listed(member.fitted)}" if member.fitted else ""
    on = f"so the {' and the '.join(p.replace('_', ' ') for p in member.reaches)}: " if member.reaches else ""
    return [f"- {on}{sentence(member.reasons[0])}{fitted}{more}", why]


def _other_rules(conflict: ConflictShown, told: set[str]) -> list[str]:
    """The further proofs, by the rules they have that the first has not."""
    if not conflict.other_rules:
        return []
    new = [" and ".join(n for n in rules if n not in told) for rules in conflict.other_rules]
    more = "" if conflict.all_rules else "; there may be more"
    shut = ", or by ".join(dict.fromkeys(n for n in new if n))
    return [f"  the same lines clash over {shut} as well{more}"] if shut else []


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
    return [*lines, *_mends(new, head), *more]


def _mend(mend: MendShown) -> str:
    text = mend.text if mend.kind in ("nothing there", "relaxed limit", "dropped line") else f"{mend.kind}: {mend.text}"
    if mend.price is not None and mend.kind not in ("what is fitted now", "nothing there"):
        text += f", {mend.price.text}"
    if mend.also:
        text += f", with {_listed(mend.also)}"
    if mend.total is not None:
        text += f"; {mend.total.text} in all"
    return f"  - {text}{_if_checked(mend)}"


def _if_checked(mend: MendShown) -> str:
    return "" if mend.verdict == "fits" else ", if checked"


def _mends(mends: Sequence[MendShown], head: str = "what would help:") -> list[str]:
    return [f"  {head}", *(_mend(m) for m in mends)] if mends else []


def _together(document: WhyDocument) -> list[str]:
    whole = document.together
    if whole is None or not whole.also:
        return []
    price = "" if whole.total is None else f": {whole.total.text} in all, the least it can be"
    return ["", f"They go on the car together with {_listed(whole.also)}{price}"]


def relaxation_lines(relaxations: Sequence[RelaxationShown]) -> list[str]:
    """The ways out: those that certainly fit, then those that do if checked; everything not named stays as asked."""
    heads = {
        True: "Ways out: change only this, and a build meets all the rest for certain (each solved again)",
        False: "Ways out that are less of a change, if what is in doubt turns out well",
    }
    if not any(_surely(r) for r in relaxations):
        heads[False] = "Ways out: change only this, and a build meets all the rest if checked (each solved again)"
    lines: list[str] = []
    for number, relaxation in enumerate(relaxations, 1):
        if number == 1 or _surely(relaxation) != _surely(relaxations[number - 2]):
            lines += ["", heads[_surely(relaxation)]]
        head, *more = [_change(c) for c in relaxation.changes]
        lines += [f"{number}. {head}", *(f"   {text}" for text in more)]
        least = "cheapest" if relaxation.cheapest else "for example"
        lines.append(f"   fit: {'; '.join(relaxation.new_parts) or 'nothing new'}")
        lines.append(f"   {least}: {relaxation.price.text}, {relaxation.hours.text}, skill {relaxation.skill}")
        lines += [f"   check first: {text}" for text in _by_part(relaxation)]
    return lines


def _by_part(relaxation: RelaxationShown) -> list[str]:
    """What to check, that of one part together: what is to be measured ends with the part's name and id."""
    found: dict[str, list[str]] = {}
    for check in relaxation.checks:
        name = next((n for n in relaxation.new_parts if f" of {n} (" in check), "")
        what, _, rest = check.partition(f" of {name} (") if name else (check, "", "")
        part = f"{name} ({rest.partition(')')[0]})" if name else ""
        found.setdefault(part, []).append(what)
    return [f"{part}: {_few(whats)}" for part, whats in found.items() if part] + found.get("", [])


def _few(names: Sequence[str]) -> str:
    more = f" and {len(names) - MOST_CHECKS} more" if len(names) > MOST_CHECKS else ""
    return ", ".join(names[:MOST_CHECKS]) + more


def _surely(relaxation: RelaxationShown) -> bool:
    return relaxation.verdict == "fits"


def _change(change: ChangeShown) -> str:
    if change.value is None:
        return change.new
    asked = change.old.partition(": ")[2] or change.old
    nearest = "" if change.nearest else "; whether less would do could not be told"
    now = ", as it is now" if change.as_now else ""
    return f"{change.new}{now} (you asked {asked}{nearest})"


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


def ledger_lines(ledger: Ledger | None) -> list[str]:
    """The ledger: exact counts, or that something was not counted."""
    if ledger is None:
        return []
    from ..tables import table

    meeting = f"{ledger.meeting:,} meet the goal" if ledger.meeting is not None else "how many meet it was not counted"
    head = f"Why others fail: of {ledger.combinations:,} combinations {meeting}"
    if ledger.not_counted:
        head += f" ({ledger.not_counted})"
    counted_rules = [r for r in ledger.rules if r.alone is not None]
    rows = [
        [
            r.relation,
            share(r.alone or 0, ledger.combinations),
            f"{r.alone:,}",
            f"{r.beyond:,}" if r.beyond else "",
        ]
        for r in counted_rules[:MOST_RULES]
    ]
    lines = [head, *table(["rule", "share", "it alone rules out", "beyond all others"], rows)]
    if len(counted_rules) > MOST_RULES:
        lines.append(f"  and {len(counted_rules) - MOST_RULES} more rules")
    uncounted = len(ledger.rules) - len(counted_rules)
    if uncounted:
        lines.append(f"  {counted(uncounted, 'rule')} looking at too many parts at once: not counted")
    return lines


def share(count: int, total: int) -> str:
    """A part of a whole in percent; never a round 100 or 0 that is none."""
    tenths = 1000 * count // total
    return f"{tenths // 10}.{tenths % 10} %"
