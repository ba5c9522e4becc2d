"""What a part calls for is found by the search and in the plan; without it there is no plan, and the reason is named.

Every goal changes only the positions named, so that the answer is quick and nothing else can help.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import pytest

from knowledge.garage import Garage, read_goal
from shared.goal import Goal, Limit
from shared.verdict import Verdict
from solver.demo import demo_goal
from solver.problem import build_problem
from solver.search.best import best_builds


@dataclass(frozen=True)
class Case:
    """A goal, what the plan must change besides what is asked, and the rule that calls for it."""

    name: str
    only: tuple[str, ...]
    called: dict[str, str | None]
    rule: str
    use: dict[str, str] = field(default_factory=dict)
    limits: tuple[Limit, ...] = ()


LIFT = Limit("lift_front", 0.030, 0.045, "30 mm to 45 mm", 1)
CASES = [
    Case(
        "longer dampers call for longer hoses",
        ("front_coil", "front_damper", "front_bump_stop", "front_hose"),
        {"front_hose": None},
        "front-hose-length",
        use={"front_damper": "damper-front-longer"},
        limits=(LIFT,),
    ),
    Case(
        "droop kept under a lift calls for longer dampers",
        ("front_coil", "front_damper", "front_bump_stop", "front_hose"),
        {"front_damper": None},
        "want droop_kept_front",
        limits=(LIFT, Limit("droop_kept_front", 0.85, None, "at least 85 %", 2)),
    ),
    Case(
        "long dampers that close late call for lower stops",
        ("front_coil", "front_damper", "front_bump_stop", "front_hose"),
        {"front_bump_stop": None},
        "damper-closed-front",
        use={"front_damper": "damper-front-longer"},
    ),
    Case(
        "a dropped arm calls for a track bar dropped with it",
        ("pitman_arm", "track_bar", "drag_link"),
        {"track_bar": "track-bar-drop-25"},
        "links-parallel",
        use={"pitman_arm": "pitman-25"},
    ),
    Case(
        "shorter gears behind call for the same in front",
        ("front_gears", "rear_gears"),
        {"front_gears": "front-gears-410"},
        "ratio-match",
        use={"rear_gears": "rear-gears-410"},
    ),
    Case(
        "much shorter gears call for their speedometer gear too",
        ("front_gears", "rear_gears", "speedometer_gear"),
        {"speedometer_gear": None, "front_gears": "front-gears-456"},
        "speedometer-high",
        use={"rear_gears": "rear-gears-456"},
    ),
    Case(
        "calipers that take more fluid call for a larger master cylinder",
        ("front_caliper", "master_cylinder"),
        {"master_cylinder": "master-25.4"},
        "pedal-travel",
        use={"front_caliper": "caliper-low-drag"},
    ),
    Case(
        "a block calls for new and longer U-bolts",
        ("rear_block", "rear_u_bolts", "rear_bump_stop"),
        {"rear_u_bolts": None, "rear_bump_stop": None},
        "u-bolts-new",
        use={"rear_block": "block-40"},
    ),
    Case(
        "a master too small for the booster's help calls for the other booster",
        ("master_cylinder", "brake_booster"),
        {"brake_booster": "booster-double"},
        "brake-no-worse",
        use={"master_cylinder": "master-25.4"},
    ),
    Case(
        "shafts of more splines call for their carrier",
        ("rear_shafts", "rear_carrier"),
        {"rear_carrier": None},
        "rear-shafts-in-carrier",
        use={"rear_shafts": "rear-shafts-31"},
    ),
    Case(
        "wheels of another circle call for their adapters",
        ("wheel", "wheel_spacer"),
        {"wheel_spacer": "wheel-adapter-127"},
        "wheel-on-front-hub",
        use={"wheel": "wheel-127"},
    ),
]


@pytest.fixture(scope="module")
def garage() -> Garage:
    return read_goal(demo_goal("trail"))[1]


def goal(case: Case, *without: str) -> Goal:
    return Goal(
        case.name,
        limits=case.limits,
        change_only=tuple(p for p in case.only if p not in without),
        use={position: (part,) for position, part in case.use.items()},
    )


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_the_search_brings_what_is_called_for(garage: Garage, case: Case) -> None:
    found = best_builds(build_problem(goal(case), garage), 3).builds
    assert found, "no build at all"
    stock = garage.fitted()
    for i, one in enumerate(found):
        for position, part in case.called.items():
            chosen = one.build[position]
            assert chosen is not stock[position], f"{position} is as it was"
            assert i or part is None or (chosen is not None and chosen.id == part)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_without_it_there_is_no_plan_and_the_rule_says_why(garage: Garage, case: Case) -> None:
    for position in case.called:
        asked = build_problem(goal(case, position), garage)
        assert not best_builds(asked, 1).builds
    position = next(iter(case.called))
    rule = build_problem(goal(case, position), garage).named(case.rule)
    chosen = {**garage.fitted(), **{p: garage.parts[part] for p, part in case.use.items()}}
    if case.use:
        reasons = [r for r in rule.explain(chosen) if r.verdict is Verdict.NO]
        assert reasons and reasons[0].source
