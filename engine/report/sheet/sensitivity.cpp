#include "report/sheet/sensitivity.hpp"

#include "report/sheet/sensitivity_words.hpp"

namespace budwood::report {

void write_sensitivity(std::ostream& out, const plan::Plan& plan,
                       const std::vector<BatchSensitivity>& batches, Format format,
                       const Style& style) {
  switch (format) {
    case Format::table:
      return write_sensitivity_table(out, plan, batches, style);
    case Format::csv:
      return write_sensitivity_csv(out, plan, batches);
    case Format::json:
      return write_sensitivity_json(out, plan, batches);
  }
}

}  // namespace budwood::report
