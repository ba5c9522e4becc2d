"""Reading a layout's work: tasks and their steps, what lies apart, fasteners, cautions."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from graphlib import CycleError, TopologicalSorter
from typing import Any

from shared.interface import WORD
from shared.layout import Input
from shared.numerals import Refused, split_number, tidy
from shared.ranges import Range
from shared.work import Apart, Caution, Check, Consumable, Fastener, Later, Step, Task

from ..files.documents import Document, Faults, Loc
from ..files.shape import known_names
from ..files.values import quantity_at
from ..standards.fastening import grades, nut_factors, scatter
from ..standards.inspection import inspection_limits
from .expressions import Names, Reader
from .work_order import orders
from .work_shapes import ConsumableShape, FastenerShape, StepShape, TaskShape

Entry = tuple[Any, Document, Loc]
PRACTICE = "common practice, no source"
OF_A_TASK = {"title", "skill", "changed", "always", "with_tasks", "steps", "about", "after"}


@dataclass(frozen=True)
class Work:
    """Everything a layout says about work."""

    tasks: Mapping[str, Task]
    cautions: Mapping[str, Caution]
    apart: Mapping[str, Apart]
    fasteners: Mapping[str, Fastener]


@dataclass(frozen=True)
class _Known:
    """What the names in a step may mean."""

    positions: Iterable[str]
    steps: Iterable[str]
    tasks: Iterable[str]
    cautions: Iterable[str]
    apart: Iterable[str]
    fasteners: Iterable[str]


def read_work(sections: Mapping[str, Mapping[str, Entry]], names: Names, faults: Faults) -> Work:
    """The work of a layout out of its merged sections; faults for everything that cannot be meant."""
    tasks = sections["tasks"]
    steps = [f"{name}.{step.id}" for name, (task, _, _) in tasks.items() for step in task.steps]
    known = _Known(
        names.positions, {*tasks, *steps}, tasks, sections["cautions"], sections["apart"], sections["fasteners"]
    )
    work = Work(
        {k: _task(k, s, known, d, at, faults) for k, (s, d, at) in sorted(tasks.items())},
        {k: Caution(k, s.says, s.source) for k, (s, _, _) in sorted(sections["cautions"].items())},
        {k: Apart(k, s.about, s.stands) for k, (s, _, _) in sorted(sections["apart"].items())},
        {
            k: _fastener(k, s, tasks, Reader(names, d, faults), at)
            for k, (s, d, at) in sorted(sections["fasteners"].items())
        },
    )
    _once_each(work, sections, faults)
    _no_circle(work, tasks, faults)
    return work


def amount(text: str) -> tuple[float, str] | None:
    """An amount as a number and its unit: ``1.5 l``, ``2``, ``1 can``; words alone mean one of it.

    ``None`` where it cannot be read.

    >>> amount("1 1/2 l"), amount("set of 6"), amount("4")
    ((1.5, 'l'), (1.0, 'set of 6'), (4.0, ''))
    """
    try:
        text = tidy(text)
        if text[:1].isalpha():
            return 1.0, text
        _, number, unit = split_number(text)
    except Refused:
        return None
    unit = unit.strip()
    if number <= 0 or (unit and not unit[0].isalpha()):
        return None
    return float(number), unit


def _consumable(shape: ConsumableShape, document: Document, loc: Loc, faults: Faults) -> Consumable | None:
    price = quantity_at(shape.price, "money", document, (*loc, "price"), faults)
    read = amount(shape.amount)
    if read is None:
        faults.add(document, (*loc, "amount"), "bad-value", repr(shape.amount), "an amount, as 1.5 l, 2 or set")
    if price is None or read is None:
        return None
    return Consumable(shape.name, shape.amount, price.lo, price.hi, *read, shape.grade, shape.kind)


def _checks(shape: StepShape, document: Document, loc: Loc, faults: Faults) -> tuple[Check, ...]:
    found = []
    for i, item in enumerate(shape.checks):
        if isinstance(item, str):
            found.append(Check(item, PRACTICE))
            continue
        if item.inspection:
            at = (*loc, "checks", i, "inspection")
            known_names(
                (item.inspection,), inspection_limits(), "unknown-word", "an inspection limit", document, at, faults
            )
        found.append(Check(item.says, item.source, item.inspection))
    return tuple(found)


def _step(
    name: str, task: str, shape: StepShape, does: str, known: _Known, document: Document, loc: Loc, faults: Faults
) -> Step:
    def listed(key: str, words: Iterable[str], code: str, what: str) -> tuple[str, ...]:
        return known_names(getattr(shape, key), words, code, what, document, (*loc, key), faults)

    def apart(key: str) -> tuple[str, ...]:
        return listed(key, known.apart, "unknown-word", "something under apart")

    hours = quantity_at(shape.hours, "time", document, (*loc, "hours"), faults)
    consumables = [_consumable(c, document, (*loc, "consumables", i), faults) for i, c in enumerate(shape.consumables)]
    return Step(
        name,
        task,
        does,
        0.0 if hours is None else hours.hi,
        listed("after", known.steps, "unknown-word", "a task or step"),
        listed("rather_after", known.steps, "unknown-word", "a task or step"),
        apart("takes_apart"),
        apart("while_apart"),
        apart("puts_together"),
        listed("fits", known.positions, "unknown-position", "a position"),
        tuple(shape.at),
        shape.people,
        shape.sides,
        shape.drives,
        tuple(shape.tools),
        listed("fasteners", known.fasteners, "unknown-word", "a fastener"),
        tuple(c for c in consumables if c is not None),
        listed("cautions", known.cautions, "unknown-word", "a caution"),
        _checks(shape, document, loc, faults),
        tuple(
            Later(distance, item.says)
            for i, item in enumerate(shape.later)
            if (distance := quantity_at(item.distance, "length", document, (*loc, "later", i), faults)) is not None
        ),
    )


def _task(name: str, shape: TaskShape, known: _Known, document: Document, loc: Loc, faults: Faults) -> Task:
    if shape.steps:
        for key in sorted(shape.model_fields_set - OF_A_TASK):
            faults.add(document, (*loc, key), "contradiction", f"{key!r} beside steps", f"{key!r} within a step")
        steps = []
        for i, step in enumerate(shape.steps):
            at = (*loc, "steps", i)
            for key in ("id", "does"):
                if not getattr(step, key):
                    faults.add(document, at, "missing-key", f"no {key!r} here", f"the key {key!r}")
            if any(step.id == other.id for other in shape.steps[:i]):
                faults.add(document, (*at, "id"), "duplicate-id", repr(step.id), f"one step of that id in {name}")
            with_all = step.model_copy(update={"after": [*step.after, *shape.after]})
            steps.append(_step(f"{name}.{step.id}", name, with_all, step.does, known, document, at, faults))
    else:
        steps = [_step(name, name, shape, shape.does or shape.title, known, document, loc, faults)]
    changed = known_names(
        shape.changed, known.positions, "unknown-position", "a position", document, (*loc, "changed"), faults
    )
    fitted = (position for step in steps for position in step.fits)
    return Task(
        name,
        shape.title,
        sum(step.hours for step in steps),
        shape.skill,
        tuple(dict.fromkeys((*changed, *fitted))),
        shape.always,
        known_names(shape.with_tasks, known.tasks, "unknown-word", "a task", document, (*loc, "with_tasks"), faults),
        tuple(c for step in steps for c in step.consumables),
        tuple(steps),
        shape.about,
    )


def _fastener(name: str, shape: FastenerShape, tasks: Iterable[str], reader: Reader, loc: Loc) -> Fastener:
    document, faults = reader.document, reader.faults

    def stated(text: str, measure: str, at: Loc) -> Input | None:
        item = reader.named(text, measure, at)
        if item is not None and item.source not in ("part", "vehicle", "literal"):
            faults.add(document, at, "bad-value", repr(text), "what a part or the car states, or a value")
            return None
        return item if item is not None and reader.suits(item, text, measure, at) else None

    def inputs(key: str, measure: str) -> tuple[Input, ...]:
        read = [stated(text, measure, (*loc, key, i)) for i, text in enumerate(getattr(shape, key))]
        return tuple(item for item in read if item is not None)

    def listed(key: str, words: Iterable[str], code: str, what: str) -> tuple[str, ...]:
        return known_names(getattr(shape, key), words, code, what, document, (*loc, key), faults)

    known_names((shape.condition,), nut_factors(), "unknown-word", "a state of threads", document, loc, faults)
    share = quantity_at(shape.share, "share", document, (*loc, "share"), faults) or Range(0.5, 0.5)
    spread = scatter().get(shape.condition, 0.0)
    # A torque at the top of the range must not stretch a bolt whose threads happen to be slippery.
    if share.hi > (1 - spread) * (1 + 1e-9):
        found = f"{share.hi:.0%} of proof with friction known to {spread:.0%}"
        faults.add(document, (*loc, "share"), "contradiction", found, f"at most {1 - spread:.0%}")
    again = [quantity_at(text, "length", document, (*loc, "again", i), faults) for i, text in enumerate(shape.again)]
    return Fastener(
        name,
        shape.name,
        shape.how,
        shape.source,
        inputs("maker", "torque"),
        inputs("threads", WORD),
        inputs("sizes", "length"),
        listed("grades", {g.name for g in grades()}, "unknown-word", "a strength grade"),
        None if shape.grade is None else stated(shape.grade, WORD, (*loc, "grade")),
        share,
        shape.condition,
        tuple(r for r in again if r is not None),
        listed("own", reader.names.positions, "unknown-position", "a position"),
        listed("undone_by", tasks, "unknown-word", "a task"),
        listed("undone_with", reader.names.positions, "unknown-position", "a position"),
    )


def _once_each(work: Work, sections: Mapping[str, Mapping[str, Entry]], faults: Faults) -> None:
    """Everything apart has one step that opens it and one that closes it."""
    steps = [step for task in work.tasks.values() for step in task.steps]

    def users(of: Callable[[Step], tuple[str, ...]], thing: str) -> list[str]:
        return [step.id for step in steps if thing in of(step)]

    for thing, (_, document, loc) in sections["apart"].items():
        for what, found in (
            ("takes it apart", users(lambda s: s.takes_apart, thing)),
            ("puts it together", users(lambda s: s.puts_together, thing)),
        ):
            if len(found) != 1:
                said = ", ".join(found) or "none"
                faults.add(document, loc, "contradiction", f"steps where {what}: {said}", "exactly one such step")


def _no_circle(work: Work, section: Mapping[str, Entry], faults: Faults) -> None:
    steps = [step for task in work.tasks.values() for step in task.steps]
    needs: dict[str, set[str]] = {step.id: set() for step in steps}
    for order in orders(steps):
        if order.firm:
            needs[order.then].add(order.first)
    try:
        TopologicalSorter(needs).prepare()
    except CycleError as error:
        circle = error.args[1]
        task = circle[0].partition(".")[0]
        _, document, loc = section[task]
        said = " < ".join(circle)
        faults.add(document, loc, "cycle", f"work in a circle: {said}", "steps that do not wait for themselves")
