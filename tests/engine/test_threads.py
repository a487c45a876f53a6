"""Thread checks: what is refused, and that the rounded constant is the exact one."""

from __future__ import annotations

import pytest

from rules.engine import threads
from rules.engine.functions import FUNCTIONS
from rules.units import convert_measured
from rules.values import Failure


def reason(result: float | Failure) -> str:
    assert isinstance(result, Failure)
    return result.reason


@pytest.mark.parametrize("pitch", [0.0, -1.0, 10.66, 50.0])
def test_a_thread_with_no_core(pitch: float) -> None:
    assert "pitch_mm must be greater than 0 and less than" in reason(
        threads.stress_area_mm2(10, pitch)
    )
    assert isinstance(threads.proof_load_n("8.8", 10, pitch), Failure)


def test_an_unknown_class_or_size() -> None:
    assert "8.8, 10.9, SAE 2, SAE 5, SAE 8" in reason(threads.proof_strength_mpa("9.9", 8))
    assert "at least 6.35 and at most 19.05 for SAE 2" in reason(
        threads.proof_strength_mpa("SAE 2", 20)
    )
    assert isinstance(threads.proof_load_n("9.9", 8, 1.25), Failure)


def test_a_preload_with_no_answer() -> None:
    assert "nut_factor must be greater than 0" in reason(threads.preload_n(20, 8, 0))
    assert "nut_factor must be greater than 0" in reason(threads.preload_n(20, 0, 0.2))
    assert "proof_load must be greater than 0" in reason(threads.proof_share(100, 0))


def test_no_rule_can_reach_a_torque() -> None:
    # A tightening torque comes from service data; the checks here must not pose as one.
    names = [parameter.name for f in FUNCTIONS.values() for parameter in f.parameters]
    assert not {"strength_class", "nut_factor", "proof_load"} & set(names)
    assert not any("torque" in name or "proof" in name for name in FUNCTIONS)


def test_strengths_given_in_ksi_are_converted_exactly() -> None:
    ours = threads.proof_strength_mpa("SAE 5", 12)
    assert not isinstance(ours, Failure)
    assert ours == pytest.approx(convert_measured(85_000, "psi", "MPa"), rel=1e-15)
