"""Frozen values that pass between the rooms: facts of a case, the rule base, the result."""
