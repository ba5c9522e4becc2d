"""Mates as relations: the joins of a layout judged on the parts chosen."""

from __future__ import annotations

from collections.abc import Hashable, Mapping
from dataclasses import dataclass, field

from knowledge.garage import Garage
from knowledge.mates import Comparison, compare_all
from shared.evidence import UNKNOWN, Evidence, Value
from shared.interface import InterfaceKind
from shared.layout import Join
from shared.part import Part
from shared.verdict import Reason, Side, Verdict, Voice

from .relations import Build, Relation


@dataclass(frozen=True)
class End:
    """One end of a meeting: the position (or ``body``), the part there, its port and the values on it."""

    place: str
    part: Part | None
    port: str
    values: Mapping[str, Value] | None

    @property
    def who(self) -> str:
        """The end as a person says it."""
        if self.part is None:
            return "the body"
        return f"{self.place.replace('_', ' ')}, {self.part.name}"


@dataclass(frozen=True)
class Meeting:
    """Two ends that meet, and every comparison of their interface, first side first."""

    join: str
    kind: InterfaceKind
    left: End
    right: End
    comparisons: tuple[Comparison, ...]

    @property
    def verdict(self) -> Verdict:
        """The worst of the comparisons; *does not fit* where an end has no such port at all."""
        if self.left.values is None or self.right.values is None:
            return Verdict.NO
        return max((c.verdict for c in self.comparisons), default=Verdict.FITS)


@dataclass
class Mating:
    """Judges the joins of one garage; remembers pairs already compared."""

    garage: Garage
    trust: Evidence = Evidence.CLAIMED
    _pairs: dict[tuple[object, ...], Meeting] = field(default_factory=dict)

    def _end(self, place: str, port: str, build: Build) -> End:
        if place == "body":
            return End(place, None, port, self.garage.vehicle.ports.get(port, {}))
        part = build[place]
        assert part is not None
        return End(place, part, port, part.ports.get(port, {}))

    def _port_side(self, end: End) -> tuple[str, str | None]:
        if end.part is None:
            port = self.garage.layout.body[end.port]
        else:
            port = self.garage.layout.kinds[end.part.kind].ports[end.port]
        return port.interface, port.side

    def meetings(self, join: Join, build: Build) -> tuple[Meeting, ...]:
        """Who meets whom in a join: what is absent in the middle is passed over; an empty end meets nobody."""
        if any(place != "body" and build[place] is None for place in (join.left[0], join.right[0])):
            return ()
        ends = [self._end(*join.left, build)]
        for step in join.through:
            if build[step.position] is not None:
                ends.append(self._end(step.position, step.near, build))
                ends.append(self._end(step.position, step.far, build))
        ends.append(self._end(*join.right, build))
        return tuple(self._meet(join, ends[i], ends[i + 1]) for i in range(0, len(ends), 2))

    def _meet(self, join: Join, left: End, right: End) -> Meeting:
        key = (join.id, left.place, left.part, left.port, right.place, right.part, right.port)
        found = self._pairs.get(key)
        if found is None:
            name, side = self._port_side(left)
            kind = self.garage.layout.interfaces[name]
            if kind.sides and side != kind.sides[0]:
                left, right = right, left
            comparisons = (
                () if left.values is None or right.values is None else compare_all(kind, left.values, right.values)
            )
            found = self._pairs[key] = Meeting(join.id, kind, left, right, comparisons)
        return found

    def verdict(self, join: Join, build: Build) -> Verdict:
        """The verdict of a join, doubt about hearsay below the wanted trust included."""
        worst = Verdict.FITS
        for meeting in self.meetings(join, build):
            verdict = meeting.verdict
            if verdict is Verdict.FITS and any(self.doubted(c) for c in meeting.comparisons):
                verdict = Verdict.CHECK
            worst = max(worst, verdict)
        return worst

    def doubted(self, comparison: Comparison) -> bool:
        """Whether a value of a comparison is known less well than the goal wants."""
        return min(comparison.left.evidence, comparison.right.evidence) < self.trust

    def reasons(self, join: Join, build: Build) -> tuple[Reason, ...]:
        """A reason for every comparison of a join that does not plainly fit."""
        found = []
        for meeting in self.meetings(join, build):
            if meeting.left.values is None or meeting.right.values is None:
                found.append(_no_port(meeting))
            for comparison in meeting.comparisons:
                verdict = comparison.verdict
                if verdict is Verdict.FITS and self.doubted(comparison):
                    verdict = Verdict.CHECK
                if verdict is not Verdict.FITS:
                    found.append(_reason(meeting, comparison, verdict))
        return tuple(found)

    def relations(self) -> list[Relation]:
        """Every join of the layout as a relation."""
        return [self._relation(join) for join in self.garage.layout.joins if join.positions]

    def _relation(self, join: Join) -> Relation:
        def judge(build: Build) -> Verdict:
            return self.verdict(join, build)

        def explain(build: Build) -> tuple[Reason, ...]:
            return self.reasons(join, build)

        scope = tuple(sorted(set(join.positions)))
        ports: dict[str, list[str]] = {}
        for place, port in (join.left, join.right, *((s.position, p) for s in join.through for p in (s.near, s.far))):
            ports.setdefault(place, []).append(port)

        def looks_at(position: str, part: Part | None) -> Hashable:
            return part and (part.kind, *(_stated(part, port, self.trust) for port in ports[position]))

        says = join.id.replace("-", " ")
        return Relation(join.id, "mate", scope, judge, explain, says=says, parts=scope, looks_at=looks_at)


def _stated(part: Part, port: str, trust: Evidence) -> Hashable:
    """What a part says of a port, as far as a verdict can depend on it."""
    values = part.ports.get(port, {})
    return None if values is None else tuple((name, v.value, v.evidence >= trust) for name, v in sorted(values.items()))


def _side(end: End, title: str, value: Value, measure: str) -> Side:
    voice: Voice = "the car has" if end.part is None else "the part has"
    return Side(voice, end.who, title, value.value, measure, value.evidence)


def _reason(meeting: Meeting, comparison: Comparison, verdict: Verdict) -> Reason:
    rule = comparison.rule
    left_title = meeting.kind.attributes[rule.left].title
    right_title = meeting.kind.attributes[rule.right].title
    needs = tuple(
        f"{title} of {'the body' if end.part is None else end.part.called}"
        for end, title, value in (
            (meeting.left, left_title, comparison.left),
            (meeting.right, right_title, comparison.right),
        )
        if verdict is Verdict.CHECK and _in_doubt(value)
    )
    return Reason(
        relation=meeting.join,
        verdict=verdict,
        says=rule.why,
        left=_side(meeting.left, left_title, comparison.left, rule.measure),
        right=_side(meeting.right, right_title, comparison.right, rule.measure),
        gap=comparison.gap if comparison.verdict is Verdict.NO and comparison.gap else None,
        measure=rule.measure,
        source=rule.source,
        needs=needs,
        beside=comparison.beside,
    )


def _in_doubt(value: Value) -> bool:
    known = value.value
    return known is None or value.evidence < Evidence.PUBLISHED or (not isinstance(known, str) and not known.exact)


def _no_port(meeting: Meeting) -> Reason:
    lacking, other = (meeting.left, meeting.right) if meeting.left.values is None else (meeting.right, meeting.left)
    word = meeting.kind.name.replace("_", " ")
    return Reason(
        meeting.join,
        Verdict.NO,
        meeting.kind.about,
        _side(lacking, lacking.port.replace("_", " "), Value("none", "none"), "word"),
        _side(other, word, UNKNOWN if not other.values else Value("present", "present"), "word"),
        None,
        "word",
        "the parts' own descriptions",
    )
