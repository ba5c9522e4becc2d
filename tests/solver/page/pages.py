"""Pages to test with: the small trailer as it comes, in doubt, refused, and with names one would not wish for."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

from knowledge.garage import read_goal
from solver.graph.sources import put, resolve
from solver.page.document import PageDocument
from solver.page.refusals import page_of_refusal
from solver.page.sheet import page_of_build
from solver.problem import Problem, build_problem

TRAILER = Path(__file__).parents[2] / "data" / "trailer"
DOUBTFUL = ("axle-big", "spring-wide", "wheel-tape")
HOSTILE = {
    "script": "<script>window.hit=1</script>",
    "closing": "</title></style></script></textarea></svg><script>window.hit=1</script>",
    "attribute": '" autofocus onfocus="window.hit=1" x="',
    "single quotes": "' onmouseover='window.hit=1",
    "image": "<img src=x onerror=window.hit=1>",
    "svg": "<svg onload=window.hit=1><animate onbegin=window.hit=1>",
    "link": "javascript:window.hit=1",
    "comment": "--><!--<![CDATA[<script>window.hit=1</script>]]>",
    "template": "{{ 7 * 7 }}{% for x in y %} ${window.hit=1} `window.hit=1`",
    "prototype": "__proto__",
    "controls": "a\u202eb\u2066c\ufeffd\u2028e\x07f",
    "right to left": "\u05d0\u05d1\u05d2 \u0645\u0631\u062d\u0628\u0627",
    "long": "W" * 10_000,
    "entities": "&lt;script&gt;&#x3c;script&#62;",
    "base": "<base href=//x.invalid><meta http-equiv=refresh content=0><form action=//x.invalid><iframe srcdoc=x>",
}


def trailer_problem(folder: Path = TRAILER) -> Problem:
    return build_problem(*read_goal(folder / "goal.yaml"))


def page_with(parts: tuple[str, ...], folder: Path = TRAILER) -> PageDocument:
    """The page of the trailer with some parts put in."""
    problem = trailer_problem(folder)
    build = problem.stock
    for name in parts:
        at, part = resolve(problem, name, folder / "goal.yaml")
        assert part is not None
        build = put(problem, build, at, part)
    return page_of_build(problem, build, 1, "metric")


def named_trailer(folder: Path, name: str) -> Path:
    """A copy of the trailer with one name wherever a stranger may write one."""
    shutil.copytree(TRAILER, folder, dirs_exist_ok=True)
    quoted = json.dumps(name, ensure_ascii=False).replace("\x07", "\\u0007").replace("\ufeff", "\\uFEFF")
    catalogue = folder / "catalogue.yaml"
    text = catalogue.read_text("utf-8")
    for old in ("Wide spring", "Wheel read with a tape", "Big axle"):
        assert f"name: {old}" in text
        donors = f"donors: [{{make: {quoted}, model: {quoted}, recognise: {quoted}, numbers: [{quoted}]}}]"
        text = text.replace(f"name: {old}", f"name: {quoted}, note: {quoted}, {donors}")
    catalogue.write_text(text, "utf-8")
    goal = folder / "goal.yaml"
    goal.write_text(goal.read_text("utf-8").replace("name: Higher bed", f"name: {quoted}\nabout: {quoted}"), "utf-8")
    vehicle = folder / "vehicle.yaml"
    vehicle.write_text(vehicle.read_text("utf-8").replace("name: The club's trailer", f"name: {quoted}"), "utf-8")
    return folder


def refused_trailer(folder: Path) -> Path:
    """The trailer with a goal that asks for two parts that do not go together."""
    if not folder.exists():
        shutil.copytree(TRAILER, folder)
    goal = folder / "goal.yaml"
    goal.write_text(goal.read_text("utf-8") + "use: {spring: spring-tall, axle: axle-big}\n", "utf-8")
    return folder


def refused_page(folder: Path) -> PageDocument:
    refused_trailer(folder)
    return page_of_refusal(trailer_problem(folder), "metric")
