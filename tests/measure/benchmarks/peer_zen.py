"""The same rules as decision tables of zen-engine: a table a layer, a formula a line, Python between the layers."""

from __future__ import annotations

import json
from collections.abc import Collection, Mapping, Sequence
from typing import Any

import zen  # type: ignore[import-not-found, import-untyped, unused-ignore]

from diagnose.reason.formula import And, Formula, Not, Or, Symbol, symbols_of
from diagnose.reason.layers import EngineRule, layers_of

__all__ = ["InZen"]


class InZen:
    """A table that collects every line that holds, for each layer."""

    def __init__(self, rules: Sequence[EngineRule]) -> None:
        self._gives = {rule.name: rule.gives for rule in rules}
        names = sorted({name for rule in rules for name in symbols_of(rule.when)})
        keys = {name: f"s{number}" for number, name in enumerate(names)}
        engine = zen.ZenEngine()
        self._layers = [({name: keys[name] for rule in layer for name in symbols_of(rule.when)},
                         engine.create_decision(json.dumps(_decision(layer, keys)))) for layer in layers_of(rules)]

    def run(self, true: Collection[str]) -> set[str]:
        """The names of the rules that fire."""
        known, fired = set(true), set[str]()
        for keys, decision in self._layers:
            found = decision.evaluate({key: name in known for name, key in keys.items()})["result"]
            names = {line["rule"] for line in found}
            fired |= names
            known |= {self._gives[name] for name in names}
        return fired


def _decision(layer: Sequence[EngineRule], keys: Mapping[str, str]) -> dict[str, Any]:
    lines = [{"_id": f"l{number}", "when": _expression(rule.when, keys), "rule": json.dumps(rule.name)}
             for number, rule in enumerate(layer)]
    table = {"hitPolicy": "collect", "inputs": [{"id": "when", "name": "when"}],
             "outputs": [{"id": "rule", "name": "rule", "field": "rule"}], "rules": lines}
    nodes = [{"id": "in", "name": "in", "type": "inputNode"}, {"id": "out", "name": "out", "type": "outputNode"},
             {"id": "table", "name": "table", "type": "decisionTableNode", "content": table}]
    edges = [{"id": "first", "sourceId": "in", "targetId": "table", "type": "edge"},
             {"id": "last", "sourceId": "table", "targetId": "out", "type": "edge"}]
    return {"nodes": nodes, "edges": edges}


def _expression(formula: Formula, keys: Mapping[str, str]) -> str:
    match formula:
        case Symbol(name):
            return keys[name]
        case Not(part):
            return f"(not {_expression(part, keys)})"
        case And(parts):
            return f"({' and '.join(_expression(part, keys) for part in parts)})" if parts else "true"
        case Or(parts):
            return f"({' or '.join(_expression(part, keys) for part in parts)})" if parts else "false"
