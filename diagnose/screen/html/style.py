"""How the page of one plant looks, beyond what all pages share."""

from __future__ import annotations

from typing import Final

__all__ = ["STYLE"]

STYLE: Final = """
:root { --range: #8fa9bd; --mean: #123a5c; --wanted: #dff0dc; --edge: #3f7a45; --due: #f3dfc3; --slant: #a3261b;
  --grid: #dbe2dd; --told: #e6e0f2; }
@media (prefers-color-scheme: dark) { :root { --range: #55738c; --mean: #d5e8f8; --wanted: #203a26; --edge: #7fbf86;
  --due: #4a371c; --slant: #ff8f84; --grid: #2c3531; --told: #3b3354; } }
header h1 { margin: .2rem 0 .4rem; font-size: 1.9rem; } header p { margin: 0; }
h3 { margin: 1rem 0 .3rem; } .standing { font-size: 1.1rem; margin: .3rem 0 .8rem; } .remark { font-weight: 600; }
.pair { display: grid; grid-template-columns: 3fr 2fr; gap: 0 1.2rem; align-items: start; }
.do, .not, .care { border-left: .3rem solid var(--edge); background: var(--box); padding: .5rem 1rem; margin: .6rem 0; }
.not { border-left-style: double; border-left-color: var(--now); } .care { border-left: .3rem dotted var(--week); }
.do h3, .not h3, .care h3 { margin: 0; } .do ol, .not ul, .care ul, .plain ul { margin: .3rem 0; padding-left: 1.2rem; }
li + li { margin-top: .3rem; } .line { display: block; font-size: .9em; }
.plain table { table-layout: fixed; } .plain td:first-child, .plain td b { white-space: normal; }
.plain th:nth-child(1) { width: 33%; } .plain th:nth-child(3) { width: 6.5rem; } .plain th:nth-child(4) { width: 17%; }
.plain td:nth-child(4) { font-size: .8rem; color: var(--soft); }
details { border-top: 1px solid var(--line); padding: .4rem 0; } summary { cursor: pointer; }
.share { display: inline-block; width: 4rem; height: .55rem; margin-right: .3rem; border: 1px solid var(--soft);
  vertical-align: middle; }
.share > span { display: block; height: 100%; background: var(--soft); }
mark { padding: 0 .1em; border-bottom: 2px solid currentColor; }
mark.absent { border-bottom-style: dashed; } mark.unsure { border-bottom: 2px dotted currentColor; }
mark.told { background: var(--told); border-bottom-style: double; }
sup { font-size: .7em; } .notes li { break-inside: avoid; }
.notes { columns: 20rem; font-size: .9rem; margin-top: .6rem; }
figure { margin: 1.2rem 0; break-inside: avoid; } figcaption { font-size: .9rem; color: var(--soft); }
figure h3 { margin-bottom: 0; } figure svg { display: block; width: 100%; } figure svg.narrow { display: none; }
svg .grid { stroke: var(--grid); stroke-width: 1; } svg .wanted { fill: var(--wanted); }
svg .edge { stroke: var(--edge); stroke-width: 1.2; stroke-dasharray: 6 3; }
svg .harm { stroke: var(--now); stroke-width: 1.2; stroke-dasharray: 1 4; stroke-linecap: round; }
svg .range { fill: var(--range); } svg path.mean, svg line.mean { fill: none; stroke: var(--mean); stroke-width: 1.6; }
svg path.reservoir, svg line.reservoir { fill: none; stroke: var(--week); stroke-width: 1.8; stroke-dasharray: 7 3; }
svg .due { fill: var(--due); } svg .slant { stroke: var(--slant); stroke-width: 1; opacity: .55; }
svg .bar { fill: var(--slant); } svg .onset { stroke: var(--ink); stroke-width: 1.4; stroke-dasharray: 5 3; }
svg .deed { fill: var(--mean); }
svg text.note { font-size: 11px; fill: var(--now); paint-order: stroke; stroke: var(--paper); stroke-width: 3px; }
svg text.number { font-weight: 700; fill: var(--slant); }
.key { list-style: none; padding: 0; display: flex; flex-wrap: wrap; gap: .2rem 1.2rem; font-size: .9rem; }
.key li { margin: 0; } .swatch { width: 28px; height: 14px; vertical-align: -2px; }
.wide-table { overflow-x: auto; } .wide-table th { font-size: .85rem; color: var(--soft); vertical-align: bottom; }
footer { margin-top: 2rem; border-top: 1px solid var(--line); font-size: .9rem; color: var(--soft); }
@media (max-width: 40rem) { body { padding: .9rem; } .pair { grid-template-columns: 1fr; }
  figure svg.narrow { display: block; } figure svg.wide { display: none; } header h1 { font-size: 1.5rem; }
  .plain thead { display: none; } .plain table, .plain tbody, .plain tr, .plain td { display: block; width: auto; }
  .plain td:nth-child(n + 3), .plain td:nth-child(3) .line { display: inline; margin-right: .6rem; }
  .plain td { border: 0; padding: .05rem 0; } .plain tr { border-bottom: 1px solid var(--line); padding: .4rem 0; } }
@media print { @page { size: A4; margin: 15mm; } body { padding: 0; font-size: 10.5pt; background: none; }
  details.more:not([open]) { display: none; } summary { list-style: none; }
  figure { margin: .7rem 0; } .wide-table { overflow: visible; }
  h2, h3 { break-after: avoid; } li, tr { break-inside: avoid; } .do, .not, .care, .letter { background: none; }
  svg, mark { print-color-adjust: exact; -webkit-print-color-adjust: exact; } }
"""
