"""A walk through the yard as text for somebody who stands in it."""

from __future__ import annotations

from collections.abc import Sequence

from shared.plan import PlanDocument

from ..folding import Line, fitted
from ..report import refusal_lines
from ..tables import Table
from ..words import CLOSING, OWN_ALTERED, and_more, had, needed
from .document import MissingShown, PullShown, ReadingShown, StopShown, UnknownCar, YardDocument

MOST_OTHER_CARS = 3  # told with what they are; of further ones where they stand
MOST_BETTER = 6  # parts that are not here and would be better: the best of them
MOST_UNKNOWN = 12  # cars that no part comes off
_HOW_MANY = {2: "both", 4: "all four"}


def yard_text(document: YardDocument, wide: int | None = None) -> str:
    """The whole walk, for paper or for a screen of ``wide`` columns: car by car, then what is bought and missing."""
    lines: list[Line] = [yard_headline(document), *_not_proved(document)]
    if not document.plan.builds:
        lines += refusal_lines(document.plan)
    elif document.stops:
        lines += ["", "At every car, before a bolt is turned", *(f"- {b}" for b in document.before)]
        for number, stop in enumerate(document.stops, 1):
            lines += ["", *_stop_lines(stop, number, len(document.stops))]
    else:
        lines += ["", "Nothing has to be pulled: the best build needs no part of these cars."]
    lines += _bought_lines(document)
    lines += _checks_lines(document)
    lines += _missing_lines(document)
    if document.untold:
        lines += ["", "Cars the list tells neither make nor model of; nothing is planned on them alone"]
        lines += [f"- {u.row or f'line {u.line}'}{': ' + u.notes if u.notes else ''}" for u in document.untold]
    lines += _unknown_lines(document.unknown)
    if document.plan.builds:
        lines += [
            "",
            "Each answer counts with everything else as planned; with two of them near their ends, plan again.",
            CLOSING,
        ]
    return fitted(lines, wide)


def yard_headline(document: YardDocument) -> str:
    """One line that stands alone."""
    here = f"{document.cars} car{'' if document.cars == 1 else 's'} here"
    if not document.plan.builds:
        end = "; the whole catalogue has one" if document.everything and document.everything.builds else ""
        return f"{document.goal}: no build out of the {here} and what is bought new{end}"
    best = document.plan.builds[0]
    pulls = sum(len(s.pulls) for s in document.stops)
    rows = ", ".join(s.row or f"line {s.line}" for s in document.stops)
    walk = f"{pulls} part{'' if pulls == 1 else 's'} off {len(document.stops)} of {here} ({rows})"
    if not pulls:
        walk = f"no part off the {here}"
    return f"{document.goal}: {best.verdict}; {walk}; {best.price.text} in all and {best.hours.text}"


def _not_proved(document: YardDocument) -> list[str]:
    """That fewer cars might do, where the search for the smallest set of them did not come to its end."""
    if len(document.stops) <= document.cars_at_least:
        return []
    return [f"Not proved to be the fewest cars that have it all: {document.cars_at_least} might do, fewer never."]


def _stop_lines(stop: StopShown, number: int, count: int) -> list[str]:
    where = stop.row or f"line {stop.line} of the list"
    lines = [f"Stop {number} of {count}: {where}, {stop.car}"]
    if stop.notes:
        lines.append(f"  the list says: {stop.notes}")
    for pull in stop.pulls:
        lines += ["", *_pull_lines(pull)]
    return lines


def _pull_lines(pull: PullShown) -> list[str]:
    many = f", {_HOW_MANY.get(pull.count, f'all {pull.count}')} from this car" if pull.count > 1 else ""
    lines = [f"  [ ] {pull.name} for the {pull.position.replace('_', ' ')}{many}: {pull.price.text}"]

    def add(title: str, items: Sequence[str], between: str = "; ") -> None:
        if items:
            lines.append(f"      {title}: {between.join(items)}")

    add("look first, or leave the car", pull.look)
    add("comes with it", pull.with_it)
    add("tell it by", pull.recognise)
    add("part number", pull.numbers, " or ")
    add("note", [pull.note] if pull.note else [])
    lines += _reading_lines(pull.readings, pull.name)
    add("LEAVE IT when", pull.leave_when)
    add("LEAVE IT unless", [f"{limit.what} {limit.good}" for limit in pull.limits])
    add("buy new with it", pull.always_new)
    add("caution", pull.cautions)
    for other in pull.other_cars[:MOST_OTHER_CARS]:
        look = f", if {'; '.join(other.look)}" if other.look else ""
        lines.append(f"      also in {other.row}: {other.car} ({other.verdict}{look})")
    if more_cars := pull.other_cars[MOST_OTHER_CARS:]:
        rows = (f"{o.row}{'' if o.verdict == 'fits' else ' if checked'}" for o in more_cars)
        lines.append(f"      and in {', '.join(rows)}")
    if pull.instead is not None:
        more = pull.instead.dearer
        worth = "for the same worth" if more == 0 else f"{abs(more):.0f} {'worse' if more > 0 else 'better'} in score"
        doubt = "" if pull.instead.verdict == "fits" else ", fits if checked"
        lines.append(f"      if it is bad: {pull.instead.name} ({pull.instead.source}), {worth}{doubt}")
    elif not pull.other_cars:
        lines.append("      if it is bad: nothing here stands in for it alone; take the car off the list and ask again")
    return lines


def _reading_lines(readings: Sequence[ReadingShown], name: str) -> list[str]:
    lines = ["      measure"] if readings else []
    for number, reading in enumerate(readings, 1):
        of = "" if reading.part == name else f" of {reading.part.split(' (with ')[0]}"
        decides = "; the plan hangs on it" if reading.doubtful else ""
        good = f"{reading.good} is good enough, " if reading.good else ""
        answer = f"has to be {reading.good}" if reading.good == reading.now else f"{good}{reading.now} expected"
        lines.append(f"      {number}. {reading.what}{of}: {answer}{decides}")
        more = [reading.how] if reading.how else []
        more += [f"else it is: {'; '.join(reading.sorts_out)}"] if reading.sorts_out else []
        lines += [f"         {x}" for x in more]
    return lines


def _bought_lines(document: YardDocument) -> list[Line]:
    lines: list[Line] = []
    for title, parts in (("Bought, not pulled", document.bought), (OWN_ALTERED.capitalize(), document.altered)):
        if parts:
            rows = [[b.name, b.position.replace("_", " "), b.price.text] for b in parts]
            lines += ["", title, Table(["part", "for", "price"], rows)]
    return lines


def _checks_lines(document: YardDocument) -> list[str]:
    checks = document.plan.builds[0].checks if document.plan.builds else ()
    if not checks:
        return []
    lines = ["", "The build fits only if these are looked at"]
    for check in checks:
        lines.append(f"- {check.says} [{check.relation}]")
        lines += [f"  {need}" for need in needed(check.needs)]
    return lines


def _missing_lines(document: YardDocument) -> list[str]:
    if not document.missing:
        return _nothing_missing(document.plan, document.everything)
    lines = ["", "Not here today"]
    wanted = [m for m in document.missing if m.saves is None]
    better = [m for m in document.missing if m.saves is not None]
    lines += [_missing_line(m) for m in (*wanted, *better[:MOST_BETTER])]
    if len(better) > MOST_BETTER:
        lines.append(f"- {and_more(len(better) - MOST_BETTER)}")
    if document.everything is not None and document.everything.builds:
        best = document.everything.builds[0]
        lines.append(
            f"With the whole catalogue the best build is {best.price.text} and {best.hours.text}, {best.verdict}:"
        )
        lines += [
            f"- {p.name} ({had(p.donors, p.buy)})" for p in best.parts if p.status == "new" and p.comes_with is None
        ]
    return lines


def _unknown_lines(unknown: Sequence[UnknownCar]) -> list[str]:
    """Cars that stand here for nothing: where one should not, its name or year may be wrong in the list."""
    if not unknown:
        return []
    lines = ["", "Cars here that no part of the catalogue comes off; if one should, look at its spelling and its year"]
    lines += [
        f"- {u.row or f'line {u.line}'}: {u.car}{': ' + u.notes if u.notes else ''}" for u in unknown[:MOST_UNKNOWN]
    ]
    return lines + ([f"- {and_more(len(unknown) - MOST_UNKNOWN)}"] if len(unknown) > MOST_UNKNOWN else [])


def _missing_line(missing: MissingShown) -> str:
    donors = " or ".join(missing.donors)
    worth = f", {missing.saves:.0f} better in score than {missing.instead_of}" if missing.saves is not None else ""
    return f"- {missing.name} for the {missing.position.replace('_', ' ')}, off {donors}: {missing.why}{worth}"


def _nothing_missing(plan: PlanDocument, everything: PlanDocument | None) -> list[str]:
    if not plan.builds and everything is not None and not everything.builds:
        return ["", "The whole catalogue has no build for this goal either: see swapwright why"]
    return []
