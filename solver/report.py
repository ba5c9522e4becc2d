"""Plans and checks as text for a person at a bench: the headline first, then what decides."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from shared.evidence import Evidence
from shared.plan import BuildShown, PartShown, PlanDocument, QuantityShown
from shared.shown import ReasonShown

from .explain.conflict_text import conflict_lines
from .explain.document import NOT_ALL_CHANGES
from .explain.ledger_text import ledger_lines
from .explain.relaxation_text import refused_headline, relaxation_lines
from .folding import Line, fitted
from .tables import Table
from .words import CLOSING, OWN_ALTERED, and_more, counted, had, look, needed, sentence

if TYPE_CHECKING:
    from .checking import CheckDocument

MOST_SAME = 6
MANY = 5  # checks that one answer settles before that answer is named ahead of them
BEST = "the best builds"
NOTHING = "nothing: the car as it is"
_ONLY_SAID = (Evidence.CLAIMED.word, Evidence.GUESSED.word)


def plan_text(document: PlanDocument, wide: int | None = None) -> str:
    """The whole plan, for paper or for a screen of ``wide`` columns."""
    lines: list[Line] = [headline(document), ""]
    if not document.builds:
        return fitted([headline(document), *refusal_lines(document), "", *ledger_lines(document.ledger)], wide)
    lines.append(_overview(document))
    best = document.builds[0]
    lines += ["", f"Build 1 in full: {best.price.text}, {best.hours.text}, skill {best.skill}", ""]
    lines += parts_lines(best)
    lines += ["", "Consequences", *consequence_lines(best)]
    lines += _section("Check before paying", [*_first_of_all(best.checks), *_reason_lines(best.checks, needs=True)])
    open_too = ", or not known to be" if any(r.verdict == "fits if checked" for r in best.advice) else ""
    lines += _section(f"Advice not followed{open_too}", _reason_lines(best.advice))
    lines += _section("Look into", _look_lines(best.looks))
    lines += _section("Cautions", [f"! {c}" for c in best.cautions])
    lines += ["", *ledger_lines(document.ledger)]
    lines += [
        "",
        *_ranking_lines(document),
        CLOSING,
    ]
    return fitted(lines, wide)


def _first_of_all(checks: Sequence[ReasonShown]) -> list[str]:
    """What so much hangs on that it is measured before the rest; without a wheelbase, half of the rules are open."""
    hanging = Counter(need for check in checks for need in dict.fromkeys(check.needs))
    return [
        f"First of all measure {need}: {count} of these {len(checks)} hang on it"
        for need, count in hanging.most_common()
        if count >= MANY
    ]


def _ranking_lines(document: PlanDocument) -> list[str]:
    """How the builds are ranked: by what the goal says, and by what is usual for what it does not speak of."""
    lines = ["Ranking: certain before doubtful, then money and what the rest is worth"]
    if document.preference:
        lines += ["  as the goal says:", *(f"    {p}" for p in document.preference)]
    if document.usual:
        lines += ["  as usual, where the goal says nothing:", *(f"    {p}" for p in document.usual)]
    return lines


def headline(document: PlanDocument) -> str:
    """One line that stands alone."""
    if not document.builds:
        whole = document.conflicts_complete and NOT_ALL_CHANGES not in document.remarks
        return refused_headline(document.goal, document.conflicts, document.relaxations, whole)
    best = document.builds[0]
    new = sum(p.status == "new" for p in best.parts)
    are = "is" if len(best.checks) == 1 else "are"
    doubt = "" if best.verdict == "fits" else f", fits only if {counted(len(best.checks), 'thing')} {are} checked"
    all_of = counted(len(document.builds), "build")
    count = f"{all_of}, all there {'is' if len(document.builds) == 1 else 'are'}" if document.complete else BEST
    parts, cars = counted(new, "part"), counted(len(best.donors), "donor car")
    return f"{document.goal}: {count}; best {best.price.text} and {best.hours.text} for {parts}, {cars}{doubt}"


def _overview(document: PlanDocument) -> Table:
    rows = []
    for build in document.builds:
        new = [p.name for p in build.parts if p.status == "new" and p.comes_with is None]
        rows.append(
            [
                str(build.rank),
                build.verdict,
                f"{build.score:.0f}",
                build.price.text,
                build.hours.text,
                str(len(build.donors)),
                "; ".join(new) or NOTHING,
            ]
        )
    return Table(["#", "verdict", "score", "price", "hours", "donors", "what is new"], rows)


def parts_lines(build: BuildShown) -> list[Line]:
    """Each position that changes: part, donor, price, what happens; then what is kept."""
    rows = []
    for part in build.parts:
        if part.status in ("new", "moved", "removed"):
            source = (
                "comes with " + part.comes_with
                if part.comes_with
                else OWN_ALTERED
                if part.own
                else had(part.donors, part.buy)
                if part.status == "new"
                else ""
            )
            rows.append(
                [
                    part.position.replace("_", " "),
                    part.name,
                    source,
                    part.price.text if part.status == "new" else "",
                    part.status,
                ]
            )
    kept = [p.position.replace("_", " ") for p in build.parts if p.status == "kept"]
    lines: list[Line] = [Table(["position", "part", "donor", "price", ""], rows) if rows else f"  {NOTHING}"]
    lines += [
        f"  ! {part.name}: all that is known of it is {part.evidence}; measure it before paying"
        for part in build.parts
        if part.status == "new" and part.evidence in _ONLY_SAID
    ]
    lines += _section("The same part also from", [line for part in build.parts for line in _same_lines(part)])
    return [*lines, "", f"Kept as it is: {', '.join(kept)}"] if kept else lines


def _same_lines(part: PartShown) -> list[str]:
    """Where else the same part comes from, for the one who does not find the first car."""
    if not part.same:
        return []
    places = [
        f"{' or '.join(same.donors) or ('bought new' if same.buy == 'new' else same.name)}, {same.price.text}"
        for same in part.same
    ]
    more = len(places) - MOST_SAME
    text = "; ".join(places[:MOST_SAME]) + (f"; {and_more(more)}" if more > 0 else "")
    return [f"  {part.position.replace('_', ' ')}: {text}"]


def _changed(row: QuantityShown) -> bool:
    return row.stock.text != row.new.text


def consequence_lines(build: BuildShown) -> list[Line]:
    """What changes, everything that runs into or near a limit, and what is told with a caution."""
    rows = []
    shown = [q for q in build.quantities if _changed(q) or q.verdict != "fits" or q.caution]
    for q in shown:
        flag = {"fits": "", "fits if checked": "check", "does not fit": "outside"}[q.verdict]
        claimed = " (claimed)" if q.basis == "claimed" else ""
        rows.append(
            [
                q.name.replace("_", " "),
                q.stock.text,
                q.new.text + claimed,
                q.limits,
                "" if q.margin is None else q.margin.text,
                flag,
            ]
        )
    return [Table(["quantity", "stock", "new", "limit", "room", ""], rows), *_caution_lines(shown)]


def _caution_lines(quantities: Iterable[QuantityShown]) -> list[str]:
    """What is to be known of the numbers above, each once with the quantities it is about."""
    about: dict[str, list[str]] = {}
    for q in quantities:
        if q.caution:
            about.setdefault(q.caution, []).append(q.name.replace("_", " "))
    return [f"  ! {', '.join(names)}: {caution}" for caution, names in about.items()]


def _reason_lines(reasons: Iterable[ReasonShown], needs: bool = False) -> list[str]:
    lines = []
    for reason in reasons:
        lines.append(f"- {reason.says} [{reason.relation}]")
        lines.append(f"  {sentence(reason)}")
        if needs and reason.needs:
            lines.append(f"  measure: {'; '.join(needed(reason.needs))}")
        if reason.trouble:
            lines.append(f"  {reason.trouble}")
    return lines


def _look_lines(reasons: Iterable[ReasonShown]) -> list[str]:
    return [f"- {': '.join(look(r))} [{r.source}]" for r in reasons]


def _section(title: str, lines: Sequence[Line]) -> list[Line]:
    return ["", title, *lines] if lines else []


def refusal_lines(document: PlanDocument) -> list[str]:
    """Why there is no build: every conflict, then the ways out."""
    return [*document.remarks, *relaxation_lines(document.relaxations), *conflict_lines(document.conflicts)]


def check_text(document: CheckDocument, wide: int | None = None) -> str:
    """What was read, and what of it is doubtful, for paper or for a screen of ``wide`` columns."""
    from .measuring.text import record_lines, remark_lines

    lines: list[Line] = [
        f"No faults: {counted(len(document.goals), 'goal')}, {counted(document.parts, 'candidate part')} from "
        f"{counted(len(document.files), 'file')}, {counted(document.positions, 'position')}",
        "",
    ]
    if document.doubts:
        lines.append("Unknown, a range, or only claimed or guessed:")
        rows = [[d.part, d.attribute, d.value, d.evidence, f"{d.file}:{d.line}"] for d in document.doubts]
        lines.append(Table(["part", "attribute", "value", "known as", "file"], rows))
    lines += _section("Measured", record_lines(document.measurements))
    lines += _section("Not to be used", [f"  {text}" for text in document.left])
    lines += _section("Cannot both be true, or never finished", remark_lines(document.odd))
    return fitted(lines, wide)
