"""The measure command: keep a reading and answer at once, or tell what was read and what is worth reading."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from knowledge.garage import Garage, read_goal
from knowledge.measured.measurements import FILE, keep
from knowledge.measured.readable import VEHICLE
from shared.faults import BadInput, Fault
from shared.goal import Goal
from shared.units import System

from ..checking import goals_in
from ..problem import build_problem
from .document import Answer, MeasureDocument, WorthShown
from .effects import places_of, plan_change, quantity_changes, standing, verdict_changes
from .records import (
    Said,
    known_attribute,
    known_part,
    no_half_characters,
    nothing_instead,
    piece_meant,
    piece_read,
    record_of,
    replaceable,
    when,
    withdrawable,
)
from .showing import odd, records_shown, remark_shown
from .telling import Telling
from .worth import worth_measuring

Told = Callable[[int, str], None]


def goal_at(place: Path) -> Path:
    """The goal file a path means: itself, or the only one of a folder.

    Raises :class:`BadInput` where a folder holds none or several.
    """
    found = goals_in(place)
    if len(found) == 1:
        return found[0]
    names = ", ".join(p.name for p in found)
    mend = f"name one: {names}"
    raise BadInput([Fault(str(place), 0, "not-a-file", f"{len(found)} goals in this folder", "one goal", mend)])


def measure(
    place: Path,
    part: str | None = None,
    attribute: str | None = None,
    value: str | None = None,
    *,
    piece: str = "",
    new_piece: bool = False,
    how: str = "",
    tolerance: str = "",
    at: str = "",
    note: str = "",
    replaces: int | None = None,
    withdraws: int | None = None,
    aside: bool = False,
    planned: bool = True,
    told: Told | None = None,
    units: System = "metric",
) -> MeasureDocument:
    """Keep a reading in the file beside a goal and say what it changes; without a value, say what is known.

    With ``part`` alone the answer is what of it is worth measuring, with nothing the readings in force.
    ``withdraws`` takes an earlier line back, ``aside`` leaves a piece out, both by a further record.  Without
    ``planned`` the plan is not made before and after.  ``told`` is called with the line and the file as soon as a
    record is on the disk.  A ``piece`` that is nearly the name of another is refused unless it is a ``new_piece``.

    Raises :class:`BadInput` with every fault; nothing is written then.

    >>> from pathlib import Path
    >>> from tempfile import mkdtemp
    >>> from solver import measure, new
    >>> folder = Path(mkdtemp()) / "mycar"
    >>> written = new(folder)
    >>> measure(folder).records
    ()
    """
    no_half_characters(part, attribute, value, piece, how, tolerance, at, note)
    goal_file = goal_at(place)
    if withdraws is not None:
        withdrawable(goal_file.parent / FILE, withdraws)
    try:
        goal, garage = read_goal(goal_file, units)
    except BadInput as error:
        if withdraws is None or any(fault.file != str(goal_file.parent / FILE) for fault in error.faults):
            raise
        return _withdrawn_unread(goal_file, withdraws, when(at), note, told)
    asked = _Asked(goal, garage, goal_file, units)
    said = Said(value or "", piece, how, tolerance, at, note, replaces)
    if replaces is not None and value is None:
        raise nothing_instead(replaces)
    if withdraws is not None:
        return asked.withdrawn(withdraws, when(at), note, told, planned)
    if part is None:
        return asked.listed()
    part = known_part(garage, part)
    if aside:
        left = {"at": when(at), "part": part, "piece": piece_read(garage, part, piece), "aside": True, "note": note}
        return asked.kept(left, part, None, told, planned)
    if attribute is None:
        return asked.about(part)
    known = known_attribute(garage, part, attribute)
    if value is None:
        return asked.about(part, attribute)
    if replaces is not None:
        replaceable(garage, replaces, part, attribute)
    if not new_piece:
        piece_meant(garage, part, piece)
    return asked.kept(record_of(known, part, attribute, said), part, attribute, told, planned)


def _withdrawn_unread(goal_file: Path, line: int, at: str, note: str, told: Told | None) -> MeasureDocument:
    """Take back a line that cannot be read; faults of other lines are told when it is on the disk."""
    file = goal_file.parent / FILE
    kept = keep(file, {"at": at, "withdraws": line, "note": note})
    if told is not None:
        told(kept, str(file))
    goal, _ = read_goal(goal_file)
    says = f"line {line}, which could not be read, is withdrawn"
    return MeasureDocument(goal=goal.name, goal_file=str(goal_file), file=str(file), says=says, kept=kept)


@dataclass
class _Asked:
    """One question about one goal's car and catalogue."""

    goal: Goal
    garage: Garage
    goal_file: Path
    units: System

    def __post_init__(self) -> None:
        self.file = self.goal_file.parent / FILE

    @property
    def telling(self) -> Telling:
        """The words about the garage as it is known now."""
        return Telling(self.garage, self.units)

    def kept(
        self, record: dict[str, object], part: str, path: str | None, told: Told | None, planned: bool
    ) -> MeasureDocument:
        """Keep a record, then answer with what it changed."""
        before = build_problem(self.goal, self.garage)
        paths = [path] if path is not None else sorted({p for n, p in self.garage.measured.settled if n == part})
        line = keep(self.file, record)
        if told is not None:
            told(line, str(self.file))
        self.goal, self.garage = read_goal(self.goal_file, self.units)
        after, units, telling = build_problem(self.goal, self.garage), self.units, self.telling
        places = [VEHICLE] if part == VEHICLE else list(places_of(after, part))
        both = [(at, p) for at in places for p in paths]
        verdicts = [v for at, p in both for v in verdict_changes(before, after, at, part, p, units)]
        changed = [q for at, p in both for q in quantity_changes(before, after, at, part, p, units)]
        fitted = part == VEHICLE or part in self.garage.vehicle.fitted.values()
        plans = plan_change(before, after, units) if planned else None
        wear = telling.wear_of(part)
        words = {w.verdict for w in wear}
        answer: Answer = "yes if checked" if "fits if checked" in words else "yes"
        if "does not fit" in words or (plans is not None and not plans.after):
            answer = "no"
        return self._document(
            telling.headline(record, part, path),
            part,
            answer=answer,
            kept=line,
            known=telling.known(part, path),
            verdicts=tuple(dict.fromkeys(verdicts)),
            quantities=tuple(dict.fromkeys(changed)),
            standing=() if fitted else tuple(standing(before, after, at, part, units) for at in places),
            plan=plans,
            wear=wear,
            worth=() if part == VEHICLE or answer == "no" else worth_measuring(after, part, units),
            records=records_shown(self.garage, units, part),
        )

    def withdrawn(self, line: int, at: str, note: str, told: Told | None, planned: bool) -> MeasureDocument:
        """Take back a record of whatever kind, and answer with what that changed."""
        book = self.garage.measured.book
        part = book.records.get(line, "")
        path = next((r.attribute for r in book.readings if r.line == line), None)
        record = {"at": at, "part": part, "withdraws": line, "note": note}
        if part in self.garage.parts or part == VEHICLE:
            return self.kept(record, part, path, told, planned)
        return _withdrawn_unread(self.goal_file, line, at, note, told)

    def listed(self) -> MeasureDocument:
        """Every reading in force."""
        count = len(self.garage.measured.book.readings)
        says = f"{count} reading{'' if count == 1 else 's'} in {self.file}"
        return self._document(
            says if count else f"nothing measured yet in {self.file}",
            left=self.telling.all_left(),
            records=records_shown(self.garage, self.units),
        )

    def about(self, part: str, path: str | None = None) -> MeasureDocument:
        """What was read of a part, or of one attribute, what is worth reading, and its wear limits."""
        telling = self.telling
        wear = telling.wear_of(part, path)
        refused = any(w.verdict == "does not fit" for w in wear)
        worth: tuple[WorthShown, ...] = ()
        if part != VEHICLE and not refused:
            worth = worth_measuring(build_problem(self.goal, self.garage), part, self.units, path)
        return self._document(
            telling.about(part, path, bool(worth)),
            part,
            answer="no" if refused else "yes",
            known=telling.known(part, path),
            wear=wear,
            worth=worth,
            records=records_shown(self.garage, self.units, part),
        )

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
