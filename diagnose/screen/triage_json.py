"""The list of cases as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from diagnose.model.knowledge import KnowledgeBase
from diagnose.reason.outbreaks import Outbreak
from diagnose.reason.triage import Due, Ranked
from diagnose.screen.as_json import json_text

__all__ = ["list_as_json"]


def list_as_json(base: KnowledgeBase, ranked: Sequence[Ranked], outbreaks: Sequence[Outbreak], due: Sequence[Due]
                 ) -> str:
    """All that the list shows, as one JSON object."""
    shown = {"cases": [_case(entry) for entry in ranked], "outbreaks": [_outbreak(base, entry) for entry in outbreaks],
             "due": [_due(entry) for entry in due]}
    return json_text(shown)


def _case(ranked: Ranked) -> dict[str, Any]:
    file, glance = ranked.case.case_file, ranked.case.glance
    return {
        "case": file.case, "file": file.file, "state": str(file.state) if glance else None,
        "received": file.received.isoformat() if file.received else None, "taken_by": file.taken_by or None,
        "urgency": ranked.urgency, "score": ranked.score, "days": ranked.days,
        "plant": glance.group if glance else None, "verdict": glance.verdict if glance else None,
        "causes": [{"cause": share.cause, "probability": share.probability, "grade": share.grade}
                   for share in glance.shares] if glance else [],
        "missing": [{"sign": missing.sign, "question": missing.question} for missing in glance.missing
                    ] if glance else [],
        "problem": ranked.case.problem or None,
    }


def _outbreak(base: KnowledgeBase, outbreak: Outbreak) -> dict[str, Any]:
    return {
        "cause": outbreak.cause, "name": base.causes[outbreak.cause].name, "cases": list(outbreak.cases),
        "count": len(outbreak.cases), "of": outbreak.of, "expected": round(outbreak.expected, 3),
        "p_value": outbreak.p_value, "tests": outbreak.tests, "test": "binomial tail",
        "shared": {outbreak.shared: outbreak.value} if outbreak.shared else None,
        "from": outbreak.first.isoformat(), "to": outbreak.last.isoformat(),
    }


def _due(due: Due) -> dict[str, Any]:
    return {"case": due.case, "file": due.file, "on": due.on.isoformat(), "days_left": due.days_left,
            "by": due.by or None, "promised": due.promised}
