"""JSON bodies give back the records they were made of."""

from __future__ import annotations

import json

from hypothesis import given, settings

from db.bodies import from_body, to_body
from db.rows import RECORD_KINDS
from rules.catalog import Catalog, PricePolicy
from rules.folder import canonical
from tests.folder.generated import catalogs
from tests.folder.test_round_trip import exactly


@settings(max_examples=20)
@given(catalogs())
def test_every_record_survives_json(catalog: Catalog) -> None:
    tidy = canonical(catalog)
    records = [record for kind in RECORD_KINDS for record in getattr(tidy, kind)]
    for record in [*records, tidy.policy]:
        body = json.loads(json.dumps(to_body(record), allow_nan=False))
        assert exactly(from_body(type(record), body)) == exactly(record)
    assert isinstance(tidy.policy, PricePolicy)
