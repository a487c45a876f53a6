"""The OpenAPI document: valid, complete, and its examples are true."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from typing import Any

import pytest
from jsonschema import Draft202012Validator
from openapi_spec_validator import OpenAPIV31SpecValidator
from referencing import Registry, Resource
from referencing.jsonschema import DRAFT202012

from tests.api.demo_examples import ASKED, FOLDER, answered, demo_service, file_of
from tests.api.harness import Client, client

METHODS = ("get", "post", "put", "patch", "delete")


@pytest.fixture(scope="module")
def document(web: Client) -> dict[str, Any]:
    found: dict[str, Any] = web.get("/openapi.json").json()
    return found


def operations(document: dict[str, Any]) -> Iterator[tuple[str, str, dict[str, Any]]]:
    for path, item in document["paths"].items():
        for method in METHODS:
            if method in item:
                yield method, path, item[method]


def test_the_document_is_valid_openapi_31(document: dict[str, Any]) -> None:
    assert document["openapi"].startswith("3.1")
    assert [str(error) for error in OpenAPIV31SpecValidator(document).iter_errors()] == []


def test_every_address_of_the_service_is_described(document: dict[str, Any]) -> None:
    described = {path for _, path, _ in operations(document)}
    assert described == {
        "/v1/build-lists",
        "/v1/build-lists/why",
        "/v1/build-lists/why-not",
        "/v1/bundle-checks",
        "/v1/vehicles",
        "/v1/vehicles/identify",
        "/v1/parts",
        "/v1/parts/{brand}/{number}",
        "/v1/jobs",
        "/v1/tools",
        "/v1/catalogs/current",
        "/healthz",
        "/readyz",
    }


def test_operations_are_named_once_and_say_what_they_do(document: dict[str, Any]) -> None:
    found = [operation for _, _, operation in operations(document)]
    names = [operation["operationId"] for operation in found]
    assert len(names) == len(set(names))
    assert all(re.fullmatch(r"[a-z][A-Za-z]+", name) for name in names)
    assert all(o["summary"] and o["description"] and o["tags"] for o in found)


def test_every_refusal_is_a_documented_problem(document: dict[str, Any]) -> None:
    for _, path, operation in operations(document):
        refusals = {s: r for s, r in operation["responses"].items() if not s.startswith("2")}
        assert {"405", "422", "500"} <= set(refusals), path
        for response in refusals.values():
            assert list(response["content"]) == ["application/problem+json"], path
            content = response["content"]["application/problem+json"]
            assert content["schema"] == {"$ref": "#/components/schemas/Problem"}


def test_no_shape_of_the_framework_is_left(document: dict[str, Any]) -> None:
    schemas = document["components"]["schemas"]
    assert not {"HTTPValidationError", "ValidationError"} & set(schemas)


def _examples(node: Any, where: str) -> Iterator[tuple[str, Any, Any]]:
    """Every example in the document, with the schema that it stands beside."""
    if isinstance(node, list):
        for place, item in enumerate(node):
            yield from _examples(item, f"{where}/{place}")
    if not isinstance(node, dict):
        return
    if isinstance(node.get("examples"), list):
        yield from ((where, node, example) for example in node["examples"])
    if "schema" in node:
        named = node.get("examples", {})
        if isinstance(named, dict):
            yield from ((f"{where}/{n}", node["schema"], e["value"]) for n, e in named.items())
        if "example" in node:
            yield where, node["schema"], node["example"]
    for name, item in node.items():
        if name not in ("examples", "example"):
            yield from _examples(item, f"{where}/{name}")


def test_every_example_is_of_its_schema(document: dict[str, Any]) -> None:
    resource = Resource.from_contents(document, default_specification=DRAFT202012)
    registry: Registry[Any] = Registry().with_resource("urn:document", resource)
    checked = 0
    for where, schema, example in _examples(document, ""):
        absolute = _absolute(schema)
        validator = Draft202012Validator(absolute, registry=registry)
        assert [error.message for error in validator.iter_errors(example)] == [], where
        checked += 1
    assert checked > 50


def _absolute(node: Any) -> Any:
    """References as they are from outside the document."""
    if isinstance(node, list):
        return [_absolute(item) for item in node]
    if not isinstance(node, dict):
        return node
    return {
        name: f"urn:document{item}" if name == "$ref" else _absolute(item)
        for name, item in node.items()
    }


@pytest.fixture(scope="module")
def demo() -> Iterator[Client]:
    with client(demo_service()) as asked:
        yield asked


@pytest.mark.parametrize("operation_id", ASKED)
def test_the_examples_are_what_the_demo_catalog_answers(demo: Client, operation_id: str) -> None:
    """After a change that is meant: python -m tests.api.demo_examples."""
    written = json.loads(file_of(operation_id).read_text("utf-8"))
    assert written == answered(demo, operation_id)


def test_there_is_an_example_for_every_operation_and_no_other(document: dict[str, Any]) -> None:
    named = {operation["operationId"] for _, _, operation in operations(document)}
    assert named == set(ASKED) == {file.stem for file in FOLDER.glob("*.json")}


def _has_example(content: dict[str, Any]) -> bool:
    return bool(content.get("examples") or content.get("example"))


def test_every_body_read_and_written_has_an_example(document: dict[str, Any]) -> None:
    missing = []
    for method, path, operation in operations(document):
        bodies = [operation["requestBody"]] if "requestBody" in operation else []
        for body in [*bodies, *operation["responses"].values()]:
            for media_type, content in body.get("content", {}).items():
                if not _has_example(content):
                    missing.append(f"{method} {path} {media_type}")
    assert missing == []


def test_money_is_never_a_number(document: dict[str, Any]) -> None:
    """A JSON number is a double in many readers (RFC 8259 s. 6)."""
    schemas = document["components"]["schemas"]
    assert schemas["MoneyShape"]["properties"]["amount"]["type"] == "string"
    words = re.compile(r"price|amount|total|worth|deposit|budget$|^tax$")
    for name, schema in schemas.items():
        for field, kind in schema.get("properties", {}).items():
            if words.search(field):
                assert kind.get("type") not in ("number", "integer"), f"{name}.{field}"
