/* report_style.c - the look of a report: on a screen, on a phone, on paper.
 *
 * Rules
 * (1) No font and no image is fetched; every colour of text has a contrast of 4.5:1 or more with what lies
 *     behind it.
 * (2) A verdict differs by its word and by the kind of its border, not by colour alone.
 * (3) On a narrow screen a row of a table becomes a block with its headings beside the values. */
#include "report_part.h"

/* In pieces: a compiler need not take a longer text at once. */
static const char words[] =
    ":root { color-scheme: light; --ink: #1f2a30; --soft: #4c5a61; --line: #b9c4c4; --wash: #f2f5f1;\n"
    "  --deep: #1d5a57; --warn: #7a4a00; --bad: #8c1d18; }\n"
    "* { box-sizing: border-box; }\n"
    "html { -webkit-text-size-adjust: 100%; text-size-adjust: 100%; }\n"
    "body { margin: 0; background: #fff; color: var(--ink); overflow-wrap: break-word;\n"
    "  font: 1rem/1.5 \"Segoe UI\", Roboto, \"Noto Sans\", \"DejaVu Sans\", Arial, sans-serif; }\n"
    "main { max-width: 62rem; margin: 0 auto; padding: 1.5rem 1rem 3rem; }\n"
    "h1, h2, h3 { font-family: Charter, Georgia, \"DejaVu Serif\", serif; line-height: 1.2; font-weight: "
    "600; }\n"
    "h1 { margin: 0; font-size: 1.2rem; color: var(--deep); }\n"
    "h2 { margin: 0; font-size: 2rem; }\n"
    "h2 .title { display: block; font-size: 1.2rem; font-weight: 400; color: var(--soft); }\n"
    "h3 { margin: 2.25rem 0 0.5rem; padding-top: 0.5rem; font-size: 1.3rem; border-top: 3px double "
    "var(--deep); }\n"
    "h4 { margin: 1.25rem 0 0.25rem; font-size: 1rem; }\n"
    "p, ul { margin: 0.4rem 0; max-width: 46rem; }\n"
    "ul { padding-left: 1.2rem; }\n"
    "header p, footer p, caption, small { color: var(--soft); font-size: 0.875rem; }\n"
    "header { margin-bottom: 1.5rem; }\n"
    "article + article { margin-top: 4rem; }\n"
    "footer { margin-top: 3rem; border-top: 1px solid var(--line); padding-top: 0.5rem; }\n"
    "code { font: 0.8125rem/1.4 \"DejaVu Sans Mono\", Consolas, monospace; }\n"
    "time { white-space: nowrap; }\n"
    "bdi, code { overflow-wrap: anywhere; }\n"
    "del { text-decoration-thickness: 2px; }\n"
    "small { display: block; }\n";

static const char verdicts[] =
    ".verdict { margin: 0.75rem 0; padding: 0.25rem 1rem 0.75rem; background: var(--wash);\n"
    "  border-left: 0.6rem solid var(--deep); }\n"
    ".verdict h4 { margin-top: 0.5rem; font-weight: 400; }\n"
    ".verdict .word { margin: 0; font: 600 2rem/1.2 Charter, Georgia, \"DejaVu Serif\", serif; color: "
    "var(--deep); }\n"
    ".verdict .word strong { font-weight: 600; }\n"
    ".verdict[data-verdict=doubtful] { border-left: 0.6rem dashed var(--warn); }\n"
    ".verdict[data-verdict=doubtful] .word { color: var(--warn); }\n"
    ".verdict[data-verdict=lye-heavy] { border: 0.3rem double var(--bad); border-left: 0.9rem double "
    "var(--bad); }\n"
    ".verdict[data-verdict=lye-heavy] .word { color: var(--bad); }\n"
    ".verdict[data-verdict=not-judged] { border-left: 0.6rem dotted var(--soft); }\n"
    ".verdict[data-verdict=not-judged] .word { color: var(--ink); }\n"
    ".warning { border: 2px solid var(--bad); padding: 0.5rem 1rem; }\n"
    ".closing { border: 1px solid var(--line); padding: 0.25rem 1rem; }\n"
    ".scale { display: block; width: 100%; max-width: 28rem; height: auto; margin: 0.5rem 0; }\n"
    ".scale text { font: 12px \"DejaVu Sans\", Arial, sans-serif; fill: var(--ink); stroke: var(--wash);\n"
    "  stroke-width: 3px; paint-order: stroke; }\n"
    ".scale .usual { fill: #c9dcd6; }\n"
    ".scale .axis, .scale .interval { fill: var(--ink); }\n"
    ".scale .interval { fill-opacity: 0.45; }\n"
    ".scale .tick, .scale .result { stroke: var(--ink); stroke-width: 1px; }\n"
    ".scale .result { stroke-width: 2.5px; }\n"
    ".scale .limit { stroke: var(--bad); stroke-width: 1.5px; stroke-dasharray: 4 2; }\n";

static const char tables[] =
    ".facts { margin: 0.5rem 0; border-top: 1px solid var(--line); }\n"
    ".facts div { display: grid; grid-template-columns: 14rem 1fr; gap: 0 1rem; padding: 0.2rem 0;\n"
    "  border-bottom: 1px solid var(--line); }\n"
    "dt { color: var(--soft); }\n"
    "dd { margin: 0; min-width: 0; }\n"
    "table { width: 100%; margin: 0.75rem 0; border-collapse: collapse; font-size: 0.9375rem;\n"
    "  font-variant-numeric: tabular-nums; }\n"
    "caption { text-align: left; padding-bottom: 0.25rem; }\n"
    "th, td { padding: 0.25rem 0.75rem 0.25rem 0; text-align: left; vertical-align: top; }\n"
    "th { font-weight: 600; }\n"
    "tbody th[data-label] { font-weight: 400; }\n"
    "td:has(bdi) { min-width: 7rem; }\n"
    "thead th { border-bottom: 2px solid var(--deep); vertical-align: bottom; }\n"
    "tbody th, tbody td { border-bottom: 1px solid var(--line); }\n"
    "tbody .group th { background: var(--wash); padding: 0.35rem 0.5rem; }\n"
    ".line { display: block; }\n"
    ".weighed { display: block; font-weight: 400; font-size: 0.875rem; color: var(--soft); }\n"
    ".gone th, .gone td { color: var(--soft); }\n"
    "figure { margin: 0.75rem 0; }\n"
    "figure .narrow { display: none; }\n"
    "figure svg { display: block; width: 100%; height: auto; }\n";

/* Rule 3. */
static const char narrow[] =
    "@media screen and (max-width: 46rem) {\n"
    "  table, caption, tbody, tr, th, td { display: block; }\n"
    "  thead { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%); }\n"
    "  tr { padding: 0.35rem 0; border-bottom: 1px solid var(--line); }\n"
    "  tbody th, tbody td { border: 0; padding: 0.05rem 0; min-width: 0; }\n"
    "  tbody [data-label] { display: flow-root; padding-left: 9rem; }\n"
    "  [data-label]::before { content: attr(data-label); float: left; width: 8.5rem; margin-left: -9rem;\n"
    "    color: var(--soft); font-weight: 400; }\n"
    "  tbody td[data-label]:empty { display: none; }\n"
    "  figure .wide { display: none; }\n"
    "  figure .narrow { display: block; }\n"
    "  .facts div { grid-template-columns: 1fr; }\n"
    "  h2 { font-size: 1.6rem; }\n"
    "}\n";

static const char paper[] =
    "@page { margin: 16mm 14mm; }\n"
    "@media print {\n"
    "  html { font-size: 9.5pt; }\n"
    "  main { max-width: none; padding: 0; }\n"
    "  table { font-size: 0.875rem; }\n"
    "  thead { display: table-header-group; }\n"
    "  tr, .verdict, .closing, .facts div, figure, li { break-inside: avoid; }\n"
    "  .group, thead, h1, h2, h3, h4, caption { break-after: avoid; }\n"
    "  article + article { break-before: page; }\n"
    "  .verdict, .group th, .scale * { print-color-adjust: exact; -webkit-print-color-adjust: exact; }\n"
    "}\n";

const char *const report_style[] = {words, verdicts, tables, narrow, paper, NULL};
