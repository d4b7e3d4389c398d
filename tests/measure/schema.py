"""Writes the JSON Schema of the result object that ships with the package: ``python -m tests.measure.schema``."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from pydantic import TypeAdapter

from diagnose.model.result import Result

__all__ = ["PLACE", "schema"]

PLACE = Path(__file__).resolve().parents[2] / "diagnose" / "model" / "result.schema.json"


def schema() -> dict[str, Any]:
    """The schema made from the types; names lose the trailing underscore, and nothing else is allowed."""
    found: dict[str, Any] = _plain(TypeAdapter(Result).json_schema())
    found["$schema"] = "https://json-schema.org/draft/2020-12/schema"
    found["title"] = "Result object, version 1"
    return found


def _plain(node: Any) -> Any:
    if isinstance(node, list):
        return [_plain(item) for item in node]
    if not isinstance(node, dict):
        return node
    result = {key: _plain(value) for key, value in node.items() if key != "title"}
    if "properties" in result:
        result["properties"] = {name.rstrip("_"): value for name, value in result["properties"].items()}
        result["required"] = [name.rstrip("_") for name in result.get("required", [])]
        result["additionalProperties"] = False
    return result


if __name__ == "__main__":
    PLACE.write_text(json.dumps(schema(), indent=1, sort_keys=True) + "\n", encoding="utf-8")
