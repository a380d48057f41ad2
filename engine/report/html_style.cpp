// SPDX-License-Identifier: MIT
#include "engine/report/html_style.h"

#include "engine/report/clean.h"

namespace spanwright::report {

namespace {

constexpr const char* kStyle = R"css(
:root { color-scheme: light dark; --paper: #fdfcf7; --ink: #111; --pencil: #5b5b58; --stroke: rgba(60, 60, 56, 0.42); }
@media (prefers-color-scheme: dark) { :root { --paper: #1d1c19; --ink: #ece8dd; --pencil: #a9a59a; --stroke: rgba(214, 208, 192, 0.38); } }
* { box-sizing: border-box; }
html { background: var(--paper); color: var(--ink); font: 16px/1.45 Georgia, "DejaVu Serif", "Times New Roman", serif; }
body { max-width: 62rem; margin: 0 auto; padding: 1rem; }
h1, h2, h3, h4 { font-weight: normal; line-height: 1.2; margin: 1.1em 0 0.4em; break-after: avoid; }
h1 { font-size: 1.9rem; border-bottom: 3px double var(--pencil); padding-bottom: 0.2em; }
h2 { font-size: 1.4rem; border-bottom: 1px solid var(--pencil); }
h3 { font-size: 1.1rem; font-style: italic; }
p { margin: 0.25em 0; }
ul { margin: 0.25em 0; padding-left: 1.3em; list-style: "\2013\00a0"; }
a { color: inherit; text-decoration: underline; text-decoration-thickness: 1px; text-underline-offset: 0.15em; }
code { font: 0.9em "DejaVu Sans Mono", Menlo, Consolas, monospace; overflow-wrap: anywhere; }
math { font-family: "STIX Two Math", "Latin Modern Math", "Cambria Math", "DejaVu Math TeX Gyre", math, serif; }
.gray { opacity: 0.55; }
.faint { color: var(--pencil); }
.note { border-left: 2px dotted var(--pencil); padding-left: 0.6em; font-style: italic; }
.remark { border: 1px dashed var(--pencil); padding: 0.15em 0.5em; }
.framed { border: 1.5px solid var(--ink); padding: 0.3em 0.9em 0.6em; margin: 1em 0; }
.framed .frame-title { font-variant: small-caps; font-size: 1.1em; border-bottom: 1px solid var(--pencil); }
.stamp { display: inline-block; border: 1.5px solid var(--ink); padding: 0 0.45em; font: bold 0.82em/1.5 "DejaVu Sans", Arial, sans-serif; letter-spacing: 0.06em; white-space: nowrap;
  -webkit-print-color-adjust: exact; print-color-adjust: exact; }
.stamp.fails { border: 3px double var(--ink); background: repeating-linear-gradient(-45deg, transparent 0 3px, var(--stroke) 3px 4.2px); }
.stamp.not-proven { border-style: dashed; background: repeating-linear-gradient(-45deg, transparent 0 8px, var(--stroke) 8px 9px); }
.stamp.not-computed { border: 2px dotted var(--ink);
  background: repeating-linear-gradient(-45deg, transparent 0 5px, var(--stroke) 5px 6px), repeating-linear-gradient(45deg, transparent 0 5px, var(--stroke) 5px 6px); }
.stamp.not-applicable { border: 1px solid var(--pencil); color: var(--pencil); font-weight: normal; }
table { border-collapse: collapse; }
table.page { width: 100%; table-layout: fixed; }
col.reference { width: 20%; }
col.result { width: 19%; }
table.page > tbody > tr > td { vertical-align: top; padding: 0.3rem 0.6rem 0.3rem 0; }
table.page > thead th { text-align: left; font-weight: normal; font-style: italic; border-bottom: 1px solid var(--ink); }
tr.calc { border-bottom: 1px solid var(--stroke); break-inside: avoid; }
tr.calc.long { break-inside: auto; }
tr.calc > td.reference { color: var(--pencil); font-size: 0.9em; overflow-wrap: anywhere; }
tr.calc > td.result .faint { font-size: 0.78em; }
tr.calc > td.reference, tr.calc > td.calculation { border-right: 1px solid var(--stroke); }
tr.calc > td.calculation, tr.calc > td.result { padding-left: 0.6rem; }
tr:target { outline: 2px solid var(--ink); }
table.small { margin: 0.4em 0; }
table.small caption { text-align: left; font-style: italic; }
table.small th { text-align: left; font-weight: normal; font-style: italic; border-bottom: 1px solid var(--ink); padding: 0.1em 0.7em 0.1em 0; }
table.small td { vertical-align: top; padding: 0.1em 0.7em 0.1em 0; }
table.small.ruled td { border-bottom: 1px solid var(--stroke); }
table.small.ruled tr.over td { border-bottom: 0; }
table.small td.below { padding-left: 1em; font-size: 0.92em; }
table.small.boxed { width: 100%; table-layout: fixed; }
table.small.boxed td, table.small.boxed th { border: 1px solid var(--ink); padding: 0.3em 0.4em; overflow-wrap: anywhere; }
table.small.boxed tr { break-inside: avoid; }
table.small.boxed td { height: 3.4em; }
table.small td.right, table.small th.right { text-align: right; }
.scroll, .equation { overflow-x: auto; }
.step { padding: 0.12em 0 0.12em 0.2em; }
.step.on { padding-left: 2.2em; }
figure { margin: 0.8em 0; }
figure svg { max-width: 100%; height: auto; }
figcaption { font-style: italic; }
tr.running { display: none; }
@media (max-width: 44rem) {
  table.page, table.page > tbody, table.page > tbody > tr, table.page > tbody > tr > td { display: block; width: auto; }
  table.page > thead { display: none; }
  tr.calc > td.reference, tr.calc > td.calculation { border-right: 0; padding-left: 0; }
  tr.calc > td.result { width: auto; padding-left: 1.2rem; }
  table.small { font-size: 0.88em; }
  table.small td, table.small th { padding-right: 0.4em; }
  table.small td { overflow-wrap: anywhere; }
  table.small td.whole { overflow-wrap: normal; }
  table.small td .stamp { padding: 0 0.25em; letter-spacing: 0; }
}
@media print {
  :root { --paper: #fff; --ink: #000; --pencil: #333; --stroke: rgba(0, 0, 0, 0.4); color-scheme: light; }
  html { font-size: 9.5pt; line-height: 1.3; }
  h1, h2, h3, h4 { margin: 0.7em 0 0.25em; }
  p { margin: 0.1em 0; }
  table.page > tbody > tr > td { padding-top: 0.15rem; padding-bottom: 0.15rem; }
  figure { margin: 0.3em 0; }
  figure svg { max-height: 62mm; }
  .equation { font-size: 0.95em; }
  body { max-width: none; margin: 0; padding: 0; }
  section + section { break-before: page; }
  table.page, table.page > tbody { width: 100%; }
  table.page > thead { display: table-header-group; }
  tr.running { display: table-row; }
  tr.running td { font: 8pt "DejaVu Sans", Arial, sans-serif; padding-bottom: 2mm; }
  tr.running .mark { font-weight: bold; border: 1px solid #000; padding: 0 1mm; }
  .scroll, .equation { overflow: visible; }
  a { text-decoration: none; }
}
)css";

/// Margin boxes: page numbers, what it is and the fingerprint; the wide right margin is the reviewer's.
std::string pageRules(const Document& d) {
    const std::string font = "font: 8pt \"DejaVu Sans\", Arial, sans-serif;";
    // Beside a machine nobody writes remarks: the whole width is for the large letters.
    std::string out = std::string("@page { size: A4; margin: ") + (d.largePrint ? "15mm 12mm 15mm 16mm" : "17mm 40mm 16mm 18mm") +
                      "; @bottom-left { content: \"" + cssText(d.identity) + "\"; " + font + " } @bottom-center { content: \"" + cssText(d.fingerprint) +
                      "\"; " + font + " } @bottom-right { content: counter(page) \" of \" counter(pages); " + font + " } }\n";
    for (const Section& s : d.sections) {
        if (s.mark.empty()) continue;
        out += "@page " + s.id + " { @top-right { content: \"" + cssText(s.mark) +
               "\"; font: bold 10pt \"DejaVu Sans\", Arial, sans-serif; } @top-left { content: \"" + cssText(s.running) + "\"; " + font + " } }\n#" + s.id +
               " { page: " + s.id + "; }\n";
    }
    return out;
}

} // namespace

std::string htmlStyle(const Document& d) {
    // Child selectors would hold a > that XML allows and HTML takes literally: both read it alike.
    constexpr const char* kLarge = "html { font-size: 22px; }\nfigure svg { width: 100%; }\nsection.small-print { font-size: 0.75em; }\n"
                                   "table.small td.whole { white-space: nowrap; }\n"
                                   "@media print { html { font-size: 13pt; } figure svg { max-height: 80mm; } table.small { font-size: 0.85em; }\n"
                                   "  section.small-print { font: 7.4pt/1.2 \"DejaVu Sans\", Arial, sans-serif; } section.small-print h2 { font-size: 11pt; }\n"
                                   "  section.small-print table.page tbody tr td { padding: 0.05rem 0; } }\n";
    return kStyle + (d.largePrint ? std::string(kLarge) : std::string()) + pageRules(d);
}

const char* stampClass(Stamp s) {
    switch (s) {
    case Stamp::Ok: return "ok";
    case Stamp::NotProven: return "not-proven";
    case Stamp::Fails: return "fails";
    case Stamp::NotComputed: return "not-computed";
    case Stamp::NotApplicable: return "not-applicable";
    }
    return "not-computed";
}

} // namespace spanwright::report
