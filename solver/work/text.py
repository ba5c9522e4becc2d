"""The work as text for the bench: the headline, what to have at hand, then step by step."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from ..folding import Line, fitted
from ..tables import Table
from ..words import CLOSING, counted, needed
from .document import NoWork, PartAtWork, StepShown, SupplyShown, TorqueShown, WorkDocument

PAPER = 112  # columns of a sheet for the bench
UNBROKEN = "\u00a0"  # a space that lines are not folded at


def work_text(document: WorkDocument | NoWork, people: int = 1, wide: int | None = None) -> str:
    """The whole work for paper, or for a screen of ``wide`` columns; ``people`` adds the timetable of two."""
    if isinstance(document, NoWork):
        return fitted([f"{document.goal}: {document.says}"], wide)
    if not document.steps:
        return fitted([f"{document.goal}, build {document.build}: nothing to do, it is the car as it stands"], wide)
    stands = [f"{document.stands} axle stands"] if document.stands else []
    tools = _section("Tools", [f"  {', '.join([*stands, *document.tools])}"])
    torques = {torque.id: torque for torque in document.torques}
    said: dict[str, int] = {}
    steps = [line for step in document.steps for line in _step(step, document, torques, said)]
    after = [*_section("Before the car moves", _drives(document)), *_section("Again, later", _later(document, torques))]
    lines = [*_idle_stands(document), *_chain(document), "", *_paper(document), *tools]
    lines += _section("Consumables", _supplies(document.consumables))
    lines += ["", "Step by step", *steps, *after]
    if people > 1:
        lines += _section(f"Two people: {document.two.hours.text}, {_proof(document)}", [_timetable(document)])
    body = fitted([*lines, "", CLOSING], min(PAPER, wide or PAPER)).replace(UNBROKEN, " ")
    return f"{fitted([headline(document)], wide)}\n{body}"


def headline(document: WorkDocument) -> str:
    """One line that stands alone."""
    count = len(document.steps)
    ends = f" on {document.stands} stands" if document.stands else ""
    return (
        f"{document.goal}, build {document.build}: {count} steps{ends}, {document.hours.text} alone, "
        f"{document.two.hours.text} for two ({_proof(document)})"
    )


def _idle_stands(document: WorkDocument) -> list[str]:
    """Why stands that are there are not used, where more of them would be."""
    if not document.stands < document.stands_there < document.stands_for_all:
        return []
    return [
        f"Of {document.stands_there} stands {document.stands} are under the car at once: "
        f"it would take {document.stands_for_all} to have everything up together"
    ]


def _chain(document: WorkDocument) -> list[str]:
    """The longest chain by the numbers of its steps."""
    number = {step.id: step.number for step in document.steps}
    steps = ", ".join(str(number[name]) for name in document.longest_chain)
    return [f"Longest chain, however many help: {document.longest.text} (steps {steps})"]


def _proof(document: WorkDocument) -> str:
    two = document.two
    return "proved: no order is shorter" if two.proved else f"no order can take less than {two.least.text}"


def _paper(document: WorkDocument) -> list[str]:
    """What was passed on paper, and what was not."""
    lines = [f"On paper {document.rules_held} rules hold for this build."]
    if document.rules_to_check:
        what = [*needed(document.to_measure), f"for {', '.join(document.rules_to_check)}"]
        lines.append(f"  To be measured first: {'; '.join(what)}")
    if document.rules_broken:
        lines.append(f"  BROKEN, do not build it: {', '.join(document.rules_broken)}")
    if document.looks:
        lines.append("Look into:")
    return lines + [f"  - {look.says}: {look.about} ({look.source})" for look in document.looks]


def _unbroken(text: str) -> str:
    """Words in brackets that stay on one line."""
    return f"[{text}]".replace(" ", UNBROKEN)


def _section(title: str, lines: Sequence[Line]) -> list[Line]:
    return ["", title, *lines] if lines else []


def _supplies(items: Iterable[SupplyShown]) -> list[Line]:
    rows = [[item.name, item.text, item.price.text, item.grade] for item in items]
    return [Table(["what", "amount", "price", "which"], rows)] if rows else []


def _step(
    step: StepShown, document: WorkDocument, torques: Mapping[str, TorqueShown], said: dict[str, int]
) -> list[str]:
    """One step; a caution or a torque already given is only pointed to."""
    marks = [step.hours.text] if step.hours.hi else []
    marks += [f"{step.people} people"] if step.people > 1 else []
    marks += ["drives"] if step.kind == "drive" else []
    marks += [f"skill {step.skill}"] if step.skill > 2 else []
    head = f"{step.does} {_unbroken(', '.join(marks))}" if marks else step.does
    lines = ["", f"{step.number:3d}. {head}", *(f"     + {part_line(part)}" for part in step.parts)]
    cautions = {caution.id: caution for caution in document.cautions}
    for name in step.cautions:
        if cautions[name].first == step.id:
            lines.append(f"     ! {cautions[name].says}")
    for name in step.torques:
        if name in said:
            lines.append(f"     * torque: {torques[name].name} as in step {said[name]}")
        else:
            said[name] = step.number
            lines.append(f"     * {torque_line(torques[name])}")
    for item in step.consumables:
        which = f", {item.grade}" if item.grade else ""
        lines.append(f"     - use: {item.name}, {item.text}{which}")
    for check in step.checks:
        limit = f" ({check.limit})" if check.limit else ""
        lines.append(f"     [ ] {check.says}{limit}")
    return lines


def part_line(part: PartAtWork) -> str:
    """What happens to a part: ``in: Lindel long soft coils (front coil)``."""
    words = {"in": "in", "over": "move over", "out": "leave out"}
    return f"{words[part.what]}: {part.name} ({part.position.replace('_', ' ')})"


def torque_line(torque: TorqueShown) -> str:
    """A torque in one sentence: the figure, the state of the threads, what it rests on, how it is done."""
    thread = " or ".join(torque.threads)
    friction = f"{torque.condition}, K {torque.nut_factor:.2f} within {torque.scatter * 100:.0f} %"
    if torque.basis in ("the part's maker", "the car's maker"):
        figure = f"{torque.torque.text} ({torque.basis}: {torque.source})"
    elif torque.basis == "not by torque":
        return f"tighten: {torque.name}: {torque.how}"
    elif torque.basis == "unknown":
        figure = f"no figure known: find {' and '.join(torque.needs)}"
    elif len(torque.by_grade) == 1:
        rung = torque.by_grade[0]
        figure = (
            f"{rung.torque.text} {friction}; {thread}, {rung.grade}: aims at {torque.aimed.text} of proof, "
            f"really {rung.reached.text}"
        )
    else:
        rows = "; ".join(f"{_mark(rung.grade)} {rung.torque.text}" for rung in torque.by_grade)
        reached = torque.by_grade[0].reached.text
        figure = (
            f"by the mark on the head, {thread}, {friction}: {rows}; aims at {torque.aimed.text} of proof, "
            f"really {reached}; the maker's figure goes first"
        )
    return f"torque: {torque.name}: {figure}; {torque.how}"


def _mark(grade: str) -> str:
    return grade.replace("ISO 898-1 class ", "").replace("SAE J429 ", "")


def _drives(document: WorkDocument) -> list[str]:
    number = {step.id: step.number for step in document.steps}
    return [
        f"  - step {number[drive.step]} ({drive.does.split(':')[0]}): {counted(drive.checks, 'check')} before it, "
        "each found good"
        for drive in document.drives
    ]


def _later(document: WorkDocument, torques: Mapping[str, TorqueShown]) -> list[str]:
    lines = []
    for due in document.later:
        what = [torques[name].name for name in due.torques] + list(due.says)
        lines.append(f"  - after {due.distance.text}: {', '.join(what)}")
    return lines


def _timetable(document: WorkDocument) -> Table:
    steps = {step.id: step for step in document.steps}
    rows: dict[str, list[str]] = {}
    for slot in document.two.slots:
        side = f", {slot.side} side" if slot.side else ""
        step = steps[slot.step]
        row = rows.setdefault(f"{_clock(slot.start)}-{_clock(slot.end)}", ["", ""])
        for person in slot.people:
            row[person - 1] = f"{step.number}. {step.does}{side}"
    return Table(["time", "first person", "second person"], [[time, *cells] for time, cells in rows.items()])


def _clock(seconds: int) -> str:
    minutes = -(-seconds // 60)
    return f"{minutes // 60}:{minutes % 60:02d}"
