"""Values behave as the standard frozen dataclasses do."""

from __future__ import annotations

import copy
import pickle
from collections.abc import Mapping
from dataclasses import FrozenInstanceError, dataclass, field, fields, replace
from typing import Any

import pytest

from diagnose.frozen import frozen


@frozen
class Pot:
    """A value with every kind of field in use."""

    plant: str
    width_cm: float
    signs: tuple[str, ...] = ()
    notes: Mapping[str, str] = field(default_factory=dict)
    marks: tuple[str, ...] = field(default=(), metadata={"key": "mark"})


@dataclass(frozen=True)
class Standard:
    """The same as the standard library makes it."""

    plant: str
    width_cm: float
    signs: tuple[str, ...] = ()
    notes: Mapping[str, str] = field(default_factory=dict)
    marks: tuple[str, ...] = field(default=(), metadata={"key": "mark"})


@frozen
class Empty:
    """A value without fields."""


GIVEN: list[tuple[tuple[Any, ...], dict[str, Any]]] = [
    (("a", 9.0), {}), (("a",), {"width_cm": 9.0}), (("b", 9.0, ("x",)), {}), (("a", 9.0), {"marks": ("y",)}),
    (("a", 9.0), {"notes": {"k": "v"}}), ((), {"width_cm": 1.0, "plant": "c"}),
]


def test_fields_and_words_are_those_of_the_standard_dataclass() -> None:
    """Names, order, defaults and what else is said of a field; the words for a value."""
    assert [(one.name, one.type, one.metadata, one.init) for one in fields(Pot)] == [
        (one.name, one.type, one.metadata, one.init) for one in fields(Standard)]
    assert Pot.__match_args__ == Standard.__match_args__
    for given, named in GIVEN:
        made, standard = Pot(*given, **named), Standard(*given, **named)
        assert vars(made) == vars(standard)
        assert repr(made) == repr(standard).replace("Standard", "Pot")
    assert repr(Empty()) == "Empty()"


def test_values_are_equal_by_class_and_fields() -> None:
    """Equal values have one hash; a value of another class is never equal."""
    for given, named in GIVEN:
        for other, also in GIVEN:
            assert (Pot(*given, **named) == Pot(*other, **also)) == (
                Standard(*given, **named) == Standard(*other, **also))
    assert Pot("a", 9.0) != Standard("a", 9.0)
    assert {Empty(): 1}[Empty()] == 1
    with pytest.raises(TypeError, match="unhashable"):
        hash(Pot("a", 9.0))  # it holds a dictionary


def test_defaults_that_are_made_are_not_shared() -> None:
    """Each value has a mapping of its own."""
    assert Pot("a", 1.0).notes is not Pot("a", 1.0).notes


def test_a_value_cannot_be_changed() -> None:
    """Neither a field nor a new name can be set, and no field can be taken away."""
    pot = Pot("a", 9.0)
    with pytest.raises(FrozenInstanceError, match="plant"):
        pot.plant = "b"  # type: ignore[misc]
    with pytest.raises(FrozenInstanceError, match="colour"):
        pot.colour = "red"  # type: ignore[attr-defined]
    with pytest.raises(FrozenInstanceError, match="plant"):
        del pot.plant
    assert pot == Pot("a", 9.0)


def test_copies_are_equal_and_replaced_ones_differ_in_what_was_replaced() -> None:
    """Copied, kept, and with one field replaced."""
    pot = Pot("a", 9.0, ("x",), {"k": "v"})
    for again in (copy.copy(pot), copy.deepcopy(pot), pickle.loads(pickle.dumps(pot))):
        assert again == pot
        assert again is not pot
    assert replace(pot, width_cm=12.0) == Pot("a", 12.0, ("x",), {"k": "v"})


def test_wrong_arguments_are_told_with_the_name_of_the_class() -> None:
    """A missing, a doubled and an unknown argument."""
    for given, named in (((), {"plant": "a"}), (("a", 1.0), {"plant": "b"}), (("a", 1.0), {"colour": "red"})):
        with pytest.raises(TypeError, match=r"Pot\.__init__\(\)"):
            Pot(*given, **named)


def test_a_value_can_be_taken_apart_by_place() -> None:
    """Its fields match by place, in their order."""
    match Pot("a", 9.0):
        case Pot(plant, width_cm):
            assert (plant, width_cm) == ("a", 9.0)
        case _:
            pytest.fail("a value did not match its own class")
