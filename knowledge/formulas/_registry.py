"""The register of formulas: what each one takes and gives, where it is valid, and which way it moves.

A formula is a plain function of SI floats (and, where a choice is meant, of words).  The decorator does
not wrap it; it only writes down what the function itself cannot say:

``valid``
    the closed range of each number, in SI, inside which the formula may be trusted;
``rises`` / ``falls``
    the arguments in which the result never goes down / never goes up over the whole of ``valid``.
``product``
    arguments above zero that count only by their product, so that they are searched as one.
``one_way``
    the arguments in which the result moves one way only whatever the others are, though which way hangs on them
    (a weight moves an axle's load up or down, as it sits behind or ahead): bounds lie at ends of their ranges.
``turns_at``
    the arguments in which the result moves one way only on either side of one point, and where that lies, worked out
    from all the arguments of which it may read those that are in one of the sets above (a shaft is shortest where it
    lies level): bounds lie at ends of their ranges or there.
    An argument in none of these turns somewhere: its range is searched inside, not only at its ends.
``size_of``
    where the result is the size of something that has a sign: that, as a :func:`signed` function.  Its bounds say
    those of the result, and nothing has to be searched for where the sign changes.

The measure and unit of every argument and of the result are read from the docstring, so that they are
written once, where a person looks for them.
"""

from __future__ import annotations

import inspect
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from math import inf
from typing import Any, TypeVar

F = TypeVar("F", bound=Callable[..., float])

REGISTER: dict[str, Formula] = {}


@dataclass(frozen=True)
class Argument:
    """One argument of a formula: its name, its measure (or ``word``), its SI unit, what it means."""

    name: str
    measure: str
    unit: str
    about: str
    default: float | str | None = None


@dataclass(frozen=True)
class Formula:
    """A registered formula: the function and what is known of it."""

    name: str
    subject: str
    function: Callable[..., float]
    valid: Mapping[str, tuple[float, float]]
    rises: frozenset[str]
    falls: frozenset[str]
    product: frozenset[str] = frozenset()
    one_way: frozenset[str] = frozenset()
    turns_at: Mapping[str, Callable[..., float]] = field(default_factory=dict)
    size_of: Formula | None = None

    @cached_property
    def moves(self) -> tuple[tuple[float, float, int | None], ...]:
        """For each argument its valid range, and which way the result moves with it: 1 up, -1 down, 0 one of them or
        one and then the other, ``None`` where it turns nobody says where.  Of a variadic formula one entry that holds
        for every argument.
        """
        ways = {
            **dict.fromkeys((*self.one_way, *self.turns_at), 0),
            **dict.fromkeys(self.falls, -1),
            **dict.fromkeys(self.rises, 1),
        }
        names = self.names or ("values",)
        return tuple((*self.valid.get(name, (-inf, inf)), ways.get(name)) for name in names)

    def moves_of(self, many: int) -> tuple[tuple[float, float, int | None], ...]:
        """The same for so many arguments."""
        return self.moves if self.names else self.moves * many

    @cached_property
    def names(self) -> tuple[str, ...]:
        """Argument names in the order of the signature; a variadic formula has none."""
        return tuple(
            p.name
            for p in inspect.signature(self.function).parameters.values()
            if p.kind is not inspect.Parameter.VAR_POSITIONAL
        )

    @cached_property
    def sections(self) -> Mapping[str, str]:
        """The docstring cut at its underlined headings; the text before the first is ``summary``."""
        text = inspect.getdoc(self.function) or ""
        parts = re.split(r"^(\w[\w ]*)\n-{3,}\n", text, flags=re.M)
        found = {"summary": parts[0].strip()}
        for heading, body in zip(parts[1::2], parts[2::2], strict=True):
            found[heading.lower()] = body.strip("\n")
        return found

    @cached_property
    def arguments(self) -> tuple[Argument, ...]:
        """The arguments as the docstring tells them, in its order."""
        entries = re.findall(
            r"^(\w+) : (\w+)(?: \[([^\]]*)\])?\n((?:[ ]{4,}.*\n?|\n)*)",
            self.sections.get("parameters", "") + "\n",
            re.M,
        )
        given: dict[str, Any] = {
            p.name: p.default
            for p in inspect.signature(self.function).parameters.values()
            if p.default is not inspect.Parameter.empty
        }
        return tuple(
            Argument(name, measure, unit, " ".join(about.split()), given.get(name))
            for name, measure, unit, about in entries
        )

    @cached_property
    def result(self) -> Argument:
        """The result as the docstring tells it."""
        match = re.match(r"(\w+)(?: \[([^\]]*)\])?\n((?:[ ]{4,}.*\n?|\n)*)", self.sections.get("returns", "") + "\n")
        if match is None:
            return Argument("result", "ratio", "1", "")
        return Argument("result", match[1], match[2] or "1", " ".join(match[3].split()))

    @property
    def source(self) -> str:
        """Where the formula comes from, as the docstring's References say."""
        return " ".join(self.sections.get("references", "").split())


def signed(
    function: Callable[..., float],
    *,
    rises: tuple[str, ...] = (),
    falls: tuple[str, ...] = (),
    one_way: tuple[str, ...] = (),
) -> Formula:
    """A function that is no formula of its own: one that another formula gives the size of.

    >>> signed(lambda a, b: a - b, rises=("a",), falls=("b",)).moves
    ((-inf, inf, 1), (-inf, inf, -1))
    """
    return Formula("", "", function, {}, frozenset(rises), frozenset(falls), one_way=frozenset(one_way))


def formula(
    *,
    valid: Mapping[str, tuple[float, float]] | None = None,
    rises: tuple[str, ...] = (),
    falls: tuple[str, ...] = (),
    product: tuple[str, ...] = (),
    one_way: tuple[str, ...] = (),
    turns_at: Mapping[str, Callable[..., float]] | None = None,
    size_of: Formula | None = None,
) -> Callable[[F], F]:
    """Register a function as a formula; see the module's docstring for what the arguments mean."""

    def register(function: F) -> F:
        name = function.__name__
        if name in REGISTER:
            raise ValueError(f"two formulas are called {name}")
        REGISTER[name] = Formula(
            name=name,
            subject=function.__module__.rsplit(".", 1)[-1],
            function=function,
            valid=dict(valid or {}),
            rises=frozenset(rises),
            falls=frozenset(falls),
            product=frozenset(product),
            one_way=frozenset(one_way),
            turns_at=dict(turns_at or {}),
            size_of=size_of,
        )
        return function

    return register
