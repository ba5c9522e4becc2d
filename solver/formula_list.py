"""The formulas and pictures there are, by subject."""

from __future__ import annotations

from collections.abc import Mapping

from knowledge.files.shape import nearest, spelt
from shared.faults import BadInput
from shared.plan import Model

from .calculating import fault, subjects
from .plotting.pictures import PICTURES

PICTURE_SUBJECT = "pictures"


class FormulaListed(Model):
    """A formula of the list, with the names of its inputs."""

    name: str
    subject: str
    inputs: tuple[str, ...]


class FormulaListDocument(Model):
    """Every formula, or those of one subject; ``pictures`` says what each named picture shows."""

    format: str = "swapwright formulas"
    version: int = 1
    formulas: tuple[FormulaListed, ...]
    pictures: Mapping[str, str]


def list_formulas(subject: str | None = None) -> FormulaListDocument:
    """Every formula by subject, or those of one subject, or of the subject that a formula belongs to.

    Raises :class:`BadInput` with the nearest name where there is no such subject or formula.
    """
    found = subjects()
    named = {*found, PICTURE_SUBJECT, *(f.name for members in found.values() for f in members)}
    subject = None if subject is None else spelt(subject, sorted(named))
    if subject is not None and subject not in named:
        mend = nearest(subject, sorted(named))
        raise BadInput([fault("unknown-formula", repr(subject), "a subject or a formula; see calc --list", mend)])
    listed = tuple(
        FormulaListed(name=f.name, subject=name, inputs=f.names)
        for name, members in found.items()
        if subject in (None, name) or any(f.name == subject for f in members)
        for f in members
    )
    pictures = {n: p.about for n, p in PICTURES.items()} if subject in (None, PICTURE_SUBJECT) else {}
    return FormulaListDocument(formulas=listed, pictures=pictures)
