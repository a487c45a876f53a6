"""Why each line is there, in words that can be read to a customer."""

from __future__ import annotations

import re

import pytest

from rules.answer import BuildList, PartLine
from rules.speech import in_a_sentence
from tests.listing.asked import VARIED, answer_to
from tests.seed_data.demo import compiled_demo

_ID = re.compile(r"\b[a-z]+_[a-z_]+\b")


def part(answer: BuildList, part_type: str) -> PartLine:
    return next(line for line in answer.parts if line.part_type == part_type)


def sentences(answer: BuildList, part_type: str) -> list[str]:
    return [reason.sentence for reason in part(answer, part_type).reasons]


@pytest.mark.parametrize("case", VARIED)
def test_every_line_has_a_reason(case: str) -> None:
    answer = answer_to(case)
    for lines in (answer.parts, answer.operations, answer.steps):
        assert [line for line in lines if not line.reasons] == []


@pytest.mark.parametrize("case", VARIED)
def test_a_reason_is_a_sentence_without_ids_and_said_once(case: str) -> None:
    answer = answer_to(case)
    for lines in (answer.parts, answer.kits, answer.operations, answer.steps):
        for line in lines:
            said = [reason.sentence for reason in line.reasons]
            assert len(said) == len(set(said))
            assert all(one.endswith(".") and not one[0].islower() for one in said)
            assert [one for one in said if _ID.search(one)] == []


@pytest.mark.parametrize("case", VARIED)
def test_what_a_step_spends_names_the_step(case: str) -> None:
    answer = answer_to(case)
    steps = compiled_demo().steps
    spent = [
        (line.part_type, reason)
        for line in answer.parts
        for reason in line.reasons
        if reason.kind == "spent"
    ]
    assert spent
    done = {line.step for line in answer.steps}
    for part_type, reason in spent:
        step = steps[reason.ref]
        assert reason.ref in done
        assert part_type in step.spends
        assert reason.sentence == f"Not used again after: {in_a_sentence(step.title)}."


def test_a_limit_says_what_is_needed_and_what_is_there() -> None:
    answer = answer_to("sport_cam_asks_for_more_than_a_camshaft")
    assert sentences(answer, "lifter") == [
        "The lifters must carry the spring load at full lift. 1225 N is needed; the lifter "
        "fitted now allows 1150 N."
    ]
    assert sentences(answer, "air_filter") == [
        "The air filter must pass the air drawn at peak power. 70.2 L/s is needed; the air "
        "filter fitted now gives 63 L/s."
    ]
    assert (
        "Fixed pushrods make up for at most half a millimetre of base circle. With the pushrod "
        "fitted now it is 1.4 mm; at most 0.5 mm is allowed."
    ) in sentences(answer, "pushrod")


def test_a_limit_that_nobody_can_judge_says_so() -> None:
    said = sentences(answer_to("unknown_spring_is_asked_for"), "valve_spring")
    assert [one for one in said if one.endswith("the valve spring fitted now, not known here.")], (
        said
    )


def test_wishes_are_reason_enough() -> None:
    assert sentences(answer_to("road_cam_needs_springs"), "camshaft") == [
        "Asked for: cam upgrade, road grind or more."
    ]
    assert sentences(answer_to("sport_cam_asks_for_more_than_a_camshaft"), "camshaft") == [
        "Asked for by its number."
    ]
    taken = answer_to("add_ons_taken")
    assert "Taken as an add-on." in sentences(taken, "cam_tensioner")
    old = answer_to("old_set_is_two_parts_today")
    for part_type in ("stator", "voltage_regulator"):
        assert sentences(old, part_type)[0] == "Asked for by the old number Torvane T395-SET."


def test_the_wish_is_said_whatever_comes_of_it() -> None:
    assert answer_to("road_cam_or_old_springs").status == "conflict"
    assert answer_to("road_cam_or_old_springs").wish == (
        "Cam upgrade, road grind or more: clearly more lift and a later intake closing.",
        "Kept as it is: valve spring.",
    )
    assert answer_to("unknown_spring_is_asked_for").status == "needs_facts"
    assert answer_to("unknown_spring_is_asked_for").wish
    assert answer_to("no_rebuilt_pump").wish == (
        "Oil pump: oil pressure when hot.",
        "Without Second Tide ST-321D (Oil pump, rebuilt, exchange).",
    )
    assert answer_to("add_ons_taken").wish[1:] == (
        "Add-on: cam chain tensioner.",
        "Add-on: lifter.",
    )
    assert answer_to("old_number_of_three_steps").wish == (
        "Brackwater B319.0, today Brackwater B319.3 (Cam chain tensioner, hydraulic).",
    )


def test_what_was_told_of_the_machine_is_said_in_words() -> None:
    assert answer_to("road_cam_needs_springs").machine.told == (
        "Market road strict",
        "Model year 2014",
        "Odometer 62000 km",
    )
    assert answer_to("market_does_not_matter_for_brakes").machine.told == ()
