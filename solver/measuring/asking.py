"""The measure command: keep a reading and answer at once, or tell what was read and what is worth reading."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from knowledge.condition import WearLimit, wear_limits
from knowledge.garage import Garage, read_goal
from knowledge.measurements import FILE, VEHICLE, Reading, keep
from knowledge.readings import Settled
from shared.evidence import Value
from shared.faults import BadInput, Fault
from shared.goal import Goal
from shared.interface import WORD, Attribute
from shared.plan import VerdictWord
from shared.ranges import Range
from shared.units import System, show
from shared.verdict import Reason, Verdict

from ..checking import goals_in
from ..problem import build_problem
from ..wear import limits_of, wear_reasons
from ..words import VERDICT_WORDS, value_text
from .document import Answer, KnownShown, MeasureDocument, WearShown
from .effects import is_cheap, places_of, plan_change, quantity_changes, standing, verdict_changes
from .records import ASKED, Said, known_attribute, known_part, record_of
from .showing import odd, records_shown, remark_shown
from .worth import limit_text, worth_measuring

Told = Callable[[int, str], None]


def goal_at(place: Path) -> Path:
    """The goal file a path means: itself, or the only one of a folder.

    Raises :class:`BadInput` where a folder holds none or several.
    """
    found = goals_in(place)
    if len(found) == 1:
        return found[0]
    names = ", ".join(p.name for p in found)
    mend = f"name one with --goal: {names}"
    raise BadInput([Fault(str(place), 0, "not-a-file", f"{len(found)} goals in this folder", "one goal", mend)])


def measure(
    place: Path,
    part: str | None = None,
    attribute: str | None = None,
    value: str | None = None,
    *,
    piece: str = "",
    how: str = "",
    tolerance: str = "",
    at: str = "",
    note: str = "",
    replaces: int | None = None,
    withdraws: int | None = None,
    aside: bool = False,
    planned: bool | None = None,
    told: Told | None = None,
    units: System = "metric",
) -> MeasureDocument:
    """Keep a reading in the file beside a goal and say what it changes; without a value, say what is known.

    With ``part`` alone the answer is what of it is worth measuring, with nothing the readings in force.
    ``withdraws`` takes an earlier line back, ``aside`` leaves a piece out, both by a further record.  ``planned``
    asks for the plan before and after (``None``: where that is quick).  ``told`` is called with the line and the
    file as soon as a record is on the disk.

    Raises :class:`BadInput` with every fault; nothing is written then.
    """
    goal_file = goal_at(place)
    goal, garage = read_goal(goal_file)
    asked = _Asked(goal, garage, goal_file, units)
    said = Said(value or "", piece, how, tolerance, at, note, replaces)
    for line in (replaces, withdraws):
        if line is not None and line not in {r.line for r in garage.measured.book.readings}:
            lines = ", ".join(str(r.line) for r in garage.measured.book.readings) or "none"
            raise BadInput([Fault(ASKED, 0, "bad-value", f"line {line}", f"the line of a reading in force: {lines}")])
    if withdraws is not None:
        reading = next(r for r in garage.measured.book.readings if r.line == withdraws)
        record = record_withdrawing(reading, said)
        return asked.kept(record, reading.part, reading.attribute, told, planned)
    if part is None:
        return asked.listed()
    part = known_part(garage, part)
    if aside:
        record = {"at": said.at or _now(), "part": part, "piece": piece, "aside": True, "note": note}
        return asked.kept(record, part, None, told, planned)
    if attribute is None:
        return asked.about(part)
    known = known_attribute(garage, asked.wear, part, attribute)
    if value is None:
        return asked.about(part, attribute)
    return asked.kept(record_of(known, part, attribute, said), part, attribute, told, planned)


def _now() -> str:
    from datetime import datetime

    return datetime.now().astimezone().isoformat(timespec="seconds")


def record_withdrawing(reading: Reading, said: Said) -> dict[str, object]:
    """The record that takes a reading back."""
    return {"at": said.at or _now(), "part": reading.part, "withdraws": reading.line, "note": said.note}


@dataclass
class _Asked:
    """One question about one goal's car and catalogue."""

    goal: Goal
    garage: Garage
    goal_file: Path
    units: System

    def __post_init__(self) -> None:
        self.wear = self.garage.measured.wear or wear_limits(self.garage.layout)
        self.file = self.goal_file.parent / FILE

    # -- keeping

    def kept(
        self, record: dict[str, object], part: str, path: str | None, told: Told | None, planned: bool | None
    ) -> MeasureDocument:
        """Keep a record, then answer with what it changed."""
        before = build_problem(self.goal, self.garage)
        line = keep(self.file, record)
        if told is not None:
            told(line, str(self.file))
        goal, garage = read_goal(self.goal_file)
        after = build_problem(goal, garage)
        self.goal, self.garage = goal, garage
        places = [VEHICLE] if part == VEHICLE else [at for at in after.domains if at in places_of(after, part)]
        paths = [path] if path is not None else sorted({p for n, p in before.garage.measured.settled if n == part})
        verdicts = [v for at in places for p in paths for v in verdict_changes(before, after, at, part, p, self.units)]
        changed = [q for at in places for p in paths for q in quantity_changes(before, after, at, part, p, self.units)]
        fitted = part == VEHICLE or part in garage.vehicle.fitted.values()
        stands = () if fitted else tuple(standing(before, after, at, part, self.units) for at in places)
        plan = planned if planned is not None else is_cheap(after)
        planned_ = plan_change(before, after, self.units) if plan else None
        settled = garage.measured.settled.get((part, path or ""))
        wear = self._wear(part)
        answer: Answer = "yes"
        if any(w.verdict == "does not fit" for w in wear) or (planned_ is not None and not planned_.after):
            answer = "no"
        elif any(w.verdict == "fits if checked" for w in wear):
            answer = "yes if checked"
        return self._document(
            self._says(record, part, path, settled),
            part,
            answer=answer,
            kept=line,
            known=None if settled is None else self._known(settled),
            verdicts=tuple(dict.fromkeys(verdicts)),
            quantities=tuple(dict.fromkeys(changed)),
            standing=stands,
            plan=planned_,
            wear=wear,
            worth=() if part == VEHICLE else worth_measuring(after, part, self.units),
            records=records_shown(self.garage, self.units, part),
        )

    def _says(self, record: dict[str, object], part: str, path: str | None, settled: Settled | None) -> str:
        """The headline."""
        name = "The car" if part == VEHICLE else self.garage.parts[part].name
        piece = f", {record['piece']}" if record.get("piece") else ""
        if record.get("aside"):
            return f"{name}{piece}: put aside; its readings no longer count"
        if record.get("withdraws"):
            return f"{name}: line {record['withdraws']} ({path}) is withdrawn"
        bad = [] if part == VEHICLE else [r for at in self._places(part) for r in self._reasons(at, part)]
        worn = next((r for r in bad if r.verdict is Verdict.NO), None)
        if worn is not None and settled is not None:
            where = worn.left.who
            left = value_text(worn.left.value, worn.measure, self.units, 1)
            limit = value_text(worn.right.value, worn.measure, self.units, 1)
            if worn.measure == WORD:
                return f"{where}: leave it. {worn.left.what} {left}; only {limit} is good ({worn.source})"
            kind = f"{left} left" if worn.right.what == "at least" else left
            return f"{where}: leave it. {worn.left.what} {kind}, {limit} is the limit ({worn.source})"
        title = (path or "").replace("_", " ").replace(".", " ")
        if settled is None:
            return f"{name}{piece}: {title} {record.get('value')} kept"
        outcome = settled.outcomes[str(record.get("piece") or "")]
        return f"{name}{piece}: {title} {record.get('value')} {_OUTCOMES[outcome]}"

    def _reasons(self, at: str, part: str) -> tuple[Reason, ...]:
        return wear_reasons(self.garage, at, self.garage.parts[part])

    # -- telling

    def listed(self) -> MeasureDocument:
        """Every reading in force."""
        count = len(self.garage.measured.book.readings)
        says = f"{count} reading{'' if count == 1 else 's'} in {FILE}" if count else f"nothing measured yet in {FILE}"
        return self._document(says, records=records_shown(self.garage, self.units))

    def about(self, part: str, path: str | None = None) -> MeasureDocument:
        """What was read of a part, what is worth reading, and its wear limits."""
        problem = build_problem(self.goal, self.garage)
        worth = () if part == VEHICLE else worth_measuring(problem, part, self.units)
        if path is not None:
            worth = tuple(w for w in worth if w.attribute == path)
        name = "The car" if part == VEHICLE else self.garage.parts[part].name
        settled = self.garage.measured.settled.get((part, path or ""))
        says = f"{name}: what is worth measuring" if worth else f"{name}: nothing that decides is in doubt"
        if path is not None:
            says = f"{name}: {self._how(known_attribute(self.garage, self.wear, part, path), part, path)}"
        wear = self._wear(part, path)
        refused = any(w.verdict == "does not fit" for w in wear)
        return self._document(
            says,
            part,
            answer="no" if refused else "yes",
            known=None if settled is None else self._known(settled),
            wear=wear,
            worth=worth,
            records=records_shown(self.garage, self.units, part),
        )

    def _how(self, attribute: Attribute, part: str, path: str) -> str:
        stated = self._value(part, path)
        now = "" if stated is None else value_text(stated.value, attribute.measure, self.units)
        read = attribute.read or "as fits"
        error = ""
        if attribute.measure != WORD and attribute.uncertainty:
            error = f", to within {show(Range.exactly(attribute.uncertainty), attribute.measure, self.units)}"
        words = f"; one of {', '.join(attribute.one_of)}" if attribute.one_of else ""
        return f"{path}, now {now or 'unknown'}; read it so: {read}{error}{words}"

    def _value(self, part: str, path: str) -> Value | None:
        if part == VEHICLE:
            return self.garage.vehicle.properties.get(path)
        return self.garage.parts[part].attribute(path)

    def _places(self, part: str) -> list[str]:
        return [at for at in self.garage.parts[part].positions if at in self.garage.layout.positions]

    def _wear(self, part: str, path: str | None = None) -> tuple[WearShown, ...]:
        """The wear limits of a part with what was read of them; only those read where one was just read."""
        if part == VEHICLE:
            return ()
        here = self.garage.parts[part]
        found = []
        for limit in self.wear.get(here.kind, ()):
            if path is None or limit.path == path:
                found.append(self._limit(part, limit))
        return tuple(found)

    def _limit(self, part: str, limit: WearLimit) -> WearShown:
        here, measure = self.garage.parts[part], limit.attribute.measure
        pieces = self.garage.measured.pieces.get(part, {})
        read = {p: v[limit.path] for p, v in pieces.items() if limit.path in v}
        title = limit.path.replace("_", " ").replace(".", " ")
        against = [r for at in self._places(part) for r in wear_reasons(self.garage, at, here)]
        worst = [r.verdict for r in against if r.left.what in (title, f"{title} apart by")]
        verdict: VerdictWord | None = VERDICT_WORDS[max(worst, default=Verdict.FITS)] if read else None
        words = "only " + " or ".join(limit.accept) if limit.accept else ""
        ends = words if measure == WORD else limit_text(*limits_of(limit, here), measure, self.units)
        apart = (
            ""
            if limit.apart is None
            else f"pieces at most {show(Range.exactly(limit.apart), measure, self.units)} apart"
        )
        return WearShown(
            attribute=limit.path,
            read=", ".join(f"{v.text}{f' ({p})' if p else ''}" for p, v in read.items()),
            limit="; ".join(x for x in (ends, apart) if x) or "as marked on the part, which the catalogue does not say",
            says=limit.says,
            source=limit.source,
            verdict=verdict,
        )

    def _known(self, settled: Settled) -> KnownShown:
        measure = self._measure(settled.part, settled.path)
        where = settled.place
        return KnownShown(
            part=settled.part,
            attribute=settled.path,
            stated=settled.stated.text if settled.stated.known else "unknown",
            stated_evidence=settled.stated.evidence.word if settled.stated.known else "",
            where="" if where is None else f"{where.file}:{where.line}",
            read=value_text(settled.read.value, measure, self.units, 1),
            now=value_text(settled.value.value, measure, self.units, 1),
            now_evidence=settled.value.evidence.word,
            outcomes=tuple(f"{piece}: {outcome}" if piece else outcome for piece, outcome in settled.outcomes.items()),
        )

    def _measure(self, part: str, path: str) -> str:
        return known_attribute(self.garage, self.wear, part, path).measure

    def _document(self, says: str, part: str | None = None, **more: object) -> MeasureDocument:
        return MeasureDocument.model_validate(
            {
                "goal": self.goal.name,
                "goal_file": str(self.goal_file),
                "file": str(self.file),
                "says": says,
                "remarks": tuple(remark_shown(f) for f in odd(self.garage, part)),
                **more,
            }
        )


_OUTCOMES = {
    "fills": "kept; nothing was known of it",
    "confirms": "kept; it confirms what the catalogue says",
    "replaces": "kept; it is better known than what the catalogue says, and counts",
    "is outweighed": "kept; the catalogue's value is better known and still counts",
    "contradicts and wins": "kept; it contradicts the catalogue, and counts",
    "contradicts and loses": "kept; it contradicts the catalogue, which is better known and still counts",
}
