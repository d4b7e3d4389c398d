"""Letters of growers, read into cases."""

from diagnose.intake.letters.lexicon import Lexicon, build_lexicon
from diagnose.intake.letters.reader import LetterReader

__all__ = ["LetterReader", "Lexicon", "build_lexicon"]
