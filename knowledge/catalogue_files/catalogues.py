"""Reading catalogues: folders of YAML files of parts, many files in any order, ids unique across them all.

``like`` takes from another part what the entry does not say itself, but for where it comes from, what can be done to
it and what it brings.  An ``alterations`` entry makes
a further part out of the one it stands in; ``brings`` makes, for each part an assembly comes with, a further
candidate at that position that costs nothing and is only there with its assembly.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Mapping
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

from shared.faults import Fault
from shared.layout import Layout
from shared.part import Part

from ..files.documents import Document, Faults, Loc, read, said
from ..files.folders import yaml_files
from ..files.formats import FORMATS, check_format
from ..files.shape import nearest, shaped
from .assemblies import brought
from .parts import Builder, Entry
from .shapes import CatalogueShape

FORMAT = "swapwright catalogue"
_ID = re.compile(r"[a-z0-9][a-z0-9.-]*\Z")
_NEVER_INHERITED = ("id", "like", "alterations", "brings", "donors", "note", "core")


def _merged(base: Mapping[str, Any], over: Mapping[str, Any]) -> dict[str, Any]:
    """``over`` laid on ``base``: mappings are merged, everything else replaced."""
    result = dict(base)
    for key, value in over.items():
        under = result.get(key)
        if isinstance(under, Mapping) and isinstance(value, Mapping) and "value" not in value:
            value = _merged(under, value)
        result[key] = value
    return result


def _inherit(entries: Mapping[str, Entry], ids: Collection[str], faults: Faults) -> dict[str, Entry]:
    """Every entry with what it takes from the part it is like, which is one of ``ids``."""
    done: dict[str, Entry] = {}

    @cache
    def meant(like: str) -> str:  # one name that is gone may be what a thousand parts are like
        return nearest(like, ids) or "take the id of a part in these files, or leave `like` out"

    def resolve(name: str, on_the_way: tuple[str, ...]) -> Entry:
        if name in done:
            return done[name]
        entry = entries[name]
        like = entry.tree.get("like")
        if isinstance(like, str):
            loc = (*entry.loc, "like")
            if like not in ids:
                entry = replace(entry, lost=True)
                if not faults.unsure_of(like):
                    faults.add(entry.document, loc, "unknown-part", repr(like), "the id of a part", meant(like))
            elif like in on_the_way or like == name:
                entry = replace(entry, lost=True)
                faults.add(
                    entry.document,
                    loc,
                    "cycle",
                    f"{name} is like {like}, which is like {name}",
                    "parts that are like another without a circle",
                )
            else:
                base = resolve(like, (*on_the_way, name))
                kept = {k: v for k, v in base.tree.items() if k not in _NEVER_INHERITED}
                tree = _merged(kept, entry.tree)
                kinds = (tree.get("kind"), base.tree.get("kind"))
                other = f"{like}, which is a {kinds[1]}" if isinstance(kinds[1], str) and kinds[0] != kinds[1] else ""
                entry = Entry(tree, entry.document, entry.loc, entry.own, like, base.lost, other)
        elif like is not None:
            entry = replace(entry, lost=True)
        done[name] = entry
        return entry

    for name in sorted(entries):
        resolve(name, ())
    return done


def _bases_first(entries: Mapping[str, Entry]) -> list[str]:
    """The ids in order, but each after the part it is like, whose faults are not to be told again."""
    order: dict[str, None] = {}
    for name in sorted(entries):
        chain, at = [], name
        while at not in order and at not in chain:
            chain.append(at)
            at = entries[at].base or at
        order.update(dict.fromkeys(reversed(chain)))
    return list(order)


def read_parts(documents: Iterable[Document], layout: Layout, faults: Faults) -> dict[str, Part]:
    """The parts of all documents by id, alterations and what assemblies bring included, in the order of ids."""
    entries: dict[str, Entry] = {}
    others: dict[str, Entry] = {}
    for document in documents:
        before = len(faults.found)
        shape = shaped(CatalogueShape, document.tree, document, (), faults)
        faults.blind |= len(faults.found) > before and not isinstance(document.tree.get("parts"), list)
        if shape is None:
            faults.blind = True
            continue
        for i, tree in enumerate(shape.parts):
            loc: Loc = ("parts", i)
            if not isinstance(tree, dict):
                faults.add(document, loc, "shape", said(tree), "keys and values")
                faults.blind = True
                continue
            name = tree.get("id")
            if not isinstance(name, str) or not _ID.match(name):
                where = (*loc, "id") if "id" in tree else loc
                mend = f"id: {near}" if (near := _near(name)) else "give the part an id, as `id: rear-axle-31`"
                expected = "an id of small letters, digits, hyphens and dots"
                faults.add(document, where, "bad-id", said(name) if "id" in tree else "no id here", expected, mend)
                faults.unsure |= {near, str(name)}
                faults.blind |= not near  # which of those that are missed it is cannot be told
                alone = f"? {len(others)}"  # no id can be that, so that what else is wrong with it is told all the same
                others[alone] = Entry({**tree, "id": alone}, document, loc, tree)
                continue
            if name in entries:
                other = entries[name]
                faults.add(
                    document,
                    (*loc, "id"),
                    "duplicate-id",
                    repr(name),
                    "an id used once",
                    f"it also stands in {other.document.path}:{other.document.line(other.loc)}",
                )
                faults.unsure.add(name)
                others[f"{name} {len(others)}"] = Entry(tree, document, loc, tree)
                continue
            entries[name] = Entry(tree, document, loc, tree)
    # Which of two is meant, or how a part is called, is not known, but each has to be right.
    inherited = _inherit({**entries, **others}, entries.keys(), faults)
    entries = {name: inherited[name] for name in entries}
    builder = Builder(layout, faults)
    parts = {part.id: part for name in _bases_first(entries) for part in builder.part(entries[name])}
    for again in others:
        builder.part(inherited[again])
    for part in brought(parts, entries, layout, faults):
        parts[part.id] = part
    return dict(sorted(parts.items()))


def catalogue_documents(folder: Path, faults: Faults, seen: dict[Path, bool] | None = None) -> list[Document]:
    """The catalogue files below a folder; files of other formats there are passed over.

    So are those in ``seen``, where each file that was read is noted, and whether it is a catalogue: two folders may
    hold one file, by a link or because one of them lies in the other.  A folder without a catalogue file is a fault.
    """
    documents = []
    before = len(faults.found)
    seen = {} if seen is None else seen
    met = False
    for path, name in yaml_files(folder, folder, faults):
        whole = path.resolve()
        if whole in seen:
            met |= seen[whole]
            continue
        seen[whole] = False
        document = read(path, name, faults)
        if document is None:
            continue
        stated = document.tree.get("format")
        if stated == FORMAT:
            met = seen[whole] = True
            if check_format(document, FORMAT, faults):
                documents.append(document)
        elif not isinstance(stated, str) or stated not in FORMATS:
            check_format(document, FORMAT, faults)
    if not met and len(faults.found) == before:
        mend = "name the folder in which the parts are, or put a file of parts there"
        there = "no catalogue file in this folder"
        faults.found.append(Fault(str(folder), 0, "not-a-file", there, f"a file that says `format: {FORMAT}`", mend))
    faults.blind |= len(faults.found) > before
    return documents


def _near(name: Any) -> str:
    """What an id must have been meant as: the same in letters that an id may have; empty where nothing is left."""
    return re.sub(r"[^a-z0-9.]+", "-", name.lower()).strip("-.") if isinstance(name, str) else ""
