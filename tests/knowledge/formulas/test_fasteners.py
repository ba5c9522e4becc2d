"""Bolts: limit cases, refusals, and the reference car's U-bolts."""

from __future__ import annotations

import pytest

from knowledge.formulas.bolted_joints import bolt_stress, joint_constant, share_of_proof, ubolt_clamp
from knowledge.formulas.fasteners import (
    nut_factor,
    preload_from_torque,
    proof_load,
    tensile_stress_area,
    torque_from_friction,
    torque_from_preload,
)
from knowledge.standards.fastening import grade
from shared.errors import FormulaError, NoSolution


def test_reference_car_u_bolts() -> None:
    # 1/2-20 at 75 N m, K 0.20: 29.5 kN a leg, 0.49 of the proof load of grade 5.
    leg = preload_from_torque(75, 0.20, 0.0127)
    assert round(leg / 1e3, 1) == 29.5
    area = tensile_stress_area("unified", 0.0127, 0.0254 / 20)
    assert round(share_of_proof(leg, area, grade("SAE J429 grade 5", 0.0127).proof), 2) == 0.49
    assert ubolt_clamp(75, 0.20, 0.0127, 4) == pytest.approx(4 * leg)


def test_torque_and_preload_undo_each_other() -> None:
    assert torque_from_preload(preload_from_torque(80, 0.18, 0.012), 0.18, 0.012) == pytest.approx(80)
    assert nut_factor(80, preload_from_torque(80, 0.18, 0.012), 0.012) == pytest.approx(0.18)


def test_without_friction_only_the_lead_is_left() -> None:
    # A frictionless screw turns torque into F P / (2 pi).
    assert torque_from_friction(1000, 0.012, 0.00175, 0.0, 0.0, 0.015) == pytest.approx(1000 * 0.00175 / 6.283185, 1e-6)


def test_metric_area_is_a_little_larger_for_the_same_size() -> None:
    assert tensile_stress_area("metric", 0.01, 0.0015) > tensile_stress_area("unified", 0.01, 0.0015)


def test_refusals() -> None:
    with pytest.raises(FormulaError, match="unified or metric, not 'pipe'"):
        tensile_stress_area("pipe", 0.01, 0.0015)
    with pytest.raises(NoSolution, match=r"bolt of 2\.00 mm cannot carry a pitch of 3\.00 mm"):
        tensile_stress_area("metric", 0.002, 0.003)
    with pytest.raises(NoSolution, match=r"bolt of 2\.00 mm cannot carry a pitch of 6\.00 mm"):
        torque_from_friction(1000, 0.002, 0.006, 0.15, 0.15, 0.003)
    with pytest.raises(NoSolution, match="opens a joint"):
        bolt_stress(1000, 5000, 0.3, 1e-4)


def test_proof_load_used_whole() -> None:
    assert share_of_proof(proof_load(1e-4, 6e8), 1e-4, 6e8) == pytest.approx(1.0)


def test_soft_clamp_leaves_all_to_the_bolt() -> None:
    assert joint_constant(1e11, 1e5) == pytest.approx(1.0, abs=1e-5)
    assert joint_constant(1e8, 1e8) == 0.5
    # No outside load: only the preload is felt.
    assert bolt_stress(2e4, 0.0, 0.3, 1e-4) == pytest.approx(2e8)
