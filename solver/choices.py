"""The goal's own choices, and belonging to an assembly, as relations."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping
from functools import partial

from knowledge.garage import Garage
from shared.goal import Goal
from shared.interface import WORD
from shared.part import Part
from shared.verdict import Reason, Side, Verdict

from .effort import Effort
from .relations import Build, Kind, LooksAt, Relation


def _name(part: Part | None) -> str:
    return "nothing" if part is None else part.name


def _relation(
    name: str,
    kind: Kind,
    scope: tuple[str, ...],
    allowed: Callable[[Build], bool],
    says: str,
    wanted: str,
    source: str,
    at: str,
    looks_at: LooksAt | None = None,
) -> Relation:
    """A relation that says yes or no, with the part at ``at`` as its one side and what is wanted as the other."""

    def judge(build: Build) -> Verdict:
        return Verdict.FITS if allowed(build) else Verdict.NO

    def explain(build: Build) -> tuple[Reason, ...]:
        if allowed(build):
            return ()
        left = Side("the part has", at.replace("_", " "), "part", _name(build[at]), WORD)
        right = Side("you asked" if source == "the goal" else "the rule demands", source, "wanted", wanted, WORD)
        return (Reason(name, Verdict.NO, says, left, right, None, WORD, source),)

    return Relation(name, kind, scope, judge, explain, says=says, source=source, parts=scope, looks_at=looks_at)


def _is_old(effort: Effort, at: str, part: Part | None) -> bool:
    return not effort.is_new(at, part)


def _is_one_of(ids: tuple[str, ...], part: Part | None) -> bool:
    if part is None:
        return "none" in ids
    return part.id in ids or (part.host is not None and part.base in ids)


def choice_relations(garage: Garage, goal: Goal, effort: Effort) -> list[Relation]:
    """What the goal says about single parts: keep, change, use, avoid, no adapters, no alterations."""
    found: list[Relation] = []

    def add(name: str, at: str, allowed: Callable[[Part | None], bool], says: str, wanted: str) -> None:
        found.append(_relation(name, "goal choice", (at,), lambda b: allowed(b[at]), says, wanted, "the goal", at))

    left_alone = [p for p in garage.layout.positions if goal.change_only and p not in goal.change_only]
    for at in dict.fromkeys([*goal.keep, *left_alone]):
        wanted = _name(effort.stock[at])
        add(f"keep {at}", at, partial(_is_old, effort, at), "you keep what is fitted there", wanted)
    for at in goal.change:
        unwanted = f"not {_name(effort.stock[at])}"
        add(f"change {at}", at, partial(effort.is_new, at), "you want another part there", unwanted)
    for at, ids in goal.use.items():
        add(f"use at {at}", at, partial(_is_one_of, ids), "you want a certain part there", " or ".join(ids))
    for position in garage.layout.positions:
        _avoid(garage, goal, effort, position, add)
    return found


def _avoid(
    garage: Garage,
    goal: Goal,
    effort: Effort,
    at: str,
    add: Callable[[str, str, Callable[[Part | None], bool], str, str], None],
) -> None:
    if goal.avoid:
        add(
            f"avoid at {at}",
            at,
            lambda p: p is None or (p.id not in goal.avoid and p.base not in goal.avoid),
            "you avoid this part",
            "any other part",
        )
    if goal.avoid_makes:
        add(
            f"avoid makes at {at}",
            at,
            lambda p: (
                p is None
                or not effort.is_new(at, p)
                or not p.donors
                or any(d.make not in goal.avoid_makes for d in p.donors)
            ),
            "you avoid this make",
            "a part of another make",
        )
    if not goal.alterations:
        add(
            f"no alteration at {at}",
            at,
            lambda p: p is None or not p.altered,
            "you want nothing cut, drilled or welded",
            "an unaltered part",
        )
    if not goal.adapters and at in adapter_positions(garage):
        add(
            f"no adapter at {at}",
            at,
            lambda p: p is None or not effort.is_new(at, p),
            "you want no adapters",
            "nothing in between",
        )


def adapter_positions(garage: Garage) -> frozenset[str]:
    """Positions whose parts sit between two others that could also meet directly."""
    return frozenset(step.position for join in garage.layout.joins for step in join.through)


def factory_fit_relations(garage: Garage, goal: Goal, effort: Effort) -> list[Relation]:
    """Bolts straight in: the part unaltered, and nothing new between it and what it meets."""
    found = []
    for at in goal.factory_fit:
        between = sorted(
            {
                step.position
                for join in garage.layout.joins
                if at in (join.left[0], join.right[0])
                for step in join.through
            }
        )

        def allowed(build: Build, at: str = at, between: list[str] = between) -> bool:
            part = build[at]
            return (part is None or not part.altered) and not any(
                build[p] is not None and effort.is_new(p, build[p]) for p in between
            )

        found.append(
            _relation(
                f"factory fit {at}",
                "goal choice",
                tuple(sorted({at, *between})),
                allowed,
                "it must bolt straight in, without adapter or alteration",
                "a part that bolts straight in",
                "the goal",
                at,
                lambda position, part: (part is None or part.altered, effort.is_new(position, part)),
            )
        )
    return found


def belonging_relations(domains: Mapping[str, tuple[Part | None, ...]]) -> list[Relation]:
    """A part that comes with an assembly is there only when the assembly is."""
    home: dict[str, str] = {}
    for at, parts in domains.items():
        for part in parts:
            if part is not None and part.brings:
                home[part.id] = at
    found = []
    for at, parts in domains.items():
        hosts = sorted({home[p.host] for p in parts if p is not None and p.host is not None and p.host in home})
        for host_at in hosts:

            def allowed(build: Build, at: str = at, host_at: str = host_at) -> bool:
                part, host = build[at], build[host_at]
                if part is None or part.host is None or home.get(part.host) != host_at:
                    return True
                return host is not None and host.id == part.host

            def looks_at(position: str, part: Part | None, at: str = at) -> Hashable:
                if part is None:
                    return None
                return part.host if position == at else part.id if at in part.brings else ""

            found.append(
                _relation(
                    f"{at} comes with {host_at}",
                    "belonging",
                    tuple(sorted({at, host_at})),
                    allowed,
                    "this part is only there with the assembly it comes with",
                    f"its assembly at {host_at}",
                    "the catalogue",
                    at,
                    looks_at,
                )
            )
    return found
