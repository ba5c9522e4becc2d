"""What is to be drawn: a build out of a plan's file, out of a goal, out of parts somebody chose, or a refusal."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TypeVar

from pydantic import ValidationError

from knowledge.files.documents import not_a_file
from knowledge.files.shape import expected_of
from knowledge.garage import read_goal
from shared.explained import ConflictShown
from shared.faults import BadInput, Fault
from shared.part import Part
from shared.plan import PLAN_FORMAT, PLAN_VERSION, BuildShown, PlanDocument
from shared.units import System
from shared.verdict import Verdict

from ..explain.questions import Questions
from ..explain.refusal import independent_conflicts
from ..problem import Problem, build_problem
from ..relations import Build, Relation
from ..search.best import best_builds
from .otherwise import Otherwise, otherwise
from .plain import clipped

MOST_BYTES = 50_000_000

T = TypeVar("T")


@dataclass(frozen=True)
class Drawn:
    """A build to draw; each of ``conflicts`` is a set of relations that cannot all hold, if it comes from a refusal.

    ``wants`` tells whether the goal's own lines are part of the question, ``otherwise`` what the conflicts' text says.
    """

    problem: Problem
    build: Build
    conflicts: tuple[tuple[Relation, ...], ...] = ()
    title: str = ""
    wants: bool = True
    otherwise: Otherwise = field(default_factory=dict)


def _bad(file: Path, code: str, found: str, expected: str, mend: str = "") -> BadInput:
    return BadInput([Fault(str(file), 0, code, found, expected, mend)])


def is_plan(source: Path) -> bool:
    """Whether a file is a plan's JSON rather than a goal."""
    if source.suffix.lower() == ".json":
        return True
    try:
        with source.open("rb") as file:
            return file.read(64).lstrip(b"\xef\xbb\xbf \t\r\n").startswith(b"{")
    except OSError:
        return False


def read_plan(source: Path) -> PlanDocument:
    """A plan as ``swapwright plan --json`` wrote it.

    Raises :class:`BadInput` where the file is not one.
    """
    again = "write it anew: swapwright plan GOAL --json --out plan.json"
    if there := not_a_file(source):
        raise _bad(source, "not-a-file", there, "a plan's JSON", again)
    try:
        data = source.read_bytes()
    except OSError as error:
        raise _bad(source, "not-a-file", str(error.strerror or "cannot be read"), "a plan's JSON", again) from None
    if len(data) > MOST_BYTES:
        raise _bad(source, "too-big", f"{len(data):,} bytes", f"at most {MOST_BYTES:,}", again)
    version = _version_of(data)
    if version is not None and version != PLAN_VERSION:
        found = f"a plan of version {version}"
        raise _bad(source, "version", found, f"version {PLAN_VERSION}, which this program writes and reads", again)
    try:
        return PlanDocument.model_validate_json(data)
    except ValidationError as error:
        first = error.errors(include_url=False, include_input=False)[0]
        where = ".".join(str(x) for x in first["loc"])[:200] or "the file"
        found = f"{where} is not {expected_of(first)}"
        if first["type"] in ("missing", "json_invalid"):
            found = f"no {where} in it" if first["type"] == "missing" else "no whole JSON"
        raise _bad(source, "shape", found, f"`{PLAN_FORMAT}`, version {PLAN_VERSION}", again) from None


def _version_of(data: bytes) -> object:
    """The version a plan's JSON says it has; ``None`` where it is no plan or says none."""
    try:
        tree = json.loads(data)
    except (ValueError, RecursionError):
        return None
    said = tree.get("version") if isinstance(tree, dict) and tree.get("format") == PLAN_FORMAT else None
    return said if isinstance(said, int | str) else None


def goal_of(document: PlanDocument, source: Path) -> Path:
    """The goal's file a plan was made from: as written in it, or beside the plan."""
    named = Path(document.goal_file)
    for candidate in (named, source.parent / named, source.parent / named.name):
        if candidate.is_file():
            return candidate
    raise _bad(
        source,
        "not-a-file",
        f"its goal {named.name!r} is not there",
        "the goal's file where the plan says it is, or beside the plan",
        "put the plan beside its goal, or plan again",
    )


def build_of(problem: Problem, shown: BuildShown, source: Path) -> Build:
    """A plan's build with the parts of the garage as it now is."""
    positions = problem.garage.layout.positions
    given = {part.position: part.id for part in shown.parts}
    again = "the catalogue or the layout has changed since: plan again"
    faults = []
    for at in positions:
        if at not in given:
            faults.append(
                Fault(str(source), 0, "shape", f"nothing said about {at}", "a part for every position", again)
            )
        elif given[at] is not None and given[at] not in problem.garage.parts:
            faults.append(Fault(str(source), 0, "unknown-part", repr(given[at]), "a part of the catalogue", again))
    for at in given:
        if at not in positions:
            faults.append(Fault(str(source), 0, "unknown-position", repr(at), "a position of the layout", again))
    if faults:
        raise BadInput(faults)
    return {at: None if (name := given[at]) is None else problem.garage.parts[name] for at in positions}


@dataclass(frozen=True)
class Opened:
    """A plan's file or a goal, read: its problem and the build asked for; ``None`` where there is none.

    ``conflicts`` are those a plan's file tells of.
    """

    problem: Problem
    goal_file: Path
    build: Build | None
    conflicts: tuple[ConflictShown, ...] = ()


def opened(source: Path, number: int = 1, units: System = "metric") -> Opened:
    """A plan's file read and its goal with it, or a goal planned; ``number`` is the build's.

    Raises :class:`BadInput` with every fault of every file.
    """
    document = read_plan(source) if is_plan(source) else None
    goal_file = source if document is None else goal_of(document, source)
    problem = build_problem(*read_goal(goal_file, units))
    if document is None:
        found = best_builds(problem, number).builds
        return Opened(problem, goal_file, _numbered(found, number, source).build if found else None)
    if document.builds:
        return Opened(problem, goal_file, build_of(problem, _numbered(document.builds, number, source), source))
    return Opened(problem, goal_file, None, document.conflicts)


def drawn(source: Path, number: int = 1, parts: Sequence[str] = (), units: System = "metric") -> Drawn:
    """What a source, a build's number and chosen parts mean.

    A plan's file is read and its goal with it; a goal is planned.  With ``parts`` nothing is planned: they are put
    into the car as it stands (or into the plan's build).  Where there is no build, the refusal is drawn.
    """
    if parts and not is_plan(source):
        problem = build_problem(*read_goal(source, units))
        return _chosen(problem, problem.stock, parts, source)
    found = opened(source, number, units)
    problem = found.problem
    if parts:
        return _chosen(problem, problem.stock if found.build is None else found.build, parts, source)
    if found.build is not None:
        return Drawn(problem, found.build)
    told = [(_members(problem, some), some) for some in found.conflicts] or independent_conflicts(problem, units)
    made = refused(problem, [relations for relations, _ in told], number, source)
    return replace(made, otherwise=otherwise(conflict for _, conflict in told))


def _members(problem: Problem, conflict: ConflictShown) -> list[Relation]:
    names = {r for member in conflict.members for r in member.relations}
    return [r for r in problem.hard if r.name in names]


def _numbered(builds: Sequence[T], number: int, source: Path) -> T:
    if not 1 <= number <= len(builds):
        raise _bad(source, "bad-value", f"build {number}", f"1 to {len(builds)}")
    return builds[number - 1]


_LEFT_OUT = {"mate": 0, "requirement": 1, "belonging": 2, "goal limit": 3, "goal choice": 4}


def refused(problem: Problem, conflicts: Sequence[Sequence[Relation]], number: int, source: Path) -> Drawn:
    """Conflicts on a build where all their members hold but one each.

    If no build does that for all conflicts at once, one alone is drawn and the title says so; a ``number`` above 1
    asks for one alone.
    """
    title = f"{problem.goal.name}: no build"
    if not conflicts:
        return Drawn(problem, problem.stock, (), title)
    one = [_numbered(conflicts, number, source)]
    questions = Questions(problem)
    together = None if number > 1 or len(conflicts) == 1 else clashing_build(questions, conflicts)
    if together is not None:
        return Drawn(problem, together, tuple(map(tuple, conflicts)), title)
    build = clashing_build(questions, one)
    title += f", conflict {number} of {len(conflicts)}" if len(conflicts) > 1 else ""
    return Drawn(problem, problem.stock if build is None else build, tuple(map(tuple, one)), title)


def clashing_build(questions: Questions, conflicts: Sequence[Sequence[Relation]]) -> Build | None:
    """A build on which all members of every conflict hold but one; ``None`` if none was found.

    Left out is a mate if there is one, for two parts that do not meet can be pointed at; else a rule of the trade;
    else a goal line.
    """
    members = dict.fromkeys(r for some in conflicts for r in some)
    dropped = [min(some, key=lambda r: _LEFT_OUT[r.kind]) for some in conflicts if some]
    reply = questions.ask([r for r in members if r not in dropped])
    return None if reply is None else reply.build


# -- chosen parts


def resolve(problem: Problem, text: str, source: Path) -> tuple[str, Part | None]:
    """``position=part``, a part's id, or a position (its part is then ``None``, meaning: as it is)."""
    garage = problem.garage
    at, given, name = text.partition("=")
    if not given:
        if text in garage.layout.positions:
            return text, None
        at, name = "", text
    part = garage.parts.get(name)
    if part is None:
        known = (garage.parts,) if given else (garage.parts, garage.layout.positions)
        raise _unknown(source, name, known, "unknown-part", "the id of a part, or a position")
    if not at:
        if len(part.positions) != 1:
            choices = " or ".join(f"{p}={name}" for p in part.positions)
            raise _bad(source, "wrong-place", f"{name} can go to several places", "one of them", f"write {choices}")
        return part.positions[0], part
    if at not in garage.layout.positions:
        raise _unknown(source, at, (garage.layout.positions,), "unknown-position", "a position")
    if at not in part.positions:
        raise _bad(source, "wrong-place", f"{name} at {at}", f"a part for {', '.join(part.positions)}")
    return at, part


def _unknown(source: Path, name: str, known: Sequence[Mapping[str, object]], code: str, expected: str) -> BadInput:
    from knowledge.files.shape import nearest

    meant = next((mend for names in known if (mend := nearest(name[:100], names))), "")
    return _bad(source, code, repr(name[:100]), expected, meant)


def put(problem: Problem, build: Build, at: str, part: Part) -> dict[str, Part | None]:
    """A build with a part put in, and what it brings with it; what came with the part it replaces goes back."""
    found = dict(build)
    old = build[at]
    for place, other in build.items():
        if old is not None and other is not None and other.host == old.id:
            found[place] = problem.stock[place]
    found[at] = part
    for place in part.brings:
        brought = [p for p in problem.domains[place] if p is not None and p.host == part.id]
        if brought:
            found[place] = brought[0]
    return found


def _chosen(problem: Problem, base: Build, parts: Sequence[str], source: Path) -> Drawn:
    chosen = [resolve(problem, text, source) for text in parts]
    named = [(at, part) for at, part in chosen if part is not None]
    build: Build = base
    # Assemblies first, so that what is named by itself is kept over what an assembly brings.
    for at, part in sorted(named, key=lambda pair: (not pair[1].brings, pair[0])):
        build = put(problem, build, at, part)
    names = [clipped(part.name, 32) for _, part in named]
    title = " + ".join(names[:2]) + (f" + {len(names) - 2} more" if len(names) > 2 else "")
    return Drawn(problem, build, title=title or problem.goal.name, wants=False)


def broken(problem: Problem, build: Build) -> tuple[Relation, ...]:
    """The relations of the trade that refuse a build: mates, requirements, belonging."""
    trade = ("mate", "requirement", "belonging")
    return tuple(r for r in problem.hard if r.kind in trade and r.verdict(build) is Verdict.NO)
