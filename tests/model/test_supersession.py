"""Old numbers followed to what is sold today."""

from __future__ import annotations

from rules.catalog import PartKey, Supersession
from rules.supersession import follow, replacements


def key(number: str) -> PartKey:
    return PartKey("Torvane", number)


def rows(*pairs: tuple[str, str]) -> list[Supersession]:
    return [Supersession(old=key(old), new=key(new)) for old, new in pairs]


def test_a_current_number_is_its_own_answer() -> None:
    found = follow(key("T1"), replacements(rows(("T0", "T9"))))
    assert found.current == (key("T1"),)
    assert not found.changed


def test_a_chain_is_followed_to_its_end() -> None:
    found = follow(key("T1"), replacements(rows(("T1", "T2"), ("T2", "T3"))))
    assert found.chain == (key("T1"), key("T2"), key("T3"))
    assert found.current == (key("T3"),)
    assert found.changed


def test_one_number_may_stand_for_several_together() -> None:
    by = replacements(rows(("T1", "T3"), ("T1", "T2"), ("T3", "T4")))
    assert follow(key("T1"), by).current == (key("T2"), key("T4"))


def test_two_branches_may_end_in_the_same_number() -> None:
    by = replacements(rows(("T1", "T2"), ("T1", "T3"), ("T2", "T4"), ("T3", "T4")))
    assert follow(key("T1"), by).current == (key("T4"),)


def test_the_order_of_rows_does_not_matter() -> None:
    forwards = rows(("T1", "T2"), ("T1", "T3"), ("T3", "T4"))
    assert replacements(forwards) == replacements(reversed(forwards))
