"""Call engine functions as rules do, with inches and pounds where a source gives those."""

from __future__ import annotations

from rules.engine.functions import FUNCTIONS
from rules.units import convert_measured
from rules.values import Failure, Value


def call(name: str, *arguments: Value) -> float:
    """The number that ``name`` gives; the test fails when it gives none."""
    result = FUNCTIONS[name].call(*arguments)
    assert not isinstance(result, Failure), result
    return result


def refusal(name: str, *arguments: Value) -> str:
    """The reason why ``name`` gives no number; the test fails when it gives one."""
    result = FUNCTIONS[name].call(*arguments)
    assert isinstance(result, Failure), result
    assert result.absent is None
    return result.reason


def mm(inches: float) -> float:
    return convert_measured(inches, "in", "mm")


def inches(millimetres: float) -> float:
    return convert_measured(millimetres, "mm", "in")
