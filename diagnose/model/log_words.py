"""The words by which one short line becomes rows of the care log."""

from __future__ import annotations

from collections.abc import Mapping

from diagnose.frozen import frozen

__all__ = ["LogWords"]


@frozen
class LogWords:
    """Everything of knowledge/log.yaml, in small letters.

    ``actions`` and ``stages`` give the id for each phrase; ``every`` stands for all plants; ``joins`` stand between
    plants; ``passed_over`` may stand before an amount or at the start without meaning anything.
    """

    actions: Mapping[str, str]
    stages: Mapping[str, str]
    every: tuple[str, ...]
    joins: tuple[str, ...]
    passed_over: tuple[str, ...]
