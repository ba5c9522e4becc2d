"""What a fastener is tightened to: its maker's figure, else from thread, grade and friction, else unknown."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from knowledge.formulas.fasteners import preload_from_torque, proof_load, torque_from_preload
from knowledge.standards.fastening import Thread, grade_called, nut_factors, scatter, thread_called, threads
from shared.evidence import UNKNOWN, Value
from shared.layout import Input
from shared.part import Part
from shared.ranges import Range
from shared.work import Fastener

from ..problem import Problem
from ..relations import Build

Basis = Literal["the part's maker", "the car's maker", "computed", "unknown", "not by torque"]

# A diameter read on a bolt means the nominal size within this; 12 mm and 1/2 in are 0.7 mm apart.
NOMINAL = 0.2e-3
CLASS_SOURCE = "T = K F d (Shigley, Mechanical Engineering Design, eq. 8-27)"


@dataclass(frozen=True)
class Rung:
    """One line of a class table: the torque [N m] for a grade, and the share of its proof load it really gives.

    ``torque`` gives the share aimed at where the nut factor is as in its table; ``reached`` [1] and ``preload`` [N]
    are what it gives where the nut factor lies anywhere within its scatter.
    """

    grade: str
    torque: Range
    preload: Range
    reached: Range


@dataclass(frozen=True)
class Torque:
    """What is known of a fastener's torque [N m].

    ``torque`` is ``None`` where there is none, or where it hangs on the mark on the head: then ``rungs`` has a line
    for each mark.  ``needs`` says what to find out.
    """

    fastener: Fastener
    torque: Range | None
    basis: Basis
    threads: tuple[str, ...]
    rungs: tuple[Rung, ...]
    nut_factor: float
    scatter: float
    source: str
    needs: tuple[str, ...] = ()


def class_torque(found: Iterable[Thread], grade: str, share: Range, condition: str) -> Rung | None:
    """The torque for ``share`` of the proof load of a bolt of one of these threads; ``None`` without such a grade.

    Where several threads come in question the range holds that of each.
    """
    factor, spread = nut_factors()[condition], scatter()[condition]
    rung: Rung | None = None
    for thread in found:
        strength = grade_called(grade, thread.form, thread.major)
        if strength is None:
            continue
        load = proof_load(thread.stress_area, strength.proof)
        aimed = share.scaled(load)
        torque = Range(*(torque_from_preload(force, factor, thread.major) for force in (aimed.lo, aimed.hi)))
        preload = Range(
            preload_from_torque(torque.lo, factor * (1 + spread), thread.major),
            preload_from_torque(torque.hi, factor * (1 - spread), thread.major),
        )
        reached = Range(preload.lo / load, preload.hi / load)
        if rung is None:
            rung = Rung(strength.name, torque, preload, reached)
        else:
            rung = Rung(strength.name, rung.torque.hull(torque), rung.preload.hull(preload), rung.reached.hull(reached))
    return rung


def torque_of(fastener: Fastener, problem: Problem, build: Build) -> Torque:
    """The torque of a fastener in a build."""
    found = _threads(fastener, problem, build)
    rungs = _rungs(fastener, found, problem, build)
    factor, spread = nut_factors()[fastener.condition], scatter()[fastener.condition]
    names = tuple(dict.fromkeys(thread.name for thread in found))

    def answer(torque: Range | None, basis: Basis, source: str, needs: tuple[str, ...] = ()) -> Torque:
        return Torque(fastener, torque, basis, names, rungs, factor, spread, source, needs)

    for item in fastener.maker:
        stated = _stated(item, problem, build)
        if not isinstance(stated.value, Range):
            continue
        if item.source == "part":
            return answer(stated.value, "the part's maker", _said(stated))
        if _own(fastener, problem, build):
            return answer(stated.value, "the car's maker", _said(stated))
    if rungs:
        source = f"{CLASS_SOURCE}; {found[0].source}; {rungs[0].grade.split(' class')[0].split(' grade')[0]}"
        if len(rungs) == 1:
            return answer(rungs[0].torque, "computed", source)
        return answer(None, "computed", source, ("the mark on the head or the nut",))
    if not (fastener.maker or fastener.threads or fastener.sizes):
        return answer(None, "not by torque", fastener.source)
    needs = ["the maker's figure"]
    if (fastener.threads or fastener.sizes) and not found:
        needs.append("the thread, by a gauge")
    return answer(None, "unknown", fastener.source, tuple(needs))


def _said(value: Value) -> str:
    return value.note or value.evidence.word


def _stated(item: Input, problem: Problem, build: Build) -> Value:
    """What a part of the build or the car states."""
    if item.source == "vehicle":
        return problem.garage.vehicle.attribute(item.name)
    if item.source == "part":
        part = build[item.name]
        return UNKNOWN if part is None else part.attribute(item.path)
    return item.value or UNKNOWN


def _own(fastener: Fastener, problem: Problem, build: Build) -> bool:
    """Whether the car maker's figure still holds: its own parts, or others with the very thread.

    An own part that was worked on (leaves re-arched) is still the car's own, unless the work changed its bolt.
    """
    if all(build[at] is problem.stock[at] for at in fastener.own):
        return True
    bolt = (*fastener.threads, *fastener.sizes)
    if all(_is_own(build[at], problem.stock[at]) for at in fastener.own) and all(
        _stated(item, problem, build).value == _stated(item, problem, problem.stock).value for item in bolt
    ):
        return True
    now, before = (_threads(fastener, problem, b) for b in (build, problem.stock))
    return bool(fastener.threads) and bool(now) and now == before


def _is_own(part: Part | None, stock: Part | None) -> bool:
    """Whether a part is the one on the car, altered or not."""
    return part is stock or (part is not None and stock is not None and part.own and part.base == stock.id)


def _threads(fastener: Fastener, problem: Problem, build: Build) -> tuple[Thread, ...]:
    for item in fastener.threads:
        stated = _stated(item, problem, build).value
        found = thread_called(stated) if isinstance(stated, str) else None
        if found is not None:
            return (found,)
    for item in fastener.sizes:
        size = _stated(item, problem, build).value
        if isinstance(size, Range):
            near = Range(size.lo - NOMINAL, size.hi + NOMINAL)
            return tuple(thread for thread in threads().values() if near.contains(thread.major))
    return ()


def _rungs(fastener: Fastener, found: tuple[Thread, ...], problem: Problem, build: Build) -> tuple[Rung, ...]:
    marks: tuple[str, ...] = fastener.grades
    if fastener.grade is not None:
        stated = _stated(fastener.grade, problem, build).value
        if isinstance(stated, str):
            marks = (stated,)
    rungs = (class_torque(found, mark, fastener.share, fastener.condition) for mark in marks)
    return tuple(rung for rung in rungs if rung is not None)
