"""The curves people in the trade know by name: which formulas, against what, and what belongs beside them."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from knowledge.computing.bounds import formula_bounds
from knowledge.formulas import formulas
from shared.errors import FormulaError
from shared.layout import Layout
from shared.printing import show, show_number
from shared.ranges import Range
from shared.units import System

from ..calculating import Inputs
from .limits import limits_of, requirement_named
from .shown import Barred, Limit

SHAKE_RULE = "rear-torsional"


@dataclass(frozen=True)
class Scene:
    """What the extras of a picture are made from."""

    layout: Layout
    points: Sequence[float]
    inputs: Inputs
    extra: Mapping[str, Range]
    units: System


@dataclass(frozen=True)
class Extras:
    """What stands beside the curves."""

    limits: tuple[Limit, ...] = ()
    barred: tuple[Barred, ...] = ()


@dataclass(frozen=True)
class Picture:
    """A named picture.

    ``like`` is the formula (or quantity of the layout) whose inputs a car fills in, and ``also`` names more of the
    car's properties and quantities for an input; ``extra`` names inputs that belong to no formula of it, with their
    measures.  ``own_limits`` leaves out the limits the layout sets on what the formula gives.
    """

    about: str
    y: str
    formulas: tuple[str, ...]
    labels: tuple[str, ...]
    like: str
    against: str
    also: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    extra: Mapping[str, str] = field(default_factory=dict)
    own_limits: bool = False
    beside: Callable[[Scene], Extras] | None = None


def extras(picture: Picture, scene: Scene) -> Extras:
    """The limits and barred stretches of a picture."""
    return Extras() if picture.beside is None else picture.beside(scene)


def _lean(scene: Scene) -> Extras:
    """Shackle lengths at which the shackle stands too upright or lies too flat."""
    rule = requirement_named(scene.layout, "shackle-lean")
    lean = formulas()["shackle_angle_from_vertical"]
    fixed = {n: scene.inputs.values[n][0] for n in lean.names if n in scene.inputs.values}
    if rule is None:
        return Extras()
    allowed = [limit.at for limit in limits_of(rule, "y", "angle", scene.units) if limit.at is not None]

    def stands(x: float) -> bool:
        try:
            found = formula_bounds(lean, [fixed.get(n, Range.exactly(x)) for n in lean.names])
        except FormulaError:
            return False
        return min(allowed) <= found.lo and found.hi <= max(allowed)

    text = "shackle not between " + " and ".join(show_number(a, "angle", scene.units) for a in sorted(allowed))
    return Extras(barred=tuple(_stretches(scene.points, stands, text, rule.source)))


def _stretches(points: Sequence[float], fine: Callable[[float], bool], text: str, source: str) -> list[Barred]:
    found: list[Barred] = []
    start: float | None = None
    for x in points:
        if not fine(x) and start is None:
            start = x
        if fine(x) and start is not None:
            found.append(Barred(start=start, end=x, text=text, source=source))
            start = None
    if start is not None:
        found.append(Barred(start=start, end=points[-1], text=text, source=source))
    return found


def _adhesion_lines(scene: Scene) -> Extras:
    """The adhesion an ideal brake would use, and the most either axle may use."""
    rates = [formulas()["braking_rate"].function(x) for x in scene.points]
    rule = requirement_named(scene.layout, "adhesion")
    source = "UN R13-H, annex 5 (from memory)" if rule is None else rule.source
    return Extras(
        limits=(
            Limit(axis="y", text="all grip used", source="definition: k = z", along=tuple(rates)),
            Limit(
                axis="y",
                text="most an axle may use, z at least 0.1 + 0.7 (k - 0.2)",
                source=source,
                along=tuple((z + 0.04) / 0.7 for z in rates),
            ),
        )
    )


def _joint_limits(scene: Scene) -> Extras:
    """Angles a rule stops at, and, with the shaft's speed, the angle one joint alone may have."""
    found: list[Limit] = []
    for name in ("front-pinion-joint", "rear-joint-turns"):
        rule = requirement_named(scene.layout, name)
        if rule is not None:
            found += [x for x in limits_of(rule, "x", "angle", scene.units) if x.at]
    speed = scene.extra.get("shaft_speed")
    rule = requirement_named(scene.layout, SHAKE_RULE)
    if speed is not None and rule is not None:
        (shake,) = limits_of(rule, "y", "angular_acceleration", scene.units)
        most = formula_bounds(formulas()["joint_angle_limit"], [speed, Range.exactly(shake.at or 0.0)]).lo
        told = f"alone at {show(speed, 'rotation', scene.units)}: at most {show_number(most, 'angle', scene.units)}"
        found.append(Limit(axis="x", text=told, source=rule.source, at=most))
    return Extras(limits=tuple(found))


_BALANCE = Picture(
    about="Adhesion each axle uses against deceleration, kerb with driver: the front's curve stays above the rear's",
    y="adhesion used",
    formulas=("adhesion_used_front", "adhesion_used_rear"),
    labels=("front axle", "rear axle"),
    like="front_first_driver",
    against="deceleration=1.47 m/s2 to 7.85 m/s2",
    own_limits=True,
    beside=_adhesion_lines,
)

PICTURES: dict[str, Picture] = {
    "shackle-lift": Picture(
        about="Lift at the axle against the length of the shackle",
        y="lift at the axle",
        formulas=("shackle_lift",),
        labels=("",),
        like="shackle_lift",
        against="new_eye_distance=70 mm to 200 mm",
        beside=_lean,
    ),
    "brake-balance": _BALANCE,
    "brake-balance-laden": replace(
        _BALANCE, about=_BALANCE.about.replace("kerb with driver", "laden"), like="front_first_laden"
    ),
    "revs-by-gear": Picture(
        about="Engine speed against road speed in every gear",
        y="engine speed",
        formulas=("engine_speed_at",),
        labels=("",),
        like="engine_speed_at",
        against="road_speed=0 km/h to 150 km/h",
        also={"gear_ratio": ("first_gear", "second_gear", "third_gear", "fourth_gear", "top_gear")},
    ),
    "joint-ripple": Picture(
        about="How much faster and slower a shaft turns behind one cross joint, against the joint's angle",
        y="ripple, each way",
        formulas=("ripple_share",),
        labels=("",),
        like="ripple_share",
        against="angle=0 deg to 12 deg",
        also={"shaft_speed": ("rear_shaft_speed",)},
        extra={"shaft_speed": "rotation"},
        beside=_joint_limits,
    ),
}
