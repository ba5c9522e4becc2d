"""The conflicts of a refusal in words: what was asked, the rules behind it, and what settles it."""

from __future__ import annotations

from collections.abc import Sequence

from shared.explained import ConflictShown, MemberShown, MendShown

from ..words import and_more, sentence

MOST_RULES = 12
NOT_ALL = "  not all ways out were looked for"


def conflict_lines(conflicts: Sequence[ConflictShown]) -> list[str]:
    """Each conflict: what was asked, how near the rest comes to each line, the rules behind it, what settles it."""
    lines: list[str] = []
    told_before: dict[tuple[str, ...], int] = {}
    asked_before: list[str] = []
    for number, conflict in enumerate(conflicts, 1):
        asked = [m for m in conflict.members if m.kind != "rule"]
        rules = [m for m in conflict.members if m.kind == "rule"]
        names = "; ".join(m.text for m in asked) if asked else "the rules of the trade among themselves"
        alone = ", whatever else gives way" if len(asked) == 1 else ""
        same = asked_before == [m.name for m in asked]
        lines += ["", f"Conflict {number}: {'the same, for another reason' if same else f'{names}{alone}'}"]
        asked_before = [m.name for m in asked]
        if not conflict.minimal:
            lines.append("  whether all of this is needed for the clash could not be told in the steps allowed")
        gives = {m.line: m for m in conflict.mends if m.line is not None}
        settles = [m for m in asked if m.name in gives or (m.kind == "part" and conflict.minimal)]
        several = len(asked) > 1 and settles == asked
        if several:
            lines.append("  one of these giving way settles it:")
        for member in asked:
            lines += _asked(member, gives.get(member.name), several, len(asked) == 1)
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
            lines.append(f"- {and_more(len(rules) - len(told), 'more rules that may have to do with it')}")
        lines += _other_rules(conflict, set(names_of_rules)) if rules else []
        lines += mend_lines(rest)
        if not conflict.ways_out_complete:
            lines.append(NOT_ALL)
        elif not conflict.mends:
            lines.append("  nothing in this catalogue changes that, whatever else is fitted")
    return lines


def _asked(member: MemberShown, mend: MendShown | None, several: bool, single: bool) -> list[str]:
    """A line of a conflict, and how little of it has to give for the rest to be met.

    A ``single`` part is told by the heading; of ``several`` lines each would settle the conflict.
    """
    if member.kind == "part" and several:
        return [f"- {member.text} left out"]
    if mend is not None:
        name = member.text.partition(":")[0]
        give = mend.text.removeprefix(f"{name} ").removeprefix(f"{member.text} ")
        would = give if mend.kind == "dropped line" else f"{give} would do{f', {mend.off} off' if mend.off else ''}"
        cost = "" if mend.total is None or not (mend.also or mend.total.hi) else f"{mend.total.text} in all"
        also = f"with {'; '.join(mend.also)}" if mend.also else ""
        how = " ".join(x for x in (cost, also) if x)
        return [f"- {member.text} asked; {would}", *([f"  {how}{_if_checked(mend)}"] if how else [])]
    if single and member.kind == "part":
        return []
    if member.kind == "limit" and member.reasons:
        reason = member.reasons[0]
        gap = f", {reason.gap} off" if reason.gap else ""
        return [f"- {member.text}: for example {reason.left.what} {reason.left.value}{gap}"]
    return [f"- {member.text}"]


def _rule(member: MemberShown) -> list[str]:
    """A rule: what it says against the nearest way round it, then why it is one."""
    source = f"; {member.source}" if member.source else ""
    why = f"  {member.text} [{member.name}{source}]"
    if not member.reasons:
        return ["-" + why[1:]]
    more = f"; {and_more(len(member.reasons) - 1, 'more of the kind')}" if len(member.reasons) > 1 else ""
    fitted = f", with {'; '.join(member.fitted)}" if member.fitted else ""
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


def mend_lines(mends: Sequence[MendShown], head: str = "what would help:") -> list[str]:
    """What would help, one way a line."""
    return [f"  {head}", *(_mend(m) for m in mends)] if mends else []


def _mend(mend: MendShown) -> str:
    text = mend.text if mend.kind in ("nothing there", "relaxed limit", "dropped line") else f"{mend.kind}: {mend.text}"
    if mend.price is not None and mend.kind not in ("what is fitted now", "nothing there"):
        text += f", {mend.price.text}"
    if mend.also:
        text += f", with {'; '.join(mend.also)}"
    if mend.total is not None:
        text += f"; {mend.total.text} in all"
    return f"  - {text}{_if_checked(mend)}"


def _if_checked(mend: MendShown) -> str:
    return "" if mend.verdict == "fits" else ", if checked"
