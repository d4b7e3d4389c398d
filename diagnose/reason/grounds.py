"""What a firing rests on: the facts of the case behind it, through any number of conditions."""

from __future__ import annotations

from collections.abc import Iterator

from diagnose.reason.engine import Firing
from diagnose.reason.standing import Standing

__all__ = ["Grounds"]


class Grounds:
    """Follows firings of one case back to its facts."""

    def __init__(self, standing: Standing) -> None:
        self._known = standing.known
        self._givers = {firing.gives: firing for firing in reversed(standing.firings) if firing.gives}

    def of(self, firing: Firing) -> Iterator[tuple[str, Firing]]:
        """The symbols of the facts behind a firing, each with the firing that matched it first."""
        todo, seen = [(symbol, firing) for symbol in firing.matched], set(firing.matched)
        while todo:
            symbol, by = todo.pop()
            if symbol in self._known:
                yield symbol, by
            elif symbol in self._givers:
                giver = self._givers[symbol]
                fresh = [name for name in giver.matched if name not in seen]
                seen.update(fresh)
                todo.extend((name, giver) for name in fresh)
