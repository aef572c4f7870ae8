#include "report/why/why.hpp"

#include <cmath>

#include "report/why/why_dates.hpp"
#include "report/why/why_values.hpp"
#include "sheet/columns/shown.hpp"

namespace budwood::report {

void write_why(std::ostream& out, const plan::Plan& plan, const plan::BatchPlan& batch,
               sheet::CellId cell, bool all, const Style& style) {
  const Asked asked(plan, batch);
  Paragraphs paragraphs(out, style);
  if (std::isnan(asked.number(cell))) {
    tell_missing(paragraphs, asked, cell);
  } else if (asked.t.cell(cell).kind != sheet::Cell::Kind::date) {
    tell_value(paragraphs, asked, cell, all);
  } else if (const auto reasons = sheet::reasons_of(asked.row, cell); !reasons.empty()) {
    tell_date(paragraphs, asked, reasons, all);
  } else {
    tell_range(paragraphs, asked, cell);
  }
  paragraphs.end("step");
}

}  // namespace budwood::report
