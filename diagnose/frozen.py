"""Frozen dataclasses that are quick to make.

The standard decorator compiles six methods for each class; for the hundred and more classes that a command loads, that
was most of its loading time. Here one is compiled, the constructor, and the others are the same for all classes.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import MISSING, Field, FrozenInstanceError, dataclass, field, fields
from typing import Any, NoReturn, TypeVar, dataclass_transform

__all__ = ["frozen"]

T = TypeVar("T")


@dataclass_transform(frozen_default=True, field_specifiers=(field,))
def frozen(cls: type[T]) -> type[T]:
    """The class as a frozen dataclass: equal to others of the class with equal fields, hashable, never changed.

    For classes of fields alone: none inherited, none left out of the constructor, nothing kept in an object later.
    """
    made: Any = dataclass(init=False, repr=False, eq=False)(cls)
    made.__init__ = _constructor(made.__qualname__, fields(made))
    made.__eq__, made.__hash__, made.__repr__ = _eq, _hash, _repr
    made.__setattr__ = made.__delattr__ = _refuse
    return cls


def _constructor(owner: str, parts: Iterable[Field[Any]]) -> Callable[..., None]:
    names: dict[str, Any] = {"MISSING": MISSING}
    arguments, steps = ["self"], ["held = self.__dict__"]
    for part in parts:
        given = part.name
        if part.default is not MISSING:
            names[f"default_{part.name}"] = part.default
            arguments.append(f"{part.name}=default_{part.name}")
        elif part.default_factory is not MISSING:
            names[f"make_{part.name}"] = part.default_factory
            arguments.append(f"{part.name}=MISSING")
            given = f"make_{part.name}() if {part.name} is MISSING else {part.name}"
        else:
            arguments.append(part.name)
        steps.append(f"held[{part.name!r}] = {given}")
    exec(f"def __init__({', '.join(arguments)}):\n " + "\n ".join(steps), names)
    made: Callable[..., None] = names["__init__"]
    made.__qualname__ = f"{owner}.__init__"
    return made


def _eq(self: object, other: object) -> bool:
    return self.__dict__ == other.__dict__ if other.__class__ is self.__class__ else NotImplemented


def _hash(self: object) -> int:
    return hash(tuple(self.__dict__.values()))


def _repr(self: object) -> str:
    return f"{type(self).__qualname__}({', '.join(f'{name}={held!r}' for name, held in self.__dict__.items())})"


def _refuse(self: object, name: str, *held: object) -> NoReturn:
    raise FrozenInstanceError(f"the field {name} cannot be changed")
