"""From a build to what is on its page."""

from __future__ import annotations

from collections.abc import Sequence
from hashlib import sha256
from typing import Literal

from shared.plan import BuildShown, PartShown, QuantityShown, ReasonShown, VerdictWord
from shared.units import System
from shared.verdict import Verdict

from ..explain.answers import good_enough
from ..graph.model import Graph, graph_of_build
from ..graph.nodes import status_word
from ..graph.picture import svg
from ..graph.showing import showing
from ..graph.told import told
from ..planning import build_shown
from ..problem import Problem
from ..relations import Build
from ..search.enumeration import Found
from ..words import look, sentence, shown
from .document import (
    AnswerShown,
    BuyShown,
    LookShown,
    MeasureShown,
    PageDocument,
    PictureShown,
    SourceShown,
)
from .steps import steps_of, supplies_of

# A phone's width in a page's pixels less what makes letters of 11 px a little larger on it.
PICTURE_WIDE = 336.0
LOCAL_RULES = "local-rules"
HEARSAY = "hearsay"


def page_of_build(problem: Problem, build: Build, number: int, units: System) -> PageDocument:
    """The page of one build, judged by what the garage knows now."""
    whole = build_shown(problem, Found(0, False, (), build), number, units)
    verdict, broken = _judged(problem, build, units)
    graph = graph_of_build(problem, build, units, title=problem.goal.name)
    layout = problem.garage.layout
    rows = [q for q in whole.quantities if q.name not in ("price", "hours", "donors", "skill")]
    changed = [q.stock.text != q.new.text or q.verdict != "fits" for q in rows]
    answers: dict[VerdictWord, Literal["yes", "yes if checked", "no"]] = {
        "fits": "yes",
        "fits if checked": "yes if checked",
        "does not fit": "no",
    }
    return PageDocument(
        key=page_key(problem, [f"{p.position}={p.id}" for p in whole.parts]),
        goal=problem.goal.name,
        about=problem.goal.about,
        vehicle=problem.garage.vehicle.name,
        units=units,
        build=number,
        answer=answers[verdict],
        verdict=verdict,
        headline=_headline(whole, verdict, len(broken)),
        facts=(
            ("price", whole.price.text),
            ("work", whole.hours.text),
            ("skill", f"{whole.skill} of 4"),
            ("donor cars", str(len(whole.donors))),
        ),
        buy=tuple(_buy(problem, build, p) for p in whole.parts if p.status == "new" and p.id is not None),
        supplies=supplies_of(problem, build),
        removed=tuple(layout.positions[p.position].title for p in whole.parts if p.status == "removed"),
        moved=tuple(layout.positions[p.position].title for p in whole.parts if p.status == "moved"),
        kept=tuple(layout.positions[p.position].title for p in whole.parts if p.status == "kept"),
        measure=measures(problem, build, units),
        broken=tuple(broken),
        changed=tuple(sorted((q for q, c in zip(rows, changed, strict=True) if c), key=_weight)),
        unchanged=tuple(q for q, c in zip(rows, changed, strict=True) if not c),
        advice=_looks("advice", whole.advice),
        looks=_looks("look", whole.looks),
        steps=steps_of(problem, build, units),
        picture=picture(showing(graph, "changed")),
        local_rules=local_rules(problem),
    )


def local_rules(problem: Problem) -> str:
    """The layout's caution on rules that differ by place, if it has one."""
    found = problem.garage.layout.cautions.get(LOCAL_RULES)
    return "" if found is None else found.says


def _weight(row: QuantityShown) -> int:
    """What is outside or in doubt first, then what has a limit, then the rest."""
    return {"does not fit": 0, "fits if checked": 1, "fits": 2 if row.limits else 3}[row.verdict]


def picture(graph: Graph) -> PictureShown:
    """A picture for a phone, with the same in words."""
    return PictureShown(title=str(graph.graph["title"]), svg=svg(graph, PICTURE_WIDE, heading=False), words=told(graph))


def page_key(problem: Problem, parts: Sequence[str]) -> str:
    """A name for what the phone remembers of this very build."""
    text = "\n".join((problem.goal.name, problem.garage.vehicle.name, *parts))
    return sha256(text.encode("utf-8", "surrogatepass")).hexdigest()[:16]


def _judged(problem: Problem, build: Build, units: System) -> tuple[VerdictWord, list[ReasonShown]]:
    """The verdict, and why the build does not fit if it does not: its catalogue may have changed since planning."""
    verdicts = {r: r.verdict(build) for r in problem.hard}
    no = [shown(x, r.severity, units) for r, v in verdicts.items() if v is Verdict.NO for x in r.explain(build)]
    broken = [x for x in no if x.verdict == "does not fit"]
    if Verdict.NO in verdicts.values():
        return "does not fit", list(dict.fromkeys(broken))
    return ("fits if checked" if Verdict.CHECK in verdicts.values() else "fits"), []


def _headline(whole: BuildShown, verdict: VerdictWord, broken: int) -> str:
    new = sum(p.status == "new" for p in whole.parts)
    parts = f"{new} part{'' if new == 1 else 's'}"
    if verdict == "does not fit":
        return f"{parts}: does not fit any more, {broken} reason{'' if broken == 1 else 's'}; plan again"
    if verdict == "fits if checked":
        return f"{parts}: fits if what stands under Measure is as it has to be"
    beside = [f"{len(whole.advice)} of its advice not followed"] if whole.advice else []
    beside += [f"{len(whole.looks)} to look into"] if whole.looks else []
    return "; ".join([f"{parts}: every rule holds", *beside])


def _buy(problem: Problem, build: Build, part: PartShown) -> BuyShown:
    place, found = problem.garage.layout.positions[part.position], build[part.position]
    assert found is not None
    host = next((p.name for p in build.values() if p is not None and p.id == part.comes_with), part.comes_with)
    return BuyShown(
        key=f"buy:{part.position}",
        position=place.title,
        name=part.name,
        count=part.count,
        status=status_word(problem, part.position, build),
        price=part.price,
        buy=part.buy,
        sources=tuple(
            SourceShown(car=d.key, recognise=d.recognise, excluded=d.excluded, numbers=d.numbers) for d in found.donors
        ),
        comes_with=host or "",
        own=part.own,
        altered=part.altered,
        evidence=part.evidence,
        note=part.note,
        cautions=part.cautions,
    )


def measures(problem: Problem, build: Build, units: System) -> tuple[MeasureShown, ...]:
    """What to measure before paying, each thing once with every rule that hangs on it, and the good answers.

    Rules that hang on hearsay as a whole, without one attribute to name, come last and together.
    """
    found: dict[tuple[str, ...], list[AnswerShown]] = {}
    for relation in problem.hard:
        if relation.verdict(build) is not Verdict.CHECK:
            continue
        for reason in relation.explain(build):
            if reason.verdict is not Verdict.CHECK:
                continue
            out = shown(reason, relation.severity, units)
            answer = AnswerShown(
                says=out.says,
                sides=sentence(out),
                good_enough=good_enough(problem, build, relation, reason, units),
                source=out.source,
                trouble=out.trouble,
            )
            rows = found.setdefault(out.needs, [])
            if answer not in rows:
                rows.append(answer)
    ordered = sorted(found.items(), key=lambda item: not item[0])
    hearsay = [p.name for p in build.values() if p is not None and p.evidence < problem.goal.trust]
    return tuple(
        MeasureShown(
            key=f"measure:{'; '.join(what) or HEARSAY}",
            what=what,
            about="" if what else ", ".join(dict.fromkeys(hearsay)),
            good_enough=tuple(dict.fromkeys(row.good_enough for row in rows if row.good_enough)),
            answers=tuple(rows),
        )
        for what, rows in ordered
    )


def _looks(kind: str, reasons: Sequence[ReasonShown]) -> tuple[LookShown, ...]:
    return tuple(
        LookShown(
            key=f"{kind}:{i}:{r.relation}",
            says=says,
            about=about,
            source=r.source,
        )
        for i, r in enumerate(reasons)
        for says, about in (look(r),)
    )
