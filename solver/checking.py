"""Reading everything somebody has, and saying what is doubtful in it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

from knowledge.computing.quantities import inputs_of
from knowledge.files.folders import called_yaml
from knowledge.garage import Garage, read_goal
from knowledge.measured.readable import VEHICLE
from shared.evidence import UNKNOWN, Evidence, Value
from shared.faults import BadInput, Fault
from shared.interface import WORD, InterfaceKind, Port
from shared.part import Place
from shared.printing import show
from shared.ranges import Range
from shared.shown import Model
from shared.units import System

from .measuring.document import RecordShown, Remark
from .measuring.showing import odd, records_shown, remark_shown
from .measuring.telling import Telling

ALL_OF_IT = "all of it"
NOT_STATED = "not stated"


class Doubt(Model):
    """A value that is unknown, only claimed or guessed, or a range; ``part`` is an id, or ``vehicle`` for the car.

    What a rule or a formula reads and nobody stated is known as :data:`NOT_STATED`.  Of a part that is claimed or
    guessed as a whole ``attribute`` is :data:`ALL_OF_IT`, and its values, where known, are not told one by one.
    """

    part: str
    attribute: str
    value: str
    evidence: str
    file: str
    line: int


class CheckDocument(Model):
    """What was read, what of it is doubtful, what was measured, and what of that contradicts what is stated.

    ``files`` are those the parts stand in; ``left`` are the parts of which a measured piece is worn out or damaged.
    """

    format: str = "swapwright check"
    version: int = 1
    goals: tuple[str, ...]
    parts: int
    positions: int
    files: tuple[str, ...] = ()
    doubts: tuple[Doubt, ...]
    measurements: tuple[RecordShown, ...] = ()
    left: tuple[str, ...] = ()
    odd: tuple[Remark, ...] = ()


def goals_in(path: Path) -> list[Path]:
    """The goal files a path means: itself, or every one in a folder."""
    if path.is_dir():
        faults: list[Fault] = []
        found = [p for p in _yaml_files_in(path, faults) if _says_it_is_a_goal(p, faults)]
        if faults:
            raise BadInput(faults)
        if not found:
            raise BadInput(
                [
                    Fault(
                        str(path),
                        0,
                        "not-a-file",
                        "no goal file in this folder",
                        "a file that says `format: swapwright goal`",
                        "swapwright new makes one",
                    )
                ]
            )
        return found
    return [path]


def _yaml_files_in(folder: Path, faults: list[Fault]) -> list[Path]:
    """The YAML files of a folder by name; a fault for a folder that may not be looked into."""
    try:
        return sorted(p for p in folder.iterdir() if called_yaml(p.name) and p.is_file())
    except OSError as error:
        faults.append(Fault(str(folder), 0, "not-a-file", str(error.strerror), "a folder that can be read"))
        return []


def _says_it_is_a_goal(file: Path, faults: list[Fault]) -> bool:
    """Whether a file says it is a goal; a fault for one that may not be read, which might be one."""
    try:
        return "format: swapwright goal" in file.read_bytes().decode("utf-8", "replace")
    except OSError as error:
        faults.append(Fault(str(file), 0, "not-a-file", str(error.strerror), "a file that can be read"))
        return False


def check(paths: Sequence[Path], units: System = "metric") -> CheckDocument:
    """Read goals with all they point to.

    Raises :class:`BadInput` with every fault of every file of every path.

    >>> from solver import check, demo_goal
    >>> check([demo_goal("tight")]).goals
    ('A little higher, before the season',)
    """
    faults: list[Fault] = []
    names: list[str] = []
    doubts: dict[Doubt, None] = {}
    measured: dict[RecordShown, None] = {}
    left: dict[str, None] = {}
    remarks: dict[Remark, None] = {}
    stand_in: dict[str, None] = {}
    parts = positions = 0
    looked_at: set[Path] = set()
    for path in paths:
        try:
            files = [file for file in goals_in(path) if file.resolve() not in looked_at]
        except BadInput as error:
            faults += error.faults
            continue
        looked_at |= {file.resolve() for file in files}
        for file in files:
            try:
                goal, garage = read_goal(file, units)
            except BadInput as error:
                faults += error.faults
                continue
            names.append(goal.name)
            parts, positions = len(garage.parts), len(garage.layout.positions)
            stand_in.update(dict.fromkeys(p.place.file for p in garage.parts.values() if p.place is not None))
            doubts.update(dict.fromkeys(doubts_of(garage, units)))
            measured.update(dict.fromkeys(records_shown(garage, units)))
            left.update(dict.fromkeys(Telling(garage, units).all_left()))
            remarks.update(dict.fromkeys(map(remark_shown, odd(garage))))
    if faults:
        raise BadInput(faults)
    return CheckDocument(
        goals=tuple(names),
        parts=parts,
        positions=positions,
        files=tuple(sorted(stand_in)),
        doubts=tuple(doubts),
        measurements=tuple(measured),
        left=tuple(left),
        odd=tuple(remarks),
    )


def doubts_of(garage: Garage, units: System) -> list[Doubt]:
    """Every doubtful value of the car, then of a catalogue's own parts in the order of ids."""
    found = _doubts_of_the_car(garage, units)
    for part in garage.parts.values():
        if part.base is not None:
            continue
        if part.evidence <= Evidence.CLAIMED:
            found.append(_doubt(part.id, ALL_OF_IT, Value("", "", part.evidence), WORD, part.place, units))
        kind = garage.layout.kinds[part.kind]
        stated = [(name, value, kind.properties[name].measure) for name, value in part.properties.items()]
        stated += [
            (n, UNKNOWN, a.measure) for n, a in kind.properties.items() if a.required and n not in part.properties
        ]
        for port, meets in kind.ports.items():
            values = part.ports.get(port, {})
            stated += [] if values is None else _of_port(port, garage.layout.interfaces[meets.interface], meets, values)
        for name, value, measure in stated:
            if _doubtful(value) or (value.evidence <= Evidence.CLAIMED and part.evidence > value.evidence):
                found.append(_doubt(part.id, name, value, measure, part.place, units))
    return found


def _doubts_of_the_car(garage: Garage, units: System) -> list[Doubt]:
    """What is computed from, or meets a part, and is stated with a doubt or not at all; torques are for the bench."""
    layout, car = garage.layout, garage.vehicle
    asked = [i for quantity in layout.quantities.values() for i in inputs_of(quantity)]
    asked += [i for r in layout.requirements for i in (r.subject, r.at_least, r.at_most) if i is not None]
    needed = {i.name for i in asked if i.source == "vehicle"}
    values = [(n, car.attribute(n), a.measure) for n, a in layout.vehicle.items() if n in needed]
    for port, meets in layout.body.items():
        values += _of_port(port, layout.interfaces[meets.interface], meets, car.ports.get(port, {}))
    return [
        _doubt(VEHICLE, name, value, measure, car.place, units)
        for name, value, measure in values
        if _doubtful(value) or value.evidence <= Evidence.CLAIMED
    ]


def _of_port(
    port: str, interface: InterfaceKind, meets: Port, stated: Mapping[str, Value]
) -> list[tuple[str, Value, str]]:
    """The values stated of a port, and those it must have, or its rules of mating read, that nobody stated."""
    read = {name for rule in interface.rules for name in (rule.left, rule.right)}
    return [
        (f"{port}.{name}", stated.get(name, UNKNOWN), attribute.measure)
        for name, attribute in interface.of_side(meets.side).items()
        if name in stated or name in read or attribute.required
    ]


def _doubtful(value: Value) -> bool:
    known = value.value
    return known is None or (isinstance(known, Range) and not known.exact)


def _doubt(part: str, name: str, value: Value, measure: str, place: Place | None, units: System) -> Doubt:
    known = value.value
    return Doubt(
        part=part,
        attribute=name,
        value="unknown" if known is None else known if isinstance(known, str) else show(known, measure, units),
        evidence=NOT_STATED if value is UNKNOWN else value.evidence.word,
        file="" if place is None else place.file,
        line=0 if place is None else place.line,
    )
