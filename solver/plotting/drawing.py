"""A chart as SVG or PNG, the same bytes every time.  Wants the ``plot`` extra."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path
from textwrap import fill
from typing import TYPE_CHECKING, Any

from shared.errors import SwapwrightError
from shared.units import System, to_system

from .shown import Axis, ChartDocument

if TYPE_CHECKING:
    from collections.abc import Sequence

FORMS = ("svg", "png")
# Dark tones of unlike lightness, each with a dash of its own, so that grey print and colour-blind eyes tell them apart
# (Okabe and Ito, 2008; from memory).
INKS = ("#0a4a75", "#c24a00", "#00795c", "#8a4f7d", "#3d3d3d", "#7a6a00")
DASHES: tuple[Any, ...] = ("-", (0, (6, 2)), (0, (2, 2)), (0, (8, 2, 2, 2)), (0, (1, 1)), (0, (5, 5)))
LIMIT_INK = "#5c5c5c"
LETTERS = "abcdefghijklmnopqrstuvwxyz"
# No date, no random ids, no tool's mark: the same chart is the same file.
STILL: Any = {
    "svg.hashsalt": "swapwright",
    "svg.fonttype": "none",
    "font.family": "sans-serif",
    "font.sans-serif": ["DejaVu Sans"],
    "font.size": 9.5,
    "axes.unicode_minus": False,
}
METADATA = {"svg": {"Date": None, "Creator": None}, "png": {"Software": None}}


def form_of(path: Path) -> str:
    """The form a file's name asks for; raises :class:`SwapwrightError` for any other than SVG and PNG."""
    form = path.suffix.lower().lstrip(".")
    if form not in FORMS:
        raise SwapwrightError(f"a picture is written as .svg or .png, not as {path.name!r}")
    return form


def drawn(document: ChartDocument, form: str, units: System = "metric") -> bytes:
    """The chart as the bytes of an SVG or a PNG file.

    Raises :class:`SwapwrightError` with what to install where the drawing library is missing.
    """
    try:
        from matplotlib import rc_context
        from matplotlib.figure import Figure
    except ImportError:
        raise SwapwrightError("a plot needs one more library: pip install 'swapwright[plot]'") from None
    with rc_context(STILL):
        figure = Figure(figsize=(8.0, 5.6), dpi=150, layout="constrained")
        _draw(figure.add_subplot(), document, units)
        out = BytesIO()
        figure.savefig(out, format=form, metadata=METADATA[form])
    return out.getvalue()


def _in_units(values: Sequence[float | None], axis: Axis, units: System) -> list[float]:
    return [float("nan") if v is None else to_system(v, axis.measure, units) for v in values]


def _draw(axes: Any, document: ChartDocument, units: System) -> None:
    xs = _in_units(document.points, document.x, units)
    for i, curve in enumerate(document.curves):
        ink, dash = INKS[i % len(INKS)], DASHES[i % len(DASHES)]
        lo, hi = _in_units(curve.lo, document.y, units), _in_units(curve.hi, document.y, units)
        if curve.lo == curve.hi:
            axes.plot(xs, lo, color=ink, linestyle=dash, linewidth=2, label=curve.label or None)
        else:
            label = f"{curve.label}, least to most".lstrip(", ")
            axes.fill_between(xs, lo, hi, color=ink, alpha=0.22, linewidth=0, label=label)
            axes.plot(xs, lo, color=ink, linestyle=dash, linewidth=1.2)
            axes.plot(xs, hi, color=ink, linestyle=dash, linewidth=1.2)
    axes.set_xlim(xs[0], xs[-1])
    axes.autoscale(enable=True, axis="y")
    told = _limits(axes, document, xs, units)
    axes.set_xlabel(document.x.label)
    axes.set_ylabel(document.y.label)
    axes.set_title(fill(document.about, 90), fontsize=11, loc="left")
    axes.grid(True, color="#e4e4e4", linewidth=0.7)
    axes.set_axisbelow(True)
    if axes.get_legend_handles_labels()[0]:
        axes.legend(fontsize=8, framealpha=0.9)
    foot = [*told, f"Source: {document.source}", *document.notes]
    foot += [f"Valid for: {document.valid_for}"] if document.valid_for else []
    axes.annotate(
        "\n".join(fill(line, 122, subsequent_indent="   ") for line in foot),
        (0.0, 0.0),
        xytext=(0, -42),
        xycoords="axes fraction",
        textcoords="offset points",
        va="top",
        fontsize=7.5,
        color=LIMIT_INK,
    )


def _limits(axes: Any, document: ChartDocument, xs: list[float], units: System) -> list[str]:
    """Limits as lines with a letter, stretches that are barred; what each letter stands for.

    A limit far from the curves would press them flat: it is told, not drawn.
    """
    low, high = axes.get_ylim()
    room = 0.35 * (high - low)
    told = []
    for letter, limit in zip(LETTERS, document.limits, strict=False):
        axis = document.x if limit.axis == "x" else document.y
        value = to_system(limit.at or 0.0, axis.measure, units)
        drawn_too = True
        if limit.along:
            ys = [to_system(v, axis.measure, units) for v in limit.along]
            axes.plot(xs, ys, color=LIMIT_INK, linestyle=":", linewidth=1.4)
            at = len(xs) * 9 // 10
            _letter(axes, letter, xs[at], ys[at])
        elif limit.axis == "x" and xs[0] <= value <= xs[-1]:
            axes.axvline(value, color=LIMIT_INK, linestyle="-.", linewidth=1.2)
            _letter(axes, letter, value, low + 0.93 * (high - low))
        elif limit.axis == "y" and low - room <= value <= high + room:
            axes.axhline(value, color=LIMIT_INK, linestyle="-.", linewidth=1.2)
            _letter(axes, letter, xs[0] + 0.96 * (xs[-1] - xs[0]), value)
        else:
            drawn_too = False
        told.append(f"{letter}: {limit.text} ({limit.source}){'' if drawn_too else ', outside the picture'}")
    for barred in document.barred:
        start, end = (to_system(v, document.x.measure, units) for v in (barred.start, barred.end))
        axes.axvspan(start, end, facecolor="#eeeeee", edgecolor="#9a9a9a", hatch="//", linewidth=0, label=barred.text)
        told.append(f"hatched: {barred.text} ({barred.source})")
    return told


def _letter(axes: Any, letter: str, x: float, y: float) -> None:
    box = {"boxstyle": "round,pad=0.2", "facecolor": "white", "edgecolor": LIMIT_INK, "linewidth": 0.6}
    axes.text(x, y, letter, fontsize=7.5, color=LIMIT_INK, ha="center", va="center", bbox=box)
