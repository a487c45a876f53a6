"""The table of engine functions: complete, well described, and total over any arguments."""

from __future__ import annotations

from inspect import signature
from math import inf, isfinite, nan

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from rules.engine.functions import FUNCTIONS, EngineFunction, Parameter
from rules.values import Failure, Value
from tests.engine.calls import call, refusal

laws = settings(derandomize=True, deadline=None, max_examples=400)

# Names and order are fixed: catalogs and rules that were written before depend on them.
SIGNATURES = {
    "displacement_cc": "bore_mm stroke_mm cylinders",
    "swept_cc": "bore_mm stroke_mm",
    "compression_ratio": "bore_mm stroke_mm chamber_cc gasket_thickness_mm gasket_bore_mm "
    "deck_mm dome_cc",
    "effective_compression": "static_ratio stroke_mm rod_mm intake_closes_abdc_deg",
    "duration_deg": "opens_before_deg closes_after_deg",
    "lobe_centre_intake_deg": "io_btdc_deg ic_abdc_deg",
    "lobe_centre_exhaust_deg": "eo_bbdc_deg ec_atdc_deg",
    "lobe_separation_deg": "io_btdc_deg ic_abdc_deg eo_bbdc_deg ec_atdc_deg",
    "valve_overlap_deg": "io_btdc_deg ec_atdc_deg",
    "valve_lift_mm": "lobe_lift_mm rocker_ratio lash_mm",
    "spring_open_height_mm": "installed_height_mm valve_lift_mm",
    "coil_bind_margin_mm": "installed_height_mm valve_lift_mm solid_height_mm",
    "spring_open_load_n": "seat_load_n rate_n_per_mm valve_lift_mm",
    "spring_rate_n_per_mm": "shear_modulus_mpa wire_mm mean_diameter_mm active_coils",
    "preload_turns": "preload_mm pitch_mm",
    "mean_piston_speed_m_s": "stroke_mm rpm",
    "air_flow_l_s": "displacement_cc rpm volumetric_efficiency",
    "injector_need_g_s": "power_kw bsfc_g_per_kwh injectors duty",
    "power_kw": "torque_nm rpm",
}
WHOLE = {"cylinders", "injectors"}
TYPICAL: dict[str, Value] = {
    **{"bore_mm": 98.4, "stroke_mm": 111.1, "cylinders": 2, "chamber_cc": 85.0},
    **{"gasket_thickness_mm": 0.8, "gasket_bore_mm": 99.0, "deck_mm": 0.1, "dome_cc": 2.0},
    **{"static_ratio": 10.0, "rod_mm": 194.7, "intake_closes_abdc_deg": 45.0},
    **{"opens_before_deg": 20.0, "closes_after_deg": 50.0, "io_btdc_deg": 20.0},
    **{"ic_abdc_deg": 50.0, "eo_bbdc_deg": 52.0, "ec_atdc_deg": 18.0, "lobe_lift_mm": 8.6},
    **{"rocker_ratio": 1.625, "lash_mm": 0.0, "installed_height_mm": 45.0},
    **{"valve_lift_mm": 13.0, "solid_height_mm": 28.0, "seat_load_n": 800.0},
    **{"rate_n_per_mm": 68.0, "shear_modulus_mpa": 79_300.0, "wire_mm": 4.1},
    **{"mean_diameter_mm": 27.0, "active_coils": 4.5, "preload_mm": 2.5, "pitch_mm": 0.79},
    **{"rpm": 5500.0, "displacement_cc": 1690.0, "volumetric_efficiency": 0.9},
    **{"power_kw": 75.0, "bsfc_g_per_kwh": 300.0, "injectors": 2, "duty": 0.85},
    **{"torque_nm": 130.0},
}
every_function = pytest.mark.parametrize("function", FUNCTIONS.values(), ids=FUNCTIONS.keys())


def typical(function: EngineFunction) -> list[Value]:
    return [TYPICAL[parameter.name] for parameter in function.parameters]


def test_names_and_order_of_arguments() -> None:
    assert {
        name: " ".join(p.name for p in f.parameters) for name, f in FUNCTIONS.items()
    } == SIGNATURES


@every_function
def test_the_table_describes_the_formula_it_holds(function: EngineFunction) -> None:
    assert FUNCTIONS[function.name] is function
    assert list(signature(function.formula).parameters) == [p.name for p in function.parameters]
    assert {p.name for p in function.parameters if p.kind == "whole"} == WHOLE & {
        p.name for p in function.parameters
    }
    assert function.kind == "number"
    assert function.sentence.endswith(".")
    assert function.source


@every_function
def test_a_unit_in_a_name_is_the_unit(function: EngineFunction) -> None:
    suffixes = {"_mm": "mm", "_cc": "cc", "_deg": "deg", "_n": "N", "_n_per_mm": "N/mm"}
    suffixes |= {"_mpa": "MPa", "_kw": "kW", "_nm": "N·m", "_g_per_kwh": "g/kWh"}
    suffixes |= {"_m_s": "m/s", "_l_s": "L/s", "_g_s": "g/s"}
    for name, unit in [(function.name, function.unit)] + [
        (p.name, p.unit) for p in function.parameters
    ]:
        longest = max((s for s in suffixes if name.endswith(s)), key=len, default=None)
        if longest is not None:
            assert unit == suffixes[longest], name


@every_function
def test_typical_arguments_give_a_float(function: EngineFunction) -> None:
    result = function.call(*typical(function))
    assert isinstance(result, float)
    assert isfinite(result)


def bad_values(parameter: Parameter) -> list[Value]:
    bad: list[Value] = [nan, inf, -inf, 10**400, True, "4"]
    if parameter.kind == "whole":
        bad += [2.0, 0, -1]
    if parameter.above is not None:
        bad += [parameter.above, parameter.above - 1]
    if parameter.least is not None:
        bad.append(parameter.least - 1)
    if parameter.below is not None:
        bad += [parameter.below, parameter.below + 1]
    if parameter.most is not None:
        bad.append(parameter.most + 0.001)
    return bad


@every_function
def test_a_bad_argument_is_named_alone(function: EngineFunction) -> None:
    for at, parameter in enumerate(function.parameters):
        for bad in bad_values(parameter):
            arguments = typical(function)
            arguments[at] = bad
            result = function.call(*arguments)
            assert isinstance(result, Failure), (parameter, bad)
            assert result.reason.startswith(f"{function.name}: {parameter.name} must be ")
            assert ";" not in result.reason


def test_a_reason_gives_the_range() -> None:
    typical_need = [75.0, 300.0, 2]
    assert refusal("injector_need_g_s", *typical_need, 80.0) == (
        "injector_need_g_s: duty must be greater than 0 and at most 1, not 80"
    )
    assert "volumetric_efficiency must be greater than 0 and at most 5, not 85" in refusal(
        "air_flow_l_s", 1690.0, 5500.0, 85.0
    )
    assert "cylinders must be a whole number, not 2.0" in refusal(
        "displacement_cc", 90.0, 90.0, 2.0
    )
    assert "intake_closes_abdc_deg must be greater than -180 and less than 180" in refusal(
        "effective_compression", 10.0, 100.0, 180.0, 200.0
    )


def test_every_bad_argument_is_named() -> None:
    reason = refusal("displacement_cc", 0.0, nan, 0)
    assert reason.count("must be") == 3


@every_function
def test_a_wrong_number_of_arguments(function: EngineFunction) -> None:
    assert isinstance(function.call(), Failure)
    assert isinstance(function.call(*typical(function), 1.0), Failure)


def test_the_table_cannot_be_changed() -> None:
    with pytest.raises(TypeError):
        FUNCTIONS["swept_cc"] = FUNCTIONS["power_kw"]  # type: ignore[index]


numbers = st.one_of(
    st.floats(),
    st.floats(0.001, 300),
    st.sampled_from([5e-324, 1e-200, 1e200, 1.7e308, 180.0, -180.0, 1.0]),
)
wholes = st.one_of(st.integers(), st.integers(1, 12), st.just(10**400))


@laws
@given(st.data())
def test_any_arguments_give_a_finite_number_or_a_failure(data: st.DataObject) -> None:
    function = data.draw(st.sampled_from(list(FUNCTIONS.values())))
    arguments = [data.draw(wholes if p.kind == "whole" else numbers) for p in function.parameters]
    result = function.call(*arguments)
    assert isinstance(result, Failure) or isfinite(result)


@pytest.mark.parametrize(
    ("name", "arguments"),
    [
        ("swept_cc", (1e200, 1.0)),
        ("displacement_cc", (100.0, 100.0, 10**308)),
        ("compression_ratio", (100.0, 100.0, 5e-324, 0.0, 100.0, 0.0, 0.0)),
        ("effective_compression", (10.0, 1e-5, 1e200, 40.0)),
        ("spring_rate_n_per_mm", (79_300.0, 1e-120, 1e-110, 5.0)),
        ("preload_turns", (1e300, 1e-300)),
        ("injector_need_g_s", (1e308, 1e308, 1, 0.5)),
        ("power_kw", (1e308, 1e308)),
    ],
)
def test_numbers_too_large_or_too_small_to_compute_with(
    name: str, arguments: tuple[Value, ...]
) -> None:
    assert "too large or too small" in refusal(name, *arguments)


def test_whole_numbers_serve_as_numbers() -> None:
    assert call("swept_cc", 100, 100) == call("swept_cc", 100.0, 100.0)
