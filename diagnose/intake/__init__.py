"""Intake: letters, records and case files become facts. Knows nothing of the rule base's files nor of reasoning."""
