"""What is refused, in which words, and with which mend."""

from __future__ import annotations

import pytest

from rules.expressions import Allow, compile_expression
from rules.faults import Faulty
from tests.expressions.bike import SCOPE, compiled, faults


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("", "the expression is empty. Write an expression or leave the field out."),
        ("a = b", "at character 3: '=' has no meaning here. Write == to compare."),
        ("true & false", "at character 6: '&' has no meaning here. Write && for and."),
        ("true | false", "at character 6: '|' has no meaning here. Write || for or."),
        (
            "vehicle.cooling == 'air",
            "at character 20: this text is not closed. Close the text with ' on the same line.",
        ),
        (
            "11.4mm <= 12.9",
            "at character 1: '11.4mm' is not a number. "
            "Write 11.4 alone; units belong to the declared names.",
        ),
        ("5. > 1.0", "at character 1: '5.' is not a number. Write 5.0."),
        (
            "r'a' == 'a'",
            "at character 1: no letter may stand before a text, as 'r' does. Take it out.",
        ),
        (
            "'''a''' == 'a'",
            "at character 1: texts in three quotes are not part of this language. Use one.",
        ),
        (
            r"'\q' == 'q'",
            r"at character 2: '\\q' is not an escape. Write one of \\ \' \" \n \t \r \uXXXX.",
        ),
        (
            r"'\ud800' == 'q'",
            r"at character 2: '\\ud800' is not an escape. Write one of \\ \' \" \n \t \r \uXXXX.",
        ),
        ("1e999 > 1.0", "at character 1: 1e999 is too large for a number. Write a smaller number."),
        (
            "9223372036854775808 > 1",
            "at character 1: 9223372036854775808 does not fit in 64 bits. "
            "Write at most 9223372036854775807.",
        ),
        (
            "-9223372036854775809 < 1",
            "at character 2: 9223372036854775809 does not fit in 64 bits. "
            "Write at most 9223372036854775807.",
        ),
        ("1 +", "at character 4: the text ends too early. Write a value, a name or a parenthesis."),
        ("(1 + 2", "at character 7: the text ends too early. Close the parenthesis."),
        (
            "1 2",
            "at character 3: unexpected '2'. Join the two parts with an operator, or take one out.",
        ),
        (
            "true ? 1",
            "at character 9: the text ends too early. Write condition ? value : other value.",
        ),
        (
            "true ? true ? 1 : 2 : 3",
            "at character 13: unexpected '?'. Write condition ? value : other value.",
        ),
        ("!-1", "at character 2: unexpected '-'. Put the inner part in parentheses."),
        (
            "[1, 2][0]",
            "at character 7: unexpected '['. Nothing can be indexed in this language.",
        ),
        (
            "min(1 2)",
            "at character 7: unexpected '2'. Write , between items or ) at the end.",
        ),
        (
            "vehicle.",
            "at character 9: the text ends too early. Write the name of a property after the dot.",
        ),
        (
            "vehicle.cooling == null",
            "at character 20: 'null' is a reserved word. "
            "What is not known is left out; test for a part with present('…').",
        ),
        (
            "{1: 2}",
            "at character 1: '{' has no meaning here. "
            "Maps and messages are not part of this language.",
        ),
    ],
)
def test_syntax(text: str, expected: str) -> None:
    assert faults(text)[0] == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (
            "vehicle.coolin == 'air'",
            "at character 1: 'coolin' is no declared fact. Write vehicle.cooling.",
        ),
        (
            "cooling == 'air'",
            "at character 1: 'cooling' alone has no value. Write vehicle.cooling.",
        ),
        (
            "camshaft == 'x'",
            "at character 1: 'camshaft' alone has no value. "
            "Write camshaft.<property>, or present('camshaft').",
        ),
        ("air == 'air'", "at character 1: 'air' alone has no value. Put text in quotes: 'air'."),
        (
            "vehicle == 'x'",
            "at character 1: 'vehicle' alone has no value. "
            "Write vehicle.<fact> or fitted.<part type>.<property>.",
        ),
        (
            "vehicle.cooling.kind == 'x'",
            "at character 1: vehicle.cooling is a value, not a record. Write vehicle.cooling.",
        ),
        (
            "1.5 > camshft.valve_lift_mm",
            "at character 7: 'camshft' is no declared part type. Write camshaft.valve_lift_mm.",
        ),
        (
            "camshaft.valve_lft_mm > 1.5",
            "at character 1: 'valve_lft_mm' is no declared property of camshaft. "
            "Write camshaft.valve_lift_mm.",
        ),
        (
            "camshaft.colour == 'red'",
            "at character 1: 'colour' is no declared property of camshaft. Use one of brand, "
            "condition, duration_deg, emission_class, grind, life_km, number, valve_lift_mm, "
            "or declare it.",
        ),
        (
            "fitted.camshaft == 'red'",
            "at character 1: fitted.camshaft names no property. Write fitted.camshaft.<property>.",
        ),
        (
            "fitted.camshft.life_km > 1",
            "at character 1: 'camshft' is no declared part type. Write fitted.camshaft.life_km.",
        ),
        (
            "renewed('camshft')",
            "at character 1: 'camshft' is no declared part type. Write renewed('camshaft').",
        ),
        (
            "doing('cam_cover')",
            "at character 1: 'cam_cover' is no declared step. Write doing('cam_cover_off').",
        ),
        (
            "renewed(camshaft)",
            "at character 1: renewed() takes the name of a part type in quotes. "
            "Write renewed('…').",
        ),
        (
            "doing()",
            "at character 1: doing() takes the name of a step in quotes. Write doing('…').",
        ),
        ("renewd('camshaft')", "at character 1: there is no function 'renewd'. Write renewed(…)."),
        (
            "vehicle.cooling.startWith('a')",
            "at character 17: there is no method 'startWith'. Write .startsWith(…).",
        ),
        (
            "vehicle.odometer_km.double() > 1.0",
            "at character 21: there is no method 'double'. Write double(vehicle.odometer_km).",
        ),
        ("(1 + 2).size > 1", "at character 9: this value has no properties. Take the dot out."),
    ],
)
def test_names(text: str, expected: str) -> None:
    assert faults(text) == [expected]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (
            "vehicle.bore_mm + 5 > 1.0",
            "at character 19: the right side of + must be a decimal number, but this is a whole "
            "number. Write 5.0.",
        ),
        (
            "vehicle.cylinders * 1.5 > 3.0",
            "at character 1: the left side of * must be a decimal number, but this is a whole "
            "number. Write double(vehicle.cylinders).",
        ),
        (
            "vehicle.bore_mm == 96",
            "at character 20: the right side of == must be a decimal number, but this is a whole "
            "number. Write 96.0.",
        ),
        (
            "vehicle.bore_mm in [96, 100.0]",
            "at character 21: each item of this list must be a decimal number, but this is a "
            "whole number. Write 96.0.",
        ),
        (
            "vehicle.model_year in [2001.0]",
            "at character 24: each item of this list must be a whole number, but this is a "
            "decimal number. Write 2001.",
        ),
        (
            "vehicle.model_year % 2.5 == 1",
            "at character 22: the right side of % must be a whole number, but this is a decimal "
            "number. Write int(2.5).",
        ),
        (
            "vehicle.abs ? 1 : 2.0",
            "at character 15: the left value of ? : must be a decimal number, but this is a "
            "whole number. Write 1.0.",
        ),
        (
            "vehicle.model_year ? 1 : 2",
            "at character 1: the part before ? must be a yes/no value, but this is a whole "
            "number. Compare it with something, as in vehicle.model_year == ….",
        ),
        (
            "vehicle.cooling && true",
            "at character 1: each side of && must be a yes/no value, but this is a text. "
            "Compare it with something, as in vehicle.cooling == ….",
        ),
        (
            "!vehicle.cooling",
            "at character 2: what ! turns round must be a yes/no value, but this is a text. "
            "Compare it with something, as in vehicle.cooling == ….",
        ),
        (
            "-vehicle.abs == 1",
            "at character 2: what - turns round must be a number, but this is a yes/no value. "
            "Use a number.",
        ),
        (
            "vehicle.abs < true",
            "at character 13: a yes/no value has no order for <. Compare with == or !=.",
        ),
        (
            "1.0 < vehicle.bore_mm < 9.0",
            "at character 23: a yes/no value has no order for <. "
            "Write 1.0 < vehicle.bore_mm && vehicle.bore_mm < 9.0.",
        ),
        (
            "vehicle.family == 3",
            "at character 19: the right side of == must be a text, but this is a whole number. "
            "Write '3'.",
        ),
        (
            "vehicle.family + 3 == 'a'",
            "at character 18: the right side of + must be a text, but this is a whole number. "
            "Write '3'.",
        ),
        (
            "vehicle.family - 'a' == 'b'",
            "at character 1: the left side of - must be a number, but this is a text. "
            "Use a number.",
        ),
        (
            "min(1, 2.0) > 1.0",
            "at character 5: the left argument of min must be a decimal number, but this is a "
            "whole number. Write 1.0.",
        ),
        (
            "abs('a') > 1",
            "at character 5: what abs takes must be a number, but this is a text. Use a number.",
        ),
        ("abs(1, 2) > 1", "at character 1: abs takes 1 argument, but 2 given. Give 1."),
        (
            "vehicle.family.size(1) > 1",
            "at character 16: size takes 0 arguments, but 1 given. Give 0.",
        ),
        (
            "vehicle.family.contains(1)",
            "at character 25: what contains takes must be a text, but this is a whole number. "
            "Write '1'.",
        ),
        (
            "swept_cc(1.0) > 1.0",
            "at character 1: swept_cc takes 2 arguments, but 1 given. "
            "Write swept_cc(bore_mm, stroke_mm).",
        ),
        (
            "swept_cc(96, 100.0) > 1.0",
            "at character 10: bore_mm of swept_cc must be a decimal number, but this is a whole "
            "number. Write 96.0.",
        ),
        (
            "displacement_cc(96.0, 100.0, 2.0) > 1.0",
            "at character 30: cylinders of displacement_cc must be a whole number, but this is a "
            "decimal number. Write 2.",
        ),
        (
            "vehicle.family in ['a', vehicle.market]",
            "at character 25: a list holds constants only. Compare with == instead.",
        ),
        (
            "vehicle.family in []",
            "at character 19: in needs a list of constants. Write value in ['a', 'b'].",
        ),
        (
            "vehicle.family in vehicle.market",
            "at character 19: in needs a list of constants. Write value in ['a', 'b'].",
        ),
        (
            "[1] == [1]",
            "at character 1: a list stands only on the right of in. "
            "Write value in [a, b] to test for one of several.",
        ),
        (
            "vehicle.cooling == 'licuid'",
            "at character 20: vehicle.cooling is never 'licuid'. Write 'liquid'.",
        ),
        (
            "'oil' != vehicle.cooling",
            "at character 1: vehicle.cooling is never 'oil'. Use one of 'air', 'liquid'.",
        ),
        (
            "camshaft.condition in ['new', 'rebilt']",
            "at character 31: camshaft.condition is never 'rebilt'. Write 'rebuilt'.",
        ),
    ],
)
def test_kinds(text: str, expected: str) -> None:
    assert faults(text)[0] == expected


def test_every_fault_is_listed_in_the_order_of_the_text() -> None:
    text = "vehicle.coolin == 'air' && doing('cam_cover') && camshaft.lift + 1 > 3 && 1 + 1.0 > 1.0"
    found = faults(text)
    assert [fault.split(":")[0] for fault in found] == [
        "at character 1", "at character 28", "at character 50", "at character 75",
    ]  # fmt: skip


def test_all_wrong_characters_are_listed() -> None:
    assert len(faults("1 # 2 @ 3 ' 4")) == 3


def test_faults_carry_the_path() -> None:
    with pytest.raises(Faulty) as refused:
        compiled("vehicle.nothing_like_it == 1")
    assert refused.value.faults[0].where == "rules/a.yaml:b:limit"


@pytest.mark.parametrize(
    ("text", "kind", "expected"),
    [
        ("35", "number", "Write 35.0."),
        ("vehicle.cylinders", "number", "Write double(vehicle.cylinders)."),
        ("35.0", "whole", "Write 35."),
        ("1e3", "whole", "Write 1000."),
        ("vehicle.bore_mm", "whole", "Write int(vehicle.bore_mm)."),
        ("vehicle.bore_mm", "flag", "Compare it with something, as in vehicle.bore_mm == …."),
        ("true", "text", "Write 'true'."),
        ("vehicle.abs", "number", "Use a decimal number."),
    ],
)
def test_the_result_must_be_of_the_kind(text: str, kind: str, expected: str) -> None:
    with pytest.raises(Faulty) as refused:
        compile_expression(text, SCOPE, kind=kind, where="x")  # type: ignore[arg-type]
    (fault,) = refused.value.faults
    assert fault.problem.startswith("at character 1: the result must be ")
    assert fault.mend == expected


@pytest.mark.parametrize(
    ("text", "needs"),
    [
        ("vehicle.abs", Allow.FACTS),
        ("camshaft.brand == 'a'", Allow.TARGET),
        ("fitted.camshaft.brand == 'a'", Allow.FITTED),
        ("renewed('camshaft')", Allow.RENEWED),
        ("doing('cam_cover_off')", Allow.DOING),
        ("present('camshaft')", Allow.PRESENT),
        ("run_km('camshaft') > 1", Allow.RUN_KM),
    ],
)
def test_what_a_place_does_not_allow_cannot_be_read(text: str, needs: Allow) -> None:
    assert faults(text, allow=needs) == []
    assert "cannot be read here" in faults(text, allow=Allow.ALL & ~needs)[0]


def test_the_mend_says_what_may_be_read() -> None:
    assert faults("renewed('camshaft')", allow=Allow.FACTS | Allow.TARGET) == [
        "at character 1: renewed('camshaft') cannot be read here. "
        "Read only facts (vehicle.…), parts of the target (part_type.…)."
    ]
    assert faults("vehicle.abs", allow=Allow(0)) == [
        "at character 1: vehicle.abs cannot be read here. Write a constant."
    ]
