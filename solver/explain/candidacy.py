"""Why not this part?  For every candidate a build that has it, or a true reason why none can.

The reason is made as small as can be told in a fixed number of steps; where that is not proved, it says so.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field, replace

from shared.part import Part
from shared.shown import ReasonShown
from shared.units import System

from ..relations import Build, Relation
from ..search.enumeration import LimitReached
from ..search.possible import Reply
from ..search.trying import WORK_A_NODE
from ..words import sentence
from .document import CandidateShown, ReasonGroup
from .growing import grown
from .minimal import shrink
from .questions import GOAL, Line, Questions, part_line
from .showing import chain, reasons_of, source_of

MOST_NODES = 600
MOST_NODES_EACH = 300
FEW_NODES = 60
MOST_NODES_GROWING = 400

MOST_UNTOLD = 3
MOST_WORK = 8_000
# Where that is not enough: for one question, and in all.
MORE_NODES = 10_000
MORE_UNTOLD = 12
MORE_WORK = 120_000
# What a choice tried takes of that: about as long as so many quick answers of rules.
A_CHOICE = 10
MOST_AT_ONCE = 12
NARROW = 3


@dataclass(frozen=True)
class Candidacy:
    """One candidate: a build that has it, or the relations no build with it can meet; neither where not told.

    ``minimal`` tells that every relation was proved to be needed: ``witnesses`` has for each a build that has the
    candidate and meets all the others.
    """

    position: str
    part: Part | None
    build: Build | None = None
    relations: tuple[Relation, ...] = ()
    minimal: bool = True
    witnesses: Mapping[Relation, Build] = field(default_factory=dict, compare=False)

    @property
    def usable(self) -> bool | None:
        """Whether it is in some build; ``None`` where that could not be told."""
        return True if self.build is not None else False if self.relations else None


class Usability:
    """The candidates of one problem against one set of relations.

    ``spare`` is the work still there for what could not be told at the first attempt.
    """

    def __init__(
        self, questions: Questions, relations: Sequence[Relation], units: System, spare: int = MORE_WORK
    ) -> None:
        self.spare = spare
        self.questions = questions
        self.problem = questions.problem
        self.relations = tuple(relations)
        self.units: System = units
        self._known: dict[str, list[Candidacy]] = {}

    def _ask(
        self,
        relations: Sequence[Relation],
        at: str,
        part: Part | None,
        hint: Build | None = None,
        most_nodes: int = MOST_NODES,
    ) -> Reply | None:
        try:
            return self.questions.possible.ask(tuple(relations), {at: (part,)}, hint, most_nodes)
        except LimitReached:
            return None

    def one(self, at: str, part: Part | None, hint: Build | None = None) -> Candidacy:
        """The verdict on one candidate: by one narrow relation, by a reason already known, or by a search."""
        alone = next(self.alone(at, part), None)
        if alone is not None:
            return alone
        known = self._like_another(at, part)
        if known is not None:
            return known
        reply = self._ask(self.relations, at, part, hint)
        if reply is None and self.spare > 0:
            with self._sparing():
                reply = self._ask(self.relations, at, part, hint, self._more_nodes())
        if reply is None:
            return Candidacy(at, part)
        if reply.build is not None:
            return Candidacy(at, part, reply.build)
        found = self.minimal(at, part, reply.core)
        self._known.setdefault(at, []).append(found)
        return found

    def alone(self, at: str, part: Part | None) -> Iterator[Candidacy]:
        """The candidate with each relation near its position that no build with it meets, whatever the others."""
        for relation in self._narrow(at):
            reply = self._ask([relation], at, part, None, FEW_NODES)
            if reply is not None and reply.build is None:
                yield Candidacy(at, part, None, (relation,))

    @contextmanager
    def _sparing(self) -> Iterator[None]:
        """What is done here is taken from what is spare."""
        before = self._spent
        yield
        self.spare -= self._spent - before

    @property
    def _spent(self) -> int:
        """All the work so far, choices included."""
        work = self.questions.possible.work
        return work.spent + A_CHOICE * work.nodes

    def _more_nodes(self) -> int:
        """The choices one question may try of what is spare."""
        return min(MORE_NODES, -(-self.spare // WORK_A_NODE))

    def _narrow(self, at: str) -> list[Relation]:
        """The relations that look at a position and few others, rules of the trade first."""
        own = [r for r in self.relations if at in r.scope and len(r.scope) <= NARROW]
        return sorted(own, key=lambda r: (r.source == GOAL, len(r.scope), r.name))

    def _like_another(self, at: str, part: Part | None) -> Candidacy | None:
        """The reason of another candidate of the position that none of its relations can tell from this one."""
        for other in self._known.get(at, ()):
            looking = [r for r in other.relations if at in r.scope]
            if all(r.alike(at, part) == r.alike(at, other.part) for r in looking):
                witnesses = {r: {**build, at: part} for r, build in other.witnesses.items()}
                return replace(other, part=part, witnesses=witnesses)
        return None

    def minimal(self, at: str, part: Part | None, core: Sequence[Relation]) -> Candidacy:
        """The candidate with a minimal set of relations out of ``core`` that no build with it meets.

        Rules of the trade that look at the candidate itself are kept longest, lines of the goal given up first.  Of
        rules that look at the same positions the proof took one; which is kept does not hang on that.  That the
        candidate only comes with an assembly and one more is tried before all.
        """
        looked_at = {r.scope for r in core if r.source != GOAL and len(r.scope) <= NARROW}
        brought = () if part is None or part.host is None else self._belonging(at)
        beside = [r for r in self.relations if r not in core and r.source != GOAL and r.scope in looked_at]
        pool = sorted(
            dict.fromkeys([*core, *beside, *brought]),
            key=lambda r: (r.source == GOAL, at not in r.scope, len(r.scope), r.name),
        )
        for relation in pool if brought else ():
            reply = self._ask([*brought, relation], at, part, None, FEW_NODES)
            if reply is not None and reply.build is None:
                pool = [r for r in pool if r in reply.core]
                break
        for relation in pool:
            if at in relation.scope and len(pool) > 1:
                alone = self._ask([relation], at, part, None, FEW_NODES)
                if alone is not None and alone.build is None:
                    return Candidacy(at, part, None, (relation,), True)
        if len(pool) > MOST_AT_ONCE:
            pool = self.grown(at, part, pool)
        until = self._spent + MOST_WORK
        untold, patience, nodes = 0, MOST_UNTOLD, MOST_NODES_EACH
        met: list[tuple[frozenset[int], Build]] = []

        def held(groups: Sequence[int]) -> frozenset[int] | bool | None:
            nonlocal untold
            if any(more.issuperset(groups) for more, _ in met):
                return True
            if untold >= patience or self._spent > until:
                return None
            reply = self._ask([pool[g] for g in sorted(groups)], at, part, None, nodes)
            if reply is None:
                untold += 1
                return None
            if reply.build is not None:
                met.append((frozenset(groups), reply.build))
                return True
            return frozenset(i for i, r in enumerate(pool) if r in reply.core)

        members, proved = shrink(range(len(pool)), held)
        before = len(pool) + 1
        while not proved and self.spare > 0 and len(members) < before:
            # What could not be told with much else around often can be now.
            before, untold, patience, nodes = len(members), 0, MORE_UNTOLD, self._more_nodes()
            until = self._spent + self.spare
            with self._sparing():
                members, proved = shrink(members, held)
        witnesses = {
            pool[g]: build for g in members for groups, build in met if groups.intersection(members) == {*members} - {g}
        }
        return Candidacy(at, part, None, tuple(pool[g] for g in members), proved, witnesses)

    def _belonging(self, at: str) -> tuple[Relation, ...]:
        """The relations by which what comes with an assembly is only there with it."""
        return tuple(r for r in self.relations if r.kind == "belonging" and at in r.scope)

    def grown(self, at: str, part: Part | None, pool: Sequence[Relation]) -> list[Relation]:
        """A few relations out of ``pool`` that no build with a candidate meets; see :func:`grown`."""
        until = self._spent + MOST_WORK
        return grown(pool, lambda r: self._ask(r, at, part, None, MOST_NODES_GROWING), lambda: self._spent <= until)

    def everyone(self, hint: Build | None) -> list[Candidacy]:
        """The verdict on every part of the catalogue, in order; a build found for one counts for all it has."""
        seen: dict[tuple[str, int], Build] = {}

        def note(build: Build) -> None:
            for at, part in build.items():
                seen.setdefault((at, id(part)), build)

        if hint is not None:
            note(hint)
        found = []
        for at, parts in self.problem.domains.items():
            for part in (p for p in parts if p is not None):
                known = seen.get((at, id(part)))
                verdict = Candidacy(at, part, known) if known is not None else self.one(at, part, hint)
                if verdict.build is not None:
                    note(verdict.build)
                found.append(verdict)
        return found

    def _chain(self, candidacy: Candidacy) -> list[Relation]:
        """The relations of a minimal reason, beginning with one that looks at the candidate."""
        lines = [] if candidacy.part is None else [part_line(candidacy.position, candidacy.part)]
        return chain(lines, candidacy.relations)

    def _against(self, candidacy: Candidacy, relation: Relation) -> tuple[ReasonShown, ...]:
        """What a relation of a reason says against a build that has the candidate and meets the others, if known."""
        build = candidacy.witnesses.get(relation)
        if build is None and len(candidacy.relations) == 1:
            reply = self._ask((), candidacy.position, candidacy.part)
            build = None if reply is None else reply.build
        return () if build is None else reasons_of([relation], build, self.units)

    def shown(self, candidacy: Candidacy) -> CandidateShown:
        """A candidate as it comes out, with the first reason in one line."""
        part = candidacy.part
        says = ""
        if candidacy.relations:
            first = self._chain(candidacy)[0]
            reasons = self._against(candidacy, first)
            says = sentence(reasons[0]) if reasons else first.says
        return CandidateShown(
            position=candidacy.position,
            part=None if part is None else part.id,
            name="nothing" if part is None else part.name,
            usable=candidacy.usable,
            says=says,
        )

    def grouped(self, candidates: Iterable[Candidacy]) -> tuple[ReasonGroup, ...]:
        """The unusable candidates by reason, the commonest first."""
        groups: dict[tuple[bool, tuple[Relation, ...]], list[Candidacy]] = {}
        for candidacy in candidates:
            if candidacy.relations:
                key = tuple(sorted(candidacy.relations, key=lambda r: r.name))
                groups.setdefault((candidacy.minimal, key), []).append(candidacy)
        found = []
        for (minimal, _), members in groups.items():
            rules = self._chain(members[0])
            reasons = [x for r in rules[:MOST_AT_ONCE] if not r.source for x in self._against(members[0], r)]
            source = "; ".join(dict.fromkeys(s for r in rules if (s := source_of(r, reasons))))
            found.append(
                ReasonGroup(
                    relations=tuple(r.name for r in rules),
                    minimal=minimal,
                    says="; ".join(dict.fromkeys(r.says for r in rules)),
                    source=source,
                    candidates=tuple(self.shown(c) for c in members),
                )
            )
        return tuple(sorted(found, key=lambda g: (-len(g.candidates), g.relations)))


def lines_in(lines: Iterable[Line], relations: Iterable[Relation]) -> tuple[Line, ...]:
    """The lines that any of these relations belong to."""
    wanted = set(relations)
    return tuple(line for line in lines if wanted.intersection(line.relations))
