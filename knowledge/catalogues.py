"""Reading catalogues: folders of YAML files of parts, many files in any order, ids unique across them all.

``like`` takes from another part what the entry does not say itself, but for where it comes from, what can be done to
it and what it brings.  An ``alterations`` entry makes
a further part out of the one it stands in; ``brings`` makes, for each part an assembly comes with, a further
candidate at that position that costs nothing and is only there with its assembly.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

from shared.layout import Layout
from shared.part import Part

from .assemblies import brought
from .catalogue_shapes import CatalogueShape
from .documents import FORMATS, Document, Faults, Loc, check_format, read, yaml_files
from .parts import Builder, Entry
from .shape import nearest, shaped

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


def _inherit(entries: Mapping[str, Entry], faults: Faults) -> dict[str, Entry]:
    """Every entry with what it takes from the part it is like."""
    done: dict[str, Entry] = {}

    @cache
    def meant(like: str) -> str:  # one name that is gone may be what a thousand parts are like
        return nearest(like, entries)

    def resolve(name: str, on_the_way: tuple[str, ...]) -> Entry:
        if name in done:
            return done[name]
        entry = entries[name]
        like = entry.tree.get("like")
        if isinstance(like, str):
            loc = (*entry.loc, "like")
            if like not in entries:
                entry = replace(entry, lost=True)
                if not faults.blind:
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
                entry = Entry(_merged(kept, entry.tree), entry.document, entry.loc, entry.own, like, base.lost)
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
        shape = shaped(CatalogueShape, document.tree, document, (), faults)
        if shape is None:
            faults.blind = True
            continue
        for i, tree in enumerate(shape.parts):
            loc: Loc = ("parts", i)
            if not isinstance(tree, dict):
                faults.add(document, loc, "shape", "no mapping", "keys and values")
                continue
            name = tree.get("id")
            if not isinstance(name, str) or not _ID.match(name):
                faults.add(document, loc, "bad-id", repr(name), "an id of small letters, digits, hyphens and dots")
                continue
            if name in entries:
                other = entries[name]
                faults.add(
                    document,
                    (*loc, "id"),
                    "duplicate-id",
                    repr(name),
                    "an id used once",
                    f"it also stands in {other.document.name}:{other.document.line(other.loc)}",
                )
                faults.unsure.add(name)
                others[f"{name} {len(others)}"] = Entry(tree, document, loc, tree)
                continue
            entries[name] = Entry(tree, document, loc, tree)
    entries = _inherit(entries, faults)
    builder = Builder(layout, faults)
    parts = {part.id: part for name in _bases_first(entries) for part in builder.part(entries[name])}
    if others:  # which of the two is meant is not known, but both have to be right
        inherited = _inherit({**entries, **others}, Faults())
        for again in others:
            builder.part(inherited[again])
    for part in brought(parts, entries, layout, faults):
        parts[part.id] = part
    return dict(sorted(parts.items()))


def catalogue_documents(folder: Path, faults: Faults) -> list[Document]:
    """The catalogue files below a folder; files of other formats there are passed over."""
    documents = []
    before = len(faults.found)
    for path, name in yaml_files(folder, folder, faults):
        document = read(path, name, faults)
        if document is None:
            continue
        said = document.tree.get("format")
        if said == FORMAT:
            if check_format(document, FORMAT, faults):
                documents.append(document)
        elif said not in FORMATS:
            check_format(document, FORMAT, faults)
    faults.blind |= len(faults.found) > before
    return documents
