"""What can be blamed: the lines of the goal, the parts somebody chose, and the rules of the trade."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace

from shared.explained import MemberKind
from shared.goal import Limit
from shared.interface import WORD
from shared.part import Part
from shared.verdict import Reason, Side, Verdict

from ..problem import Problem
from ..relations import Build, Relation
from ..search.enumeration import LimitReached
from ..search.possible import Possible, Reply
from .budget import Budget
from .growing import grown
from .minimal import MinimalSets, minimal_sets, shrink

GOAL = "the goal"
CHOSEN = "your choice"
MOST_WORK = 60_000
MOST_AT_ONCE = 12
MOST_OTHER_SIZE = 3
MOST_OTHER_QUESTIONS = 16


@dataclass(frozen=True)
class Line:
    """One thing a person wrote or chose, with every relation it makes.

    A limit carries itself, a part its position.
    """

    name: str
    text: str
    kind: MemberKind
    relations: tuple[Relation, ...]
    limit: Limit | None = None
    position: str | None = None
    part: Part | None = None


def _heading(problem: Problem, relation: Relation) -> tuple[str, str]:
    """The line of the goal a relation comes from: its name and what was written."""
    goal, name = problem.goal, relation.name
    if relation.kind == "goal limit":
        return name, relation.says
    if name.startswith("keep "):
        at = relation.scope[0]
        if at not in goal.keep:
            return "change_only", "change only " + ", ".join(p.replace("_", " ") for p in goal.change_only)
        return name, f"keep {at.replace('_', ' ')}"
    for start, group, text in (
        ("avoid makes at ", "avoid_makes", "avoid the makes " + ", ".join(goal.avoid_makes)),
        ("avoid at ", "avoid", "avoid " + ", ".join(goal.avoid)),
        ("no alteration at ", "alterations", "alterations: no"),
        ("no adapter at ", "adapters", "adapters: no"),
    ):
        if name.startswith(start):
            return group, text
    if name.startswith("use at "):
        at = relation.scope[0]
        return name, f"use {' or '.join(goal.use[at])} at {at.replace('_', ' ')}"
    return name, name.replace("_", " ")


def goal_lines(problem: Problem) -> tuple[Line, ...]:
    """Every line of the goal that refuses anything, in the order of the goal; one line written is one line blamed."""
    grouped: dict[str, tuple[str, list[Relation]]] = {}
    for relation in problem.hard:
        if relation.source == GOAL:
            name, text = _heading(problem, relation)
            grouped.setdefault(name, (text, []))[1].append(relation)
    limits = {r.name: r.limit for r in problem.hard if r.limit is not None}
    lines = [
        Line(name, text, "limit" if name in limits else "choice", tuple(relations), limits.get(name))
        for name, (text, relations) in grouped.items()
    ]
    return tuple(sorted(lines, key=lambda line: line.kind != "limit"))


def part_line(position: str, part: Part) -> Line:
    """A part somebody chose as a line of its own."""
    name, where = f"{part.id} at {position}", position.replace("_", " ")

    def judge(build: Build) -> Verdict:
        return Verdict.FITS if build[position] is part else Verdict.NO

    def explain(build: Build) -> tuple[Reason, ...]:
        other = build[position]
        if other is part:
            return ()
        left = Side("the part has", where, "part", "nothing" if other is None else other.name, WORD)
        right = Side("you asked", CHOSEN, "wanted", part.name, WORD)
        return (Reason(name, Verdict.NO, "you chose this part", left, right, None, WORD, CHOSEN),)

    relation = Relation(
        name, "goal choice", (position,), judge, explain, says="you chose this part", source=CHOSEN, parts=(position,)
    )
    return Line(name, f"{part.name} ({where})", "part", (relation,), None, position, part)


@dataclass(frozen=True)
class Conflict:
    """A minimal set of lines with the rules of the trade they clash over.

    ``minimal`` tells that every member was proved to be needed.  ``others`` are further minimal sets of rules that
    the same lines clash over; ``all_rules`` tells that there are no more.
    """

    lines: tuple[Line, ...]
    rules: tuple[Relation, ...]
    minimal: bool
    others: tuple[tuple[Relation, ...], ...] = ()
    all_rules: bool = False


@dataclass
class Questions:
    """Everything that is asked of one problem, with one memory for all of it.

    With ``certain`` only what certainly fits counts as fitting.  Others with the same ``budget`` share its work.
    """

    problem: Problem
    certain: bool = False
    budget: Budget = field(default_factory=Budget)
    possible: Possible = field(init=False)
    trade: tuple[Relation, ...] = field(init=False)
    lines: tuple[Line, ...] = field(init=False)
    _cores: list[frozenset[Relation]] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.possible = Possible(self.problem, certain=self.certain, work=self.budget.work)
        self.trade = tuple(r for r in self.problem.hard if r.source != GOAL)
        self.lines = goal_lines(self.problem)

    @property
    def worst(self) -> Verdict:
        """The worst verdict that counts as fitting."""
        return Verdict.FITS if self.certain else Verdict.CHECK

    def ask(self, relations: Iterable[Relation], hint: Build | None = None) -> Reply | None:
        """Whether relations can all hold; ``None`` where it cannot be told or no work is left for it."""
        asked = tuple(relations)
        known = self.refused(asked)
        if known is not None:
            return known
        nodes = self.budget.nodes(self.possible.most_nodes)
        try:
            if nodes > 0:
                reply = self.possible.ask(asked, hint=hint, most_nodes=nodes)
                if reply.build is None:
                    self._cores.append(frozenset(reply.core))
                return reply
        except LimitReached:
            pass
        self.budget.untold += 1
        return None

    def refused(self, relations: Sequence[Relation]) -> Reply | None:
        """The *no* to relations among which are some that were refused before; ``None`` if there are none."""
        wanted = frozenset(relations)
        core = min((core for core in self._cores if core <= wanted), key=len, default=None)
        return None if core is None else Reply(None, tuple(r for r in relations if r in core))

    def with_lines(self, lines: Iterable[Line], hint: Build | None = None) -> Reply | None:
        """Whether some lines can be met with every rule of the trade in force."""
        return self.ask([*self.trade, *(r for line in lines for r in line.relations)], hint)

    def sets(self, lines: Sequence[Line], most_size: int = 4) -> MinimalSets:
        """All minimal conflicts and corrections among lines, every rule of the trade in force.

        After a fixed number of steps it ends with those found so far.
        """
        self.ask(self.trade)  # what follows from these alone, every question below begins with
        owner = {r: i for i, line in enumerate(lines) for r in line.relations}
        work = self.possible.work
        until = work.spent + MOST_WORK

        def held(groups: Sequence[int]) -> frozenset[int] | bool | None:
            if work.spent > until:
                return None
            reply = self.with_lines([lines[g] for g in sorted(groups)])
            if reply is None:
                return None
            return True if reply.build is not None else frozenset(owner[r] for r in reply.core if r in owner)

        return minimal_sets(len(lines), held, most_size)

    def rules_behind(self, lines: Sequence[Line], thorough: bool = False) -> Conflict:
        """A conflict of lines with a minimal set of the rules they clash over; with ``thorough`` also the others.

        The lines must not be able to be met together.
        """
        fixed = [r for line in lines for r in line.relations]
        reply = self.ask([*self.trade, *fixed])
        pool = [r for r in (reply.core if reply is not None else self.trade) if r.source != GOAL and r not in fixed]
        pool.sort(key=lambda r: (len(r.scope), r.name))
        if len(pool) > MOST_AT_ONCE:
            pool = grown(pool, lambda relations: self.ask([*fixed, *relations]), lambda: self.budget.left != 0)

        def held(groups: Sequence[int]) -> frozenset[int] | bool | None:
            answer = self.ask([*fixed, *(pool[g] for g in sorted(groups))])
            if answer is None:
                return None
            return True if answer.build is not None else frozenset(i for i, r in enumerate(pool) if r in answer.core)

        members, proved = shrink(range(len(pool)), held)
        found = Conflict(tuple(lines), tuple(pool[g] for g in members), proved)
        return self._with_others(found, fixed) if thorough and proved else found

    def _with_others(self, conflict: Conflict, fixed: Sequence[Relation]) -> Conflict:
        """All minimal sets of rules behind a conflict, as far as a few questions tell."""
        pool = sorted((r for r in self.trade if r not in fixed), key=lambda r: (len(r.scope), r.name))
        number = {r: i for i, r in enumerate(pool)}

        def held(groups: Sequence[int]) -> frozenset[int] | bool | None:
            answer = self.ask([*fixed, *(pool[g] for g in sorted(groups))])
            if answer is None:
                return None
            return True if answer.build is not None else frozenset(number[r] for r in answer.core if r in number)

        known = tuple(sorted(number[r] for r in conflict.rules))
        sets = minimal_sets(len(pool), held, MOST_OTHER_SIZE, MOST_OTHER_QUESTIONS, (known,))
        # The shortest first, whichever was found first.
        first = next(members for members in sets.conflicts if members not in sets.unproved)
        rules, *others = (
            tuple(pool[g] for g in members) for members in (first, *(m for m in sets.conflicts if m != first))
        )
        return replace(conflict, rules=rules, others=tuple(others), all_rules=sets.complete)

    def needed(self, conflict: Conflict) -> list[Relation]:
        """The relations of a conflict's lines that the conflict needs: of an *avoid* line, the positions in it."""
        pool = [r for line in conflict.lines for r in line.relations]

        def held(groups: Sequence[int]) -> frozenset[int] | bool | None:
            answer = self.ask([*conflict.rules, *(pool[g] for g in sorted(groups))])
            if answer is None:
                return None
            return True if answer.build is not None else frozenset(i for i, r in enumerate(pool) if r in answer.core)

        return [pool[g] for g in shrink(range(len(pool)), held)[0]]

    def witness(self, relations: Sequence[Relation], without: Relation, hint: Build | None = None) -> Build | None:
        """A build that meets all of these relations but one."""
        reply = self.ask([r for r in relations if r is not without], hint)
        return None if reply is None else reply.build


def broken(relations: Iterable[Relation], build: Build) -> list[Relation]:
    """The relations a build is refused by."""
    return [r for r in relations if r.verdict(build) is Verdict.NO]
