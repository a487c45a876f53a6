"""Faults of a request point into it: RFC 6901, also where names hold ``/`` or ``~``."""

from __future__ import annotations

import pytest

from rules.build import build_list
from rules.faults import Faulty
from rules.request import BuildRequest, FittedPart
from tests.listing.asked import TODAY
from tests.seed_data.demo import compiled_demo


@pytest.mark.parametrize(
    ("name", "token"), [("a/b", "a~1b"), ("m~n", "m~0n"), ("~1", "~01"), ("a~/b", "a~0~1b")]
)
def test_names_are_escaped(name: str, token: str) -> None:
    facts = BuildRequest(facts={name: 1}, jobs=("cam_upgrade",))
    told = FittedPart(part_type="camshaft", properties={name: 1})
    fitted = BuildRequest(vehicle_id="longshore_1478_2013", jobs=("cam_upgrade",), fitted=(told,))
    for request, where in (
        (facts, f"/vehicle/facts/{token}"),
        (fitted, f"/fitted/0/properties/{token}"),
    ):
        with pytest.raises(Faulty) as refused:
            build_list(compiled_demo(), request, today=TODAY, edition="1")
        assert where in [fault.where for fault in refused.value.faults]
