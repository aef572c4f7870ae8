#include <cmath>

#include "report/formats/csv.hpp"
#include "report/sheet/sensitivity_words.hpp"

namespace budwood::report {

namespace {

using plan::Tried;

void write_value(Csv& csv, const Scale& scale, double value) {
  if (scale.dates) {
    csv.text(std::isnan(value) ? "" : calendar::iso_date(static_cast<calendar::Day>(value)));
  } else {
    csv.number(scale.number(value));
  }
}

void write_extreme(Csv& csv, const Scale& cell, const Scale& scale, const Tried::Trial* trial) {
  write_value(csv, cell, trial == nullptr ? sheet::no_value : trial->result);
  write_value(csv, scale, trial == nullptr ? sheet::no_value : trial->value);
}

void write_row(Csv& csv, const Asked& asked, const plan::Sensitivity& found, const Tried& one) {
  const Scale cell = scale_of(asked, found.cell);
  const Scale scale = scale_of(one);
  const Tried::Stretch* stretch = one.around_present();
  csv.text(asked.name()).text(asked.t.cell(found.cell).name).text(cell.name());
  write_value(csv, cell, found.present);
  csv.text(name_of(asked, one)).text(word(one.what)).text(scale.name());
  for (const double value : {one.low(), one.high(), one.present}) write_value(csv, scale, value);
  write_value(csv, cell, one.trials.front().result);
  write_value(csv, cell, one.trials.back().result);
  write_extreme(csv, cell, scale, one.smallest());
  write_extreme(csv, cell, scale, one.largest());
  csv.number(cell.difference(one.moves()));
  write_value(csv, scale, stretch == nullptr ? sheet::no_value : stretch->low);
  write_value(csv, scale, stretch == nullptr ? sheet::no_value : stretch->high);
  csv.number(static_cast<double>(one.feasible.size())).text(one.below).text(one.above).end_row();
}

}  // namespace

void write_sensitivity_csv(std::ostream& out, const plan::Plan& plan,
                           const std::vector<BatchSensitivity>& batches) {
  Csv csv(out);
  for (const char* head :
       {"batch",    "cell",        "cell_unit", "cell_now",   "input",  "kind",
        "unit",     "low",         "high",      "now",        "at_low", "at_high",
        "smallest", "smallest_at", "largest",   "largest_at", "moves",  "holds_from",
        "holds_to", "stretches",   "below",     "above"}) {
    csv.text(head);
  }
  csv.end_row();
  for (const BatchSensitivity& batch : batches) {
    const Asked asked(plan, *batch.batch);
    for (const Tried& one : batch.found.inputs) write_row(csv, asked, batch.found, one);
    for (const Tried& one : batch.found.batch) write_row(csv, asked, batch.found, one);
  }
}

}  // namespace budwood::report
