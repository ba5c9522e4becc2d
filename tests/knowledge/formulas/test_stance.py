import pytest

from knowledge.formulas.stance import height_with_lift, rake_angle, rake_height


def test_level_car() -> None:
    assert rake_height(0.5, 0.5) == 0.0
    assert rake_angle(0.0, 2.56) == 0.0
    assert rake_height(0.057, 0.059) == pytest.approx(0.002)


def test_height_over_an_axle_follows_that_axle() -> None:
    assert height_with_lift(0.5, 0.05, 0.08, 0.0, 2.56, 0.0) == pytest.approx(0.55)
    assert height_with_lift(0.5, 0.05, 0.08, 2.56, 2.56, 0.0) == pytest.approx(0.58)


def test_the_same_lift_all_round_and_taller_tyres() -> None:
    assert height_with_lift(0.5, 0.05, 0.05, -0.8, 2.56, 0.015) == pytest.approx(0.565)


def test_lifting_the_tail_lowers_the_lamps_ahead_of_the_axle() -> None:
    # 0.64 m ahead of a 2.56 m wheelbase: a quarter of the 80 mm.
    assert height_with_lift(0.7, 0.0, 0.08, -0.64, 2.56, 0.0) == pytest.approx(0.68)


def test_a_point_of_the_body_turns_with_the_rake() -> None:
    drop = height_with_lift(0.7, 0.0, 0.08, -0.64, 2.56, 0.0) - 0.7
    assert drop == pytest.approx(-0.64 * (0.08 / 2.56))
    assert rake_angle(0.08, 2.56) == pytest.approx(0.08 / 2.56, rel=1e-3)
