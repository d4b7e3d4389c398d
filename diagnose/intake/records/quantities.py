"""Temperature, humidity and light of an export in one unit each, without sentinels and impossible values."""

from __future__ import annotations

from pathlib import PurePath
from typing import Final

import polars as pl

from diagnose.intake.records.bench import ClimateHints
from diagnose.intake.records.cells import decimal_mark, numbers, sample_of, unit_in_cells
from diagnose.intake.records.dialect import Export
from diagnose.intake.records.lines import in_lines
from diagnose.intake.records.physics import (
    LUX_PER_FOOT_CANDLE,
    LUX_PER_UMOL,
    dew_point_from_log_c,
    fahrenheit_to_celsius,
)
from diagnose.problems import InputError, Where

__all__ = ["with_quantities"]

# What a place with plants can show. Outside lie sentinels (-9999, 85, 999.9 ...) and sensors that failed.
TEMPERATURE_C: Final = (-30.0, 60.0)
HUMIDITY_PCT: Final = (1.0, 103.0)  # sensors read a little over 100 in wet air
LIGHT_LUX: Final = (0.0, 200_000.0)
LIVED_IN_C: Final = 45.0  # hotter than this no place with plants is for long
WARM_MEDIAN_C: Final = 40.0  # half of the readings hotter than this: not Celsius, if no unit is stated
HOTTEST_F: Final = 130.0
SAMPLE: Final = 5000  # readings looked at for the unit
DEW_GAP_C: Final = 1.0
LUX_PER: Final = {"lux": 1.0, "klux": 1000.0, "foot-candles": LUX_PER_FOOT_CANDLE}


def with_quantities(
    rows: pl.DataFrame, export: Export, hints: ClimateHints, shown: str
) -> tuple[pl.DataFrame, list[str]]:
    """Add ``temperature_c``, ``humidity_pct`` and ``light_lux``, and drop rows that hold none of them.

    Raises InputError where the unit of the temperature cannot be told and would change the result.
    """
    notes: list[str] = []
    marks = _marks(rows, export.delimiter)
    columns = {"temperature": _temperature, "humidity": _humidity, "light": _light}
    names = {"temperature": "temperature_c", "humidity": "humidity_pct", "light": "light_lux"}
    for role, read in columns.items():
        if role in rows.columns:
            values = numbers(rows[role], marks[role])
            column, more = read(values, rows, export, hints, shown)
            notes += more
        else:
            column = pl.Series([None], dtype=pl.Float64).new_from_index(0, rows.height)
        rows = rows.with_columns(column.alias(names[role]))
    if "dew" in rows.columns:
        notes += _dew_notes(rows, numbers(rows["dew"], marks["dew"]))
    return rows.filter(pl.any_horizontal(pl.col(name).is_not_null() for name in names.values())), notes


def _marks(rows: pl.DataFrame, delimiter: str) -> dict[str, str]:
    """The decimal mark of each column; a column that leaves it open goes by the others, else by the delimiter."""
    own = {role: decimal_mark(sample_of(rows[role])) for role in ("temperature", "humidity", "light", "dew")
           if role in rows.columns}
    shown = [mark for mark in own.values() if mark]
    usual = shown[0] if shown else "," if delimiter == ";" else "."
    return {role: mark or _open_mark(role, rows[role], usual) for role, mark in own.items()}


def _open_mark(role: str, cells: pl.Series, usual: str) -> str:
    """Three digits after the only mark: thousands in a light column, decimals of a temperature or a humidity."""
    if role == "light":
        return usual
    return next((mark for mark in ",." if any(mark in cell for cell in sample_of(cells))), usual)


def _left_out(values: pl.Series, kept: pl.Series, rows: pl.DataFrame, role: str) -> list[str]:
    """A note on filled cells that were not used, with some of them."""
    lost = kept.is_null() & rows[role].is_not_null()
    if not lost.any():
        return []
    cells = rows[role].filter(lost).unique(maintain_order=True).head(4).cast(pl.String)
    named = ", ".join(f'"{cell.strip()}"' for cell in cells)
    lines = in_lines(rows["line"].filter(lost))
    return [f"{lines}: {int(lost.sum())} {role} cells cannot be right ({named}); left out"]


def _within(values: pl.Series, bounds: tuple[float, float]) -> pl.Series:
    keep = values.is_between(*bounds, closed="both")
    return values if keep.all() else values.set(~keep.fill_null(True), None)


def _temperature(
    values: pl.Series, rows: pl.DataFrame, export: Export, hints: ClimateHints, shown: str
) -> tuple[pl.Series, list[str]]:
    unit = hints.temperature_unit or export.heading.temperature_unit or unit_in_cells(sample_of(rows["temperature"]))
    notes = [] if unit else ["no unit of temperature is stated; read as C"]
    celsius = fahrenheit_to_celsius(values) if unit == "F" else values
    kept = _within(celsius, TEMPERATURE_C)
    if not hints.temperature_unit and unit != "F":
        _refuse_fahrenheit(values, rows, shown, stated=bool(unit))
    return kept, notes + _left_out(values, kept, rows, "temperature")


def _refuse_fahrenheit(values: pl.Series, rows: pl.DataFrame, shown: str, *, stated: bool) -> None:
    """Values no room has in Celsius, such as 64 to 78, are asked about, not guessed."""
    some = values.gather_every(max(1, values.len() // SAMPLE))
    everyday = some.filter(some.is_between(TEMPERATURE_C[0], HOTTEST_F))
    median, hot = everyday.median(), int((everyday >= LIVED_IN_C).sum())
    if not isinstance(median, float) or (stated and median < LIVED_IN_C):
        return
    if median < WARM_MEDIAN_C and (hot < 2 or hot * 20 < everyday.len()):
        return
    at = int(values.is_between(min(median, LIVED_IN_C), HOTTEST_F).arg_max() or 0)
    words = f'The temperature "{rows["temperature"][at]}" is too hot for a place with plants if it is in C'
    words += ", as the header says." if stated else ", and no unit is stated."
    place = PurePath(shown).stem
    hint = f"Write in bench.yaml: climate: {{{place}: {{temperature_unit: F}}}} (or C)."
    raise InputError.one(Where(shown, int(rows["line"][at])), "temperature-unit", words, hint)


def _humidity(
    values: pl.Series, rows: pl.DataFrame, export: Export, hints: ClimateHints, shown: str
) -> tuple[pl.Series, list[str]]:
    notes: list[str] = []
    small = values <= 1
    if small.any() and small.sum() * 2 > values.count():
        notes.append("humidity stands as a fraction of 1; read as per cent")
        values = pl.select(pl.when(small).then(values * 100).otherwise(values)).to_series()
    kept = _within(values, HUMIDITY_PCT)
    over = (kept > 100).fill_null(False)
    if over.any():
        notes.append(f"{in_lines(rows['line'].filter(over))}: humidity over 100 % taken as 100 %")
        kept = kept.clip(upper_bound=100)
    return kept, notes + _left_out(values, kept, rows, "humidity")


def _light(
    values: pl.Series, rows: pl.DataFrame, export: Export, hints: ClimateHints, shown: str
) -> tuple[pl.Series, list[str]]:
    unit = hints.light_unit or export.heading.light_unit
    per_umol = LUX_PER_UMOL[hints.light_source or "sunlight"]
    factor = per_umol if unit == "PPFD" else LUX_PER.get(unit)
    if factor is None:
        name = export.heading.names[export.heading.light or 0]
        return values.clear().extend_constant(None, values.len()), [
            f'the unit of the light column "{name}" is not known; left out (bench.yaml can state light_unit)']
    notes = [] if hints.light_source else ["no light_source is stated; light was converted as sunlight"]
    kept = _within(values * factor, LIGHT_LUX)
    return kept, notes + _left_out(values, kept, rows, "light")


def _dew_notes(rows: pl.DataFrame, dew_c: pl.Series) -> list[str]:
    """Rows where the logger's own dew point does not fit its temperature and humidity; these are used all the same."""
    fits = dew_point_from_log_c(pl.col("temperature_c"), (pl.col("humidity_pct") / 100).log())
    gap = rows.with_columns(dew_c=dew_c).select("line", gap=(pl.col("dew_c") - fits).abs())
    apart = gap.filter(pl.col("gap") > DEW_GAP_C)
    if apart.is_empty():
        return []
    most = apart["gap"].sort()[-1]
    return [f"{in_lines(apart['line'])}: the dew point of the logger is up to {most:.1f} C off what its own "
            "temperature and humidity give; it was not used"]
