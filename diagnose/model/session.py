"""A question sequence that was broken off, with all that is needed to go on."""

from __future__ import annotations

import datetime as dt
from dataclasses import field
from pathlib import Path

from diagnose.frozen import frozen
from diagnose.model.asking import Reply

__all__ = ["Session"]


@frozen
class Session:
    """How it began (``letter`` may be empty, ``typed`` tells that it was typed at the opening) and every reply."""

    date: dt.date
    letter: str = ""
    typed: bool = False
    group: str = ""
    stage: str = ""
    medium: str = ""
    records: Path | None = None
    plant: str = ""
    date_order: str = ""
    replies: tuple[Reply, ...] = field(default=())
