"""Diagnose: likely causes of trouble with potted plants, from letters, answers and records."""

__version__ = "0.1.0"
__all__ = ["__version__"]
