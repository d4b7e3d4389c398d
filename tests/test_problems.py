"""Mistakes as values: they survive the way from one process to another."""

from __future__ import annotations

import pickle

from diagnose.problems import InputError, Problem, Where, nearest


def test_an_input_error_keeps_its_problems_between_processes() -> None:
    """Pickled and made again, an error has the same problems and the same text."""
    error = InputError([Problem(Where("b.yaml", 3), "tab", "A tab stands here."),
                        Problem(Where("a.yaml", 1, 2), "alias", "An alias stands here.", "Write it out.")])
    again = pickle.loads(pickle.dumps(error))
    assert again.problems == error.problems
    assert str(again) == str(error)


def test_what_was_found_does_not_fill_a_screen() -> None:
    """A whole file taken for a word, and a hint that lists it, are cut in the middle; both ends are there."""
    found = Problem(Where("a.yaml", 1), "not-a-date", f'"{"x" * 100_000}" is not a date.',
                    nearest("y" * 100_000, ["z" * 100_000]))
    assert len(str(found)) < 2000
    assert found.words.startswith('"xxx')
    assert found.words.endswith('x" is not a date.')
