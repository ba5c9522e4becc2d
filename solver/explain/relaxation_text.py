"""A refusal in one line, and the ways out of it: what has to give, and what would do instead."""

from __future__ import annotations

from collections.abc import Sequence

from shared.explained import ChangeShown, ConflictShown, RelaxationShown

from ..words import counted


def refused_headline(
    goal: str, conflicts: Sequence[ConflictShown], relaxations: Sequence[RelaxationShown], whole: bool
) -> str:
    """One line that stands alone: no build, and how much has to give, or would do where not the ``whole`` was told."""
    if not conflicts:
        return f"{goal}: no build meets this goal; which of its lines clash could not be told in the steps allowed"
    least = min((len(r.changes) for r in relaxations), default=0)
    surely = min((len(r.changes) for r in relaxations if _surely(r)), default=least)
    more = f", {surely} if nothing may be left in doubt" if surely > least else ""
    give = f"; at least {counted(least, 'line')} of it must give way{more}" if least else ""
    if least and not whole:
        give = f"; {counted(least, 'line')} of it giving way is enough"
    return f"{goal}: no build meets this goal{give}"


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
    return [f"{part}: {', '.join(whats)}" for part, whats in found.items() if part] + found.get("", [])


def _surely(relaxation: RelaxationShown) -> bool:
    return relaxation.verdict == "fits"


def _change(change: ChangeShown) -> str:
    if change.value is None:
        return change.new
    asked = change.old.partition(": ")[2] or change.old
    nearest = "" if change.nearest else "; whether less would do could not be told"
    now = ", as it is now" if change.as_now else ""
    return f"{change.new}{now} (you asked {asked}{nearest})"
