"""Word stems: regular endings taken off, so that forms of one word meet.

The stem need not be a word; it only has to be the same for the forms of a word ("wrinkled", "wrinkles": "wrinkl").
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache

__all__ = ["plain_words", "stem"]

_SHORTEST = 4
_VOWELS = "aeiouy"
_ENDINGS = (("ness", 3), ("ing", 3), ("ish", 4), ("ied", 3), ("ed", 3))  # with the fewest letters to be left
_HELPERS = frozenset(("is", "are", "was", "were", "do", "does", "did", "have", "has", "had", "would", "could",
                      "should", "ca", "wo"))
_BEING = frozenset(("it", "that", "there", "here", "what", "who", "where", "he", "she"))  # before "'s" for "is"
_WHOLE: Mapping[str, str] = {"ca": "can", "wo": "will", "sha": "shall"}
_CONTRACTIONS: Mapping[str, str] = {"n't": "not", "'re": "are", "'ve": "have", "'ll": "will", "'m": "am", "'s": "",
                                    "'d": ""}


@lru_cache(maxsize=8192)
def stem(word: str) -> str:
    """The stem of a word in small letters. Words of three letters or fewer stay as they are."""
    if len(word) < _SHORTEST:
        return word
    return _bare(_without_ending(word))


def _without_ending(word: str) -> str:
    if word.endswith("ies") and len(word) > _SHORTEST:
        return word[:-3] + "y"
    if word.endswith(("sses", "shes", "ches", "xes", "zes")):
        word = word[:-2]
    elif word.endswith("s") and not word.endswith(("ss", "us", "is")):
        word = word[:-1]
    for ending, least in _ENDINGS:
        rest = word[: -len(ending)]
        if word.endswith(ending) and len(rest) >= least and any(letter in _VOWELS for letter in rest):
            return rest + "y" if ending == "ied" else rest.removesuffix("i") if ending == "ness" else rest
    return word


def _bare(word: str) -> str:
    """Without a closing e or y and without a doubled closing consonant."""
    if len(word) > 3 and word[-1] in "ey":
        word = word[:-1]
    if len(word) > 3 and word[-1] == word[-2] and word[-1] not in _VOWELS:
        word = word[:-1]
    return word


def plain_words(token: str) -> tuple[str, ...]:
    """A token in small letters with contractions opened: "Don't" gives "do" and "not", "leaf's" gives "leaf"."""
    word = token.lower().replace("’", "'").replace("`", "'")
    if "'" not in word:
        if word.endswith("nt") and word[:-2] in _HELPERS:
            return (_WHOLE.get(word[:-2], word[:-2]), "not")
        return (word,)
    for ending, opened in _CONTRACTIONS.items():
        if word.endswith(ending) and len(word) > len(ending):
            rest = _WHOLE.get(word[: -len(ending)], word[: -len(ending)])
            opened = "is" if ending == "'s" and rest in _BEING else opened
            return (rest, opened) if opened else (rest,)
    return (word.replace("'", ""),)
