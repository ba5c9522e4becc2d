"""A shopping list as text, Markdown and CSV.

CSV is RFC 4180: CRLF, one header line, quotes doubled, every line with the same cells.  Names come from strangers, so
no cell may begin like a formula, whichever separator a spreadsheet splits at: an apostrophe is put before what would.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Sequence
from io import StringIO

from knowledge.yard.car import clean
from shared.plan import Number

from .folding import fitted
from .shopping import ShopLine, ShoppingDocument, Totals
from .words import CLOSING, OWN_ALTERED

COLUMNS = (
    "sort",
    "item",
    "quantity",
    "unit",
    "grade",
    "for",
    "where",
    "price low",
    "price high",
    "core low",
    "core high",
    "new low",
    "new high",
    "new part",
    "use once",
    "part of",
    "note",
    "source",
)
NO_BUILD = "no build meets this goal, so there is nothing to get"

# What a spreadsheet takes for a formula at the start of a cell (OWASP, CSV injection, from memory), wide forms too.
_FORMULA = re.compile(r"(^|[;,|\t\"'])([ ]*)([=+\-@\uff1d\uff0b\uff0d\uff20\u2212])")


def safe(text: str) -> str:
    """A text no spreadsheet can take for a formula; one line, without control characters."""
    return _FORMULA.sub(r"\1\2'\3", clean(text))


def _amount(x: float) -> str:
    return f"{x:.10g}"


def _ends(value: Number | None) -> tuple[str, str]:
    if value is None or value.lo is None or value.hi is None:
        return "", ""
    return _amount(value.lo), _amount(value.hi)


def shopping_csv(document: ShoppingDocument) -> str:
    """The list for a spreadsheet; a price is for all the pieces of its line, an empty one not known or in its set's."""
    out = StringIO(newline="")
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    for line in document.lines:
        texts = [line.unit, line.grade, line.use, line.where]
        writer.writerow(
            [
                safe(line.sort),
                safe(line.name),
                _amount(line.quantity),
                *map(safe, texts),
                *_ends(line.price),
                *_ends(line.core),
                *_ends(line.new),
                safe(line.new_name),
                "yes" if line.once else "",
                safe(line.part_of),
                safe(line.note),
                safe(line.source),
            ]
        )
    return out.getvalue()


def _many(line: ShopLine) -> str:
    if line.unit and not line.unit.isalpha() and line.quantity == 1:
        return line.unit
    return f"{_amount(line.quantity)} {line.unit}".strip()


def _so_many(line: ShopLine) -> str:
    """What stands before a name: nothing for one, ``4 x`` for several, ``1 can`` where it is told in a unit."""
    many = _many(line)
    return "" if many in ("", "1") else f"{many} " if line.unit else f"{many} x "


def _price(line: ShopLine) -> str:
    if line.part_of:
        return "in the set"
    return line.price.text if line.price.lo is not None else "not known"


def _new(line: ShopLine) -> str:
    if line.sort != "used part":
        return ""
    return "not known" if line.new is None else f"{line.new.text} ({line.new_name})"


def _details(line: ShopLine) -> str:
    once = "used once only" if line.once else ""
    return "; ".join(x for x in (line.grade, once, line.note) if x)


def _total_lines(totals: Totals) -> list[str]:
    own = f"altering your own {totals.altering.text}, " if totals.altering.hi else ""
    lines = [
        f"Used parts {totals.used.text}, new parts {totals.new.text}, {own}"
        f"what the work uses up {totals.supplies.text}: {totals.all.text} in all; "
        "each price is for all the pieces of its line"
    ]
    if totals.unpriced:
        lines.append(f"{totals.unpriced} more without a known price, counted as nothing")
    if totals.core.hi:
        lines.append(f"Core charges {totals.core.text} on top, paid back against the old parts")
    if totals.compared:
        lines.append(
            f"Against new: {totals.compared} of the used parts cost {totals.used_known.text}; "
            f"new parts that could stand in their places {totals.new_known.text}"
        )
    if totals.not_compared:
        lines.append(f"Against new: not known for {totals.not_compared} of the used parts")
    return lines


TITLES = {
    "used part": "Used parts",
    "new part": "New parts",
    "own part": OWN_ALTERED.capitalize(),
    "fastener": "Fasteners",
    "seal": "Seals and bearings",
    "rubber": "Rubber",
    "lining": "Linings",
    "fluid": "Fluids",
    "other": "Other",
    "new with a used part": "Always new with a used part",
}


def shopping_text(document: ShoppingDocument, wide: int | None = None) -> str:
    """The list for paper, or for a screen of ``wide`` columns."""
    if document.totals is None:
        return fitted([f"{document.goal}: {NO_BUILD}"], wide)
    lines = [f"{document.goal}: what to get for build {document.build}, {document.totals.all.text} in all"]
    for sort in dict.fromkeys(line.sort for line in document.lines):
        lines += ["", TITLES[sort]]
        for line in (r for r in document.lines if r.sort == sort and not r.part_of):
            inside = [r for r in document.lines if r.part_of == line.name and r.sort == sort and r.use == line.use]
            lines += _text_lines(line, inside)
    return fitted([*lines, "", *_total_lines(document.totals), CLOSING], wide)


def _text_lines(line: ShopLine, inside: Sequence[ShopLine]) -> list[str]:
    core = f", core charge {line.core.text}" if line.core is not None else ""
    new = f"; new: {_new(line)}" if _new(line) else ""
    lines = [f"  [ ] {_so_many(line)}{line.name}: {_price(line)}{core}{new}"]
    use = f"for: {line.use}" if line.use else ""
    off = f"off: {line.where}" if line.sort == "used part" else "" if line.where in ("new", OWN_ALTERED) else line.where
    lines += [f"      {x}" for x in ("; ".join(t for t in (use, off) if t), _details(line)) if x]
    if inside:
        told = (f"{_many(r)} {r.name}{' (' + d + ')' if (d := _details(r)) else ''}" for r in inside)
        lines.append(f"      in it: {', '.join(told)}")
    return lines


_MARKS = re.compile(r"([\\`*_\[\]<>|~&@]|:(?=//)|(?<=www)\.)")


def _plain(text: str) -> str:
    """A text with everything escaped that Markdown would take for a mark, a link or a piece of HTML."""
    return _MARKS.sub(r"\\\1", clean(text))


def shopping_markdown(document: ShoppingDocument) -> str:
    """The list as a Markdown checklist."""
    lines = [f"# {_plain(document.goal)}: what to get", ""]
    if document.totals is None:
        return "\n".join([*lines, NO_BUILD])
    for sort in dict.fromkeys(line.sort for line in document.lines):
        lines += [f"## {TITLES[sort]}", ""]
        for line in (r for r in document.lines if r.sort == sort):
            lines += _marked(line)
        lines.append("")
    lines += ["## Totals", "", *(f"- {_plain(t)}" for t in _total_lines(document.totals)), "", CLOSING]
    return "\n".join(lines)


def _marked(line: ShopLine) -> list[str]:
    told: Sequence[str] = [
        _price(line),
        f"for {line.use}" if line.use else "",
        line.where if line.where != "new" else "",
        f"core charge {line.core.text}" if line.core is not None else "",
        f"new: {_new(line)}" if _new(line) else "",
        _details(line),
    ]
    indent = "  " if line.part_of else ""
    return [f"{indent}- [ ] {_plain(_so_many(line) + line.name)}: {_plain('; '.join(t for t in told if t))}"]
