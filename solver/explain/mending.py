"""Mends: single changes that let the rest of a conflict be met, named and priced."""

from __future__ import annotations

from collections.abc import Container, Mapping

from shared.explained import MendKind, MendShown
from shared.shown import Number
from shared.units import System

from ..problem import Problem
from ..words import VERDICT_WORDS, money
from .questions import Line
from .relaxing import Relaxation
from .showing import given_up, limit_text, moved_by, new_parts, standing


def relaxed(
    problem: Problem, moves: Mapping[Line, Relaxation], chosen: Container[str], units: System
) -> tuple[MendShown, ...]:
    """Lines of the goal in a conflict, each moved or given up so that the rest of it can be met; cheapest first.

    Parts at ``chosen`` positions are not named again.
    """
    found = []
    for line, made in moves.items():
        moved = made.moved[0] if made.moved else None
        kind: MendKind = "dropped line" if moved is None else "relaxed limit"
        text = given_up(line, made.build) if moved is None else limit_text(moved, problem, units)
        price = money(problem.effort.price(made.build)) if made.verified else None
        others = {p: q for p, q in made.build.items() if p not in chosen}
        found.append(
            MendShown(
                kind=kind,
                text=text,
                line=line.name,
                total=price,
                also=new_parts(problem, others),
                off="" if moved is None else moved_by(moved, problem, units),
                verdict=VERDICT_WORDS[standing(made.relations, made.build)],
            )
        )
    return tuple(sorted(found, key=cheap))


def cheap(mend: MendShown) -> tuple[bool, float, float, str]:
    """The order of mends: certain ones first, then what they come to in all, then by themselves."""
    return mend.verdict != "fits", dear_end(mend.total), dear_end(mend.price), mend.text


def dear_end(value: Number | None) -> float:
    """The dear end of a price; infinite where it is unknown."""
    return float("inf") if value is None or value.hi is None else value.hi
