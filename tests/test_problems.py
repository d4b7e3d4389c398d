"""Mistakes as values: they survive the way from one process to another."""

from __future__ import annotations

import pickle

from diagnose.problems import InputError, Problem, Where


def test_an_input_error_keeps_its_problems_between_processes() -> None:
    """Pickled and made again, an error has the same problems and the same text."""
    error = InputError([Problem(Where("b.yaml", 3), "tab", "A tab stands here."),
                        Problem(Where("a.yaml", 1, 2), "alias", "An alias stands here.", "Write it out.")])
    again = pickle.loads(pickle.dumps(error))
    assert again.problems == error.problems
    assert str(again) == str(error)
