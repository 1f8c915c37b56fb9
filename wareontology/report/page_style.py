"""How a report looks: ink on paper, one column, figures numbered, A4 in print."""

from typing import Final

CSS: Final = """\
:root { color-scheme: light dark; --paper: #FBF8F2; --ink: #211C17; --quiet: #5F564C;
  --caution: #8A5200; --link: #7A2E1A; }
@media (prefers-color-scheme: dark) {
  :root { --paper: #181512; --ink: #ECE5D9; --quiet: #B3A898;
    --caution: #E6B05C; --link: #E79B7F; }
}
body { margin: 0; background: var(--paper); color: var(--ink);
  font: 17px/1.5 "Iowan Old Style", "Palatino Linotype", Palatino, "Book Antiqua", Georgia, serif; }
main { max-width: 68ch; margin: 2.5rem auto; padding: 0 1rem; }
h1 { font-size: 1.6rem; line-height: 1.2; }
h2 { font-size: 1.2rem; margin-top: 2.2rem; border-top: 1px solid var(--ink); padding-top: .6rem; }
h3 { font-size: 1rem; margin: 1.4rem 0 .3rem; }
p, ul { margin: .5rem 0; } ul { padding-left: 1.2rem; }
.verdict { font-style: italic; } .quiet, figcaption { color: var(--quiet); font-size: .9rem; }
table { border-collapse: collapse; width: 100%; border-top: 1px solid; border-bottom: 1px solid;
  margin: 1rem 0; font-size: .9rem; font-variant-numeric: tabular-nums; }
th, td { text-align: left; vertical-align: top; padding: .25rem .5rem .25rem 0; overflow-wrap: anywhere; }
thead th { border-bottom: 1px solid; }
figure { margin: 1.2rem 0; break-inside: avoid; }
figure svg, figure img { max-width: 100%; height: auto; display: block; }
svg text { fill: var(--ink); font: 12px Georgia, serif; } svg .line { stroke: var(--ink); fill: none; }
svg .patch { stroke: var(--ink); }
svg .bar { fill: var(--ink); }
svg .mark { stroke: var(--quiet); stroke-dasharray: 3 2; }
svg .small { fill: var(--quiet); font-size: 10px; }
@page { size: A4; margin: 20mm; }
@media print {
  :root { --paper: #fff; --ink: #000; --quiet: #333; }
  body { font-size: 10.5pt; }
  main { margin: 0; max-width: none; } }
"""
