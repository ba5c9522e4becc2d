"""Faults in what was given: where, what was found, what was expected, and the likely mend."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from .errors import SwapwrightError

CODES: dict[str, str] = {
    "not-a-file": "the path is not a file or folder that can be read, or it leads out of its folder",
    "too-big": "the file is larger than a hand-written file can be",
    "not-utf8": "the file is not UTF-8 text",
    "not-yaml": "the text is not YAML",
    "not-csv": "the text is not CSV, or a line has more cells than the first",
    "alias": "anchors and aliases are not used in these files",
    "duplicate-key": "the same key stands twice in one mapping",
    "no-format": "the file does not say which of our formats it is",
    "version": "the file's version is one this program does not read",
    "shape": "a list, a mapping or a text stands where another of these is owed",
    "missing-key": "a key that must be there is not",
    "unknown-key": "a key that this place does not know",
    "unknown-interface": "no interface kind of that name",
    "unknown-attribute": "the interface or part kind has no such attribute",
    "unknown-port": "the part kind has no such port",
    "unknown-kind": "no part kind of that name",
    "unknown-position": "the layout has no such position",
    "unknown-quantity": "no quantity of that name",
    "unknown-formula": "no formula of that name, or not with these inputs",
    "unknown-part": "no part of that id",
    "unknown-layout": "no layout of that name",
    "unknown-word": "the word is not one of those this place knows",
    "duplicate-id": "the same id stands for two things",
    "cycle": "things that lean on one another in a circle",
    "bad-value": "the value cannot be read as what is owed here",
    "bad-years": "a range of years that runs backwards or is no range of years",
    "bad-id": "an id may hold small letters, digits, hyphens and dots only",
    "wrong-place": "the part cannot fill that position",
    "not-json": "the line is not a record in JSON",
    "unfinished": "a record whose writer was stopped before its end; it was never acknowledged",
    "contradiction": "two statements about the same thing cannot both be true",
}


@dataclass(frozen=True, order=True)
class Fault:
    """One fault in one place: the file by the path it was reached by, so that it is found as it was named.

    ``line`` counts from 1; 0 means the file as a whole.
    """

    file: str
    line: int
    code: str
    found: str
    expected: str
    mend: str = ""

    def __post_init__(self) -> None:
        if self.code not in CODES:
            raise ValueError(f"undocumented fault code {self.code}")

    def __str__(self) -> str:
        where = f"{self.file}:{self.line}" if self.line else self.file
        text = f"{where}: {self.found}; expected {self.expected}"
        return f"{text}\n    mend: {self.mend}" if self.mend else text


class BadInput(SwapwrightError):
    """What was given cannot be used; ``faults`` holds every fault found, in order of file and line."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(sorted(set(faults)))
        super().__init__("\n".join(map(str, self.faults)))

    def __reduce__(self) -> tuple[type[BadInput], tuple[tuple[Fault, ...]]]:
        return type(self), (self.faults,)
