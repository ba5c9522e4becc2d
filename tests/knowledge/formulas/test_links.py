"""Control arms: limit cases, refusals, and the reference car's caster."""

from __future__ import annotations

from math import degrees, radians

import pytest

from knowledge.formulas.caster import caster_at_lift, pinion_inclination_at_lift, radius_arm_rotation
from knowledge.formulas.driveline import shaft_drop_lifted, shaft_slope
from knowledge.formulas.links import axle_fore_aft_shift, axle_rotation_at_lift
from shared.errors import NoSolution

CAR = (-0.030, -0.075, -0.430, -0.045, -0.020, 0.110, -0.430, 0.105)


class TestReferenceCar:
    """Links of the reference car, caster 7.0 deg, kingpin to pinion 13 deg."""

    @pytest.mark.parametrize(("lift", "caster"), [(0.0, 7.0), (0.037, 6.00), (0.057, 5.44), (0.075, 4.93)])
    def test_caster(self, lift: float, caster: float) -> None:
        turned = caster_at_lift(radians(7.0), axle_rotation_at_lift(*CAR, lift))
        assert round(degrees(turned), 2) == caster

    def test_pinion_goes_with_the_caster(self) -> None:
        assert degrees(pinion_inclination_at_lift(radians(13), radians(7))) == pytest.approx(6)
        assert degrees(pinion_inclination_at_lift(radians(13), radians(4.93))) == pytest.approx(8.07)

    @pytest.mark.parametrize(("lift", "joint"), [(0.0, 0.7), (0.037, 2.1), (0.075, 3.6)])
    def test_front_pinion_joint(self, lift: float, joint: float) -> None:
        # Axle centre to pinion joint 240 mm: fitted, as the reference car does not give it.
        turn = -axle_rotation_at_lift(*CAR, lift)
        drop = shaft_drop_lifted(0.09, lift, 0.0, 0.24, radians(6), turn)
        pinion = pinion_inclination_at_lift(radians(13), radians(7) - turn)
        assert round(degrees(shaft_slope(0.775, drop) - pinion), 1) == joint


def test_ride_height_is_where_it_stood() -> None:
    assert axle_rotation_at_lift(*CAR, 0.0) == pytest.approx(0.0, abs=1e-12)
    assert axle_fore_aft_shift(*CAR, 0.0) == pytest.approx(0.0, abs=1e-12)


def test_lift_takes_caster_and_carries_the_axle_back() -> None:
    assert axle_rotation_at_lift(*CAR, 0.05) < 0
    assert axle_fore_aft_shift(*CAR, 0.05) < 0


def test_longer_lower_arms_give_caster_back() -> None:
    plain = axle_rotation_at_lift(*CAR, 0.075)
    assert axle_rotation_at_lift(*CAR, 0.075, 0.008) > plain
    assert axle_rotation_at_lift(*CAR, 0.075, 0.0, -0.008) > plain
    # Both longer by as much carry the axle forward and leave its turn nearly alone.
    assert axle_fore_aft_shift(*CAR, 0.075, 0.008, 0.008) - axle_fore_aft_shift(*CAR, 0.075) == pytest.approx(
        0.008, abs=0.001
    )


def test_mirrored_car_turns_the_same_way_for_its_own_ends() -> None:
    """Links led forward instead of back turn the axle the other way by as much."""
    led_forward = tuple(-v if i % 2 == 0 else v for i, v in enumerate(CAR))
    assert axle_rotation_at_lift(*led_forward, 0.06) == pytest.approx(-axle_rotation_at_lift(*CAR, 0.06), rel=1e-9)
    assert axle_fore_aft_shift(*led_forward, 0.06) == pytest.approx(-axle_fore_aft_shift(*CAR, 0.06), rel=1e-9)


def test_links_that_cannot_reach() -> None:
    short = (-0.02, -0.08, -0.15, -0.05, -0.02, 0.10, -0.15, 0.10)
    with pytest.raises(NoSolution, match=r"links cannot reach a lift of"):
        axle_rotation_at_lift(*short, 0.35)


def test_two_links_on_one_line_do_not_guide() -> None:
    one_line = (-0.03, 0.0, -0.43, 0.0, -0.02, 0.0, -0.5, 0.0)
    with pytest.raises(NoSolution):
        axle_rotation_at_lift(*one_line, 0.05)


def test_link_without_length() -> None:
    with pytest.raises(NoSolution, match="without length"):
        axle_rotation_at_lift(-0.1, 0.1, -0.1, 0.1, 0.0, 0.1, -0.4, 0.1, 0.05)


def test_radius_arm() -> None:
    assert radius_arm_rotation(0.9, 0.03, 0.0) == 0.0
    # Coming down to level again gives back what going up took.
    assert radius_arm_rotation(0.9, 0.05, -0.05) == pytest.approx(-radius_arm_rotation(0.9, 0.0, 0.05))
    with pytest.raises(NoSolution, match=r"arm of 400\.0 mm cannot span a drop of 450\.0 mm"):
        radius_arm_rotation(0.4, 0.1, 0.35)


def test_correction_adds_to_caster() -> None:
    assert caster_at_lift(0.12, -0.03, 0.02) == pytest.approx(0.11)
