"""The rule library with a watch on it."""

from __future__ import annotations

from typing import Any

from diagnose.reason import engine


class Watched:
    """The library with everything that is handed to it written down, and faults on demand."""

    def __init__(self) -> None:
        self.library: Any = engine._load_library()
        self.rulesets: list[str] = []
        self.batches: list[str] = []
        self.handles: list[int] = []
        self.faults: dict[str, BaseException | tuple[int, int]] = {}

    def __getattr__(self, name: str) -> Any:
        real = getattr(self.library, name)

        def call(handle: Any, *rest: Any) -> Any:
            if name == "create_ruleset":
                self.rulesets.append(rest[0])
            if name in ("assert_facts", "retract_facts"):
                self.batches.append(rest[0])
                self.handles.append(handle)
            fault = self.faults.pop(name, None)
            if isinstance(fault, BaseException):
                raise fault
            return fault or real(handle, *rest)

        return call
