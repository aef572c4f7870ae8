#include "paper/page.hpp"

namespace budwood::paper {

namespace {

/// Black on white: laser printers and wet hands allow nothing else. Sizes are those of a clipboard
/// at arm's length: nothing that is to be read while working is under 11 pt.
constexpr Word styles = R"(
@page { @bottom-right { content: counter(page) " / " counter(pages); font: 9pt sans-serif; } }
* { box-sizing: border-box; }
html { font: 11pt/1.32 Arial, "Liberation Sans", "DejaVu Sans", sans-serif; color: #000; background: #fff; }
body { margin: 0 auto; max-width: 277mm; overflow-wrap: anywhere; }
bdi { white-space: pre-line; unicode-bidi: isolate; }
h1, h2, h3, p, ul, dl, dd { margin: 0; padding: 0; }
h1 { font-size: 19pt; line-height: 1.15; }
h2 { font-size: 14pt; line-height: 1.2; margin-top: 5mm; break-after: avoid; }
h3 { font-size: 11pt; margin-top: 3mm; break-after: avoid; }
ul { list-style: none; }
img { display: block; max-width: 100%; max-height: 130mm; margin: 2mm auto; break-inside: avoid; }
.whole img { max-height: 174mm; width: 100%; object-fit: contain; }
.whole + .whole { break-before: page; }
table { width: 100%; border-collapse: collapse; }
.group { table-layout: fixed; }
.group + .group { break-before: page; }
.group > thead > tr > td { padding: 0 0 3mm; }
.group > tbody > tr > td, .group > tbody > tr > th { padding: 0 0.4mm; }
.together, .day-of { white-space: nowrap; }
.head { display: flex; justify-content: space-between; align-items: flex-end; gap: 6mm;
  border-bottom: 1.2pt solid #000; padding-bottom: 1mm; }
.head .site { text-align: right; font-weight: bold; flex: 0 1 auto; }
.head .what { flex: 1 1 60%; }
.under { font-size: 9.5pt; margin-top: 1mm; }
.defer { font-weight: bold; margin-top: 1mm; }
.alert { border: 1.2pt solid #000; padding: 1mm 2mm; margin-top: 1.5mm; font-weight: bold; }
tr.day { break-after: avoid; break-inside: avoid; }
tr.day th { text-align: left; font-size: 14pt; padding: 2mm 0 2mm !important; }
tr.order { break-inside: avoid; }
.card { border: 0.8pt solid #000; border-radius: 1.5mm; padding: 1.6mm 2.5mm; margin-bottom: 2mm;
  display: grid; grid-template-columns: 11mm minmax(0, 1fr); column-gap: 3mm; break-inside: avoid; }
.tick { width: 10mm; height: 10mm; border: 1.4pt solid #000; border-radius: 1mm; font-size: 24pt;
  line-height: 9mm; text-align: center; }
.top { display: flex; justify-content: space-between; gap: 4mm; }
.words { flex: 1 1 auto; min-width: 0; }
.side { flex: none; max-width: 60mm; }
.title { font-weight: bold; font-size: 13pt; line-height: 1.22; }
.figure { text-align: right; white-space: nowrap; font-weight: bold; font-size: 13pt; line-height: 1.22; }
.place { margin-top: 0.4mm; }
.where { font-weight: bold; }
.sign { display: flex; align-items: flex-end; justify-content: flex-end; white-space: nowrap; gap: 1.5mm; }
.line { display: inline-block; border-bottom: 0.8pt solid #000; height: 7mm; width: 22mm; }
.foot { display: flex; justify-content: space-between; align-items: flex-end; gap: 0 4mm; margin-top: 0.4mm; flex-wrap: wrap; }
.close { display: flex; align-items: flex-end; gap: 4mm; margin-left: auto; }
.id { font-size: 8pt; white-space: nowrap; line-height: 1; }
.facts { display: grid; grid-template-columns: 19mm minmax(0, 1fr); column-gap: 3mm; row-gap: 0.8mm;
  margin-top: 0.8mm; }
.facts dt { font-size: 9.5pt; padding-top: 0.35mm; }
.facts b.amount { display: inline-block; min-width: 23mm; margin-right: 2mm; }
.caution { border-left: 2.4pt solid #000; padding-left: 2mm; }
.caution + .caution { margin-top: 0.8mm; }
.case { border: 0.8pt dashed #000; padding: 0.8mm 2mm; }
.case + .case { margin-top: 0.8mm; }
.records { display: flex; flex-wrap: wrap; gap: 2.5mm 7mm; align-items: flex-end; }
.record { display: flex; align-items: center; gap: 2mm; max-width: 100%; }
.box { display: inline-block; width: 34mm; height: 9.5mm; border: 1pt solid #000; flex: none; }
.box.small { width: 7mm; height: 7mm; }
.means { font-size: 9.5pt; }
.plain { margin-top: 2mm; }
.plain th, .plain td { text-align: left; vertical-align: top; padding: 0.8mm 2.5mm 0.8mm 0; border-bottom: 0.5pt solid #000; }
.listing td:first-child { min-width: 42mm; }
.plain th { font-size: 9.5pt; border-bottom-width: 1pt; }
.plain + p { margin-top: 2mm; }
.plain .name { overflow-wrap: break-word; }
.plain tr { break-inside: avoid; }
.plain .number { text-align: right; white-space: nowrap; }
.work { break-inside: avoid; margin-top: 2.5mm; }
.work .facts { margin-top: 0.5mm; }
@media screen { body { padding: 8mm; } }
)";

constexpr Word common_margins = "margin: 12mm 12mm 14mm; ";

}  // namespace

void begin_document(Html& html, std::string_view title) {
  html.own("<!DOCTYPE html>\n");
  html.own("<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n");
  html.own("<meta name=\"viewport\" content=\"width=device-width\">\n<title>");
  html.text(title);
  html.own("</title>\n");
}

Page::Page(std::ostream& out, std::string_view title, PageSize size, Turn turn) : html_(out) {
  begin_document(html_, title);
  html_.own("<style>\n@page { ");
  if (size == PageSize::a4) html_.own("size: A4");
  if (size == PageSize::letter) html_.own("size: letter");
  if (size == PageSize::printers && turn == Turn::landscape) html_.own("size:");
  if (turn == Turn::landscape) html_.own(" landscape");
  if (size != PageSize::printers || turn == Turn::landscape) html_.own("; ");
  html_.own(common_margins);
  html_.own("}");
  html_.own(styles);
  html_.own("</style>\n</head>\n<body>\n");
}

Page::~Page() {
  html_.own("</body>\n</html>\n");
}

}  // namespace budwood::paper
