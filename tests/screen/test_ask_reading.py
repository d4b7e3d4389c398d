"""What is typed at a question: commands, numbers, first letters, and what is wrong with anything else."""

from __future__ import annotations

import pytest

from diagnose.screen.ask_reading import Command, Options, read_typed

POT = Options(("Heavy and wet", "Light and dry", "Dry on top", "As it should be"), several=True, alone=frozenset({3}))
KIND = Options(("Moth orchid (Phalaenopsis)", "Cattleya", "Cymbidium"), names={"lucky orchid": 2})


@pytest.mark.parametrize(("line", "command"), [
    ("?", Command.HELP), ("help", Command.HELP), ("why", Command.WHY), ("Why?", Command.WHY), ("back", Command.BACK),
    ("skip", Command.SKIP), ("don't  know", Command.SKIP), ("Don’t know", Command.SKIP), ("5", Command.SKIP),
    ("STOP", Command.STOP), ("quit", Command.STOP),
])
def test_commands_are_taken_in_any_case(line: str, command: Command) -> None:
    """Whole words only; the number after the last answer is "don't know"."""
    assert read_typed(line, POT).command is command


@pytest.mark.parametrize(("line", "chosen"), [
    ("1", (0,)), ("1 3", (0, 2)), ("3,1", (0, 2)), ("1 and 2", (0, 1)), ("heavy", (0,)), ("heavy and w", (0,)),
    ("dry on, heavy", (0, 2)), ("wet", (0,)), ("as it", (3,)), ("1 1", (0,)),
])
def test_numbers_and_first_letters_choose_answers(line: str, chosen: tuple[int, ...]) -> None:
    """Also the first letters of a word within one answer, and several where several may be true."""
    assert read_typed(line, POT).chosen == chosen


def test_a_kind_of_plant_goes_by_any_of_its_names() -> None:
    """Names of the rule base, and first letters of a word in brackets."""
    assert read_typed("lucky orchid", KIND).chosen == (2,)
    assert read_typed("phal", KIND).chosen == (0,)


@pytest.mark.parametrize(("line", "options", "words"), [
    ("", POT, "Type a number"), ("7", POT, "There are 4 answers here, 5 is don't know."), ("0", POT, "There are 4"),
    ("99999999999999999999", POT, "There are 4"), ("xyz", POT, 'No answer begins with "xyz"'),
    ("c", KIND, '"c" may be 2 or 3.'), ("1 4", POT, '"As it should be" does not go with another answer.'),
    ("1 5", POT, '"Don\'t know" goes alone.'), ("1 2", KIND, "Only one answer can be true here."),
])
def test_what_is_wrong_is_said_in_words(line: str, options: Options, words: str) -> None:
    """Nothing is chosen, and nothing is guessed."""
    typed = read_typed(line, options)
    assert (typed.command, typed.chosen) == (None, ())
    assert typed.problem.startswith(words)
