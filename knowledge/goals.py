"""Reading the goal: limits, choices, preferences, loads."""

from __future__ import annotations

from collections.abc import Mapping

from shared.evidence import EVIDENCE_WORDS, Evidence
from shared.goal import Aim, Goal, Limit, Load, Preference
from shared.interface import WORD
from shared.layout import Layout
from shared.part import Part, Place
from shared.reading import ReadingError, read_limits

from .files.documents import Document, Faults
from .files.shape import known_names, nearest_part, shaped, unknown_name
from .files.values import evidence_at, figure_at, quantity_at
from .goal_shapes import LOAD, GoalShape, PreferShape
from .layouts import EFFORT


def _measure_of(name: str, layout: Layout) -> str | None:
    if name in layout.quantities:
        return layout.quantities[name].measure
    return EFFORT.get(name)


def _quantity_names(layout: Layout) -> list[str]:
    return [*layout.quantities, *EFFORT]


def _preference(shape: PreferShape, i: int, document: Document, layout: Layout, faults: Faults) -> Preference | None:
    named: list[tuple[Aim, str]] = []
    if shape.least is not None:
        named.append(("least", shape.least))
    if shape.most is not None:
        named.append(("most", shape.most))
    if shape.near is not None:
        named.append(("near", shape.near))
    loc = ("prefer", i)
    if len(named) != 1:
        faults.add(document, loc, "shape", "none or several of least, most, near", "exactly one of them")
        return None
    aim, name = named[0]
    measure = _measure_of(name, layout)
    if measure is None and name != "advice":
        known = [*_quantity_names(layout), "advice"]
        unknown_name(name, known, "unknown-quantity", "a quantity, or advice", document, (*loc, aim), faults)
        return None
    measure = measure or "count"
    money, _, unit = shape.worth.partition(" per ")
    worth = figure_at(money, "money", document, (*loc, "worth"), faults)
    if worth is not None and worth < 0:
        other = {"least": "most", "most": "least"}.get(aim)
        mend = f"write {shape.worth.strip().removeprefix('-')}" + (
            f", or `{other}` in place of `{aim}`" if other else ""
        )
        faults.add(document, (*loc, "worth"), "bad-value", repr(shape.worth), "a worth of nothing or more", mend)
        return None
    step = "1" if unit.strip() in ("", "1") else f"1 {unit.strip()}"
    size = quantity_at(step, measure, document, (*loc, "worth"), faults)
    to = None if shape.to is None else figure_at(shape.to, measure, document, (*loc, "to"), faults)
    if aim != "least" and shape.to is None:
        faults.add(
            document,
            loc,
            "missing-key",
            f"{aim!r} without 'to'",
            "the value up to which more is worth anything" if aim == "most" else "the value to be near",
        )
        return None
    if worth is None or size is None or size.lo == 0.0:
        return None
    return Preference(name, aim, worth / size.hi, to, f"{aim} {name.replace('_', ' ')}: {shape.worth}")


def goal_of(document: Document, layout: Layout, parts: Mapping[str, Part], faults: Faults) -> Goal | None:
    """The goal that a document states; ``None`` and faults where its shape is wrong."""
    shape = shaped(GoalShape, document.tree, document, (), faults)
    if shape is None:
        return None
    limits = []
    for name, text in shape.want.items():
        loc = ("want", name)
        measure = _measure_of(name, layout)
        if measure is None or measure == WORD:
            unknown_name(name, _quantity_names(layout), "unknown-quantity", "a quantity", document, loc, faults)
            continue
        try:
            read_ = read_limits(text, measure)
        except ReadingError as error:
            faults.add(document, loc, "bad-value", error.found, error.expected, error.mend or "")
            continue
        limits.append(Limit(name, read_.at_least, read_.at_most, text, document.line(loc)))

    def positions(names: list[str], key: str) -> tuple[str, ...]:
        return known_names(names, layout.positions, "unknown-position", "a position", document, (key,), faults)

    use: dict[str, tuple[str, ...]] = {}
    for name, chosen in shape.use.items():
        ids = (chosen,) if isinstance(chosen, str) else tuple(chosen)
        if name not in layout.positions:
            unknown_name(name, layout.positions, "unknown-position", "a position", document, ("use", name), faults)
            continue
        for part in ids:
            if part not in parts and part != "none" and not faults.unsure_of(part):
                mend = nearest_part(part, parts, name)
                faults.add(document, ("use", name), "unknown-part", repr(part), "the id of a part", mend)
        use[name] = ids
    for i, part in enumerate(shape.avoid):
        if part not in parts and not faults.unsure_of(part):
            faults.add(
                document, ("avoid", i), "unknown-part", repr(part), "the id of a part", nearest_part(part, parts)
            )
    if shape.trust not in EVIDENCE_WORDS:
        evidence_at(shape.trust, document, ("trust",), faults)
    loads = []
    for i, load in enumerate(shape.loads):
        numbers = [
            figure_at(getattr(load, key), measure, document, ("loads", i, key), faults, valid)
            for key, (measure, valid) in LOAD.items()
        ]
        known = [n for n in numbers if n is not None]
        if len(known) == len(LOAD):
            loads.append(Load(load.name, *known))
    prefer = [_preference(p, i, document, layout, faults) for i, p in enumerate(shape.prefer)]
    return Goal(
        name=shape.name,
        limits=tuple(limits),
        keep=positions(shape.keep, "keep"),
        change=positions(shape.change, "change"),
        change_only=positions(shape.change_only, "change_only"),
        use=use,
        avoid=tuple(shape.avoid),
        avoid_makes=tuple(shape.avoid_makes),
        adapters=shape.adapters,
        alterations=shape.alterations,
        factory_fit=positions(shape.factory_fit, "factory_fit"),
        trust=EVIDENCE_WORDS.get(shape.trust, Evidence.CLAIMED),
        prefer=tuple(p for p in prefer if p is not None),
        loads=tuple(loads),
        about=shape.about,
        vehicle=shape.vehicle,
        catalogue=tuple(shape.catalogue),
        place=Place(document.name, 1),
    )
