"""The records folder: bench, care log and climate exports become measures, events and the plant's context.

polars is loaded only where there is a climate export to read.
"""

from diagnose.intake.records.bench import Bench, read_bench
from diagnose.intake.records.events import current_stage, events_of, noted_words, plant_context, seen_signs
from diagnose.intake.records.folder import Records, read_every_plant, read_records
from diagnose.intake.records.measure import measure_case, summary_measures

__all__ = [
    "Bench", "Records", "current_stage", "events_of", "measure_case", "noted_words", "plant_context", "read_bench",
    "read_every_plant", "read_records", "seen_signs", "summary_measures",
]
