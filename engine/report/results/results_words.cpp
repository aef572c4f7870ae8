#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "report/results/results_report.hpp"
#include "units/units.hpp"

namespace budwood::report {

namespace {

/// Without the unit that stands once behind both limits.
std::string bare(double value, results::Of of) {
  if (!std::isfinite(value)) return "-";
  switch (of) {
    case results::Of::take:
      return fmt::format("{:.1f}", 100 * value);
    case results::Of::rate:
    case results::Of::days:
      return fmt::format("{:.1f}", value);
    case results::Of::cost:
      return fmt::format("{:.2f}", value);
  }
  return "-";
}

const char* unit_of(results::Of of) {
  return of == results::Of::take ? " %" : "";
}

}  // namespace

std::string result_text(double value, results::Of of) {
  return std::isfinite(value) ? bare(value, of) + unit_of(of) : "-";
}

std::string interval_text(const std::optional<statistics::Interval>& interval, results::Of of) {
  if (!interval) return "";
  return bare(interval->low, of) + " to " + bare(interval->high, of) + unit_of(of);
}

std::string result_name(results::Of of) {
  switch (of) {
    case results::Of::take:
      return "Share";
    case results::Of::rate:
      return "Plants an hour";
    case results::Of::days:
      return "Days";
    case results::Of::cost:
      return "Cost a plant";
  }
  return "";
}

std::string results_note(const results::Summary& summary) {
  const bool planned = std::any_of(summary.rows.begin(), summary.rows.end(),
                                   [](const results::Row& row) { return !row.start_noted; });
  switch (summary.question.of) {
    case results::Of::take:
      return std::string(
                 "95 %: the usual share lies between these limits in 95 of 100 such intervals "
                 "(Wilson, widened by how trays and batches differ). It is not the range of the "
                 "next batch.") +
             (planned ? " *: nobody noted how many there were; the plan says." : "");
    case results::Of::rate:
      return "Plants an hour of one person: all plants over all hours, 95 % by Student's t over "
             "the jobs.";
    case results::Of::days:
      return "Stages of which start and end were noted.";
    case results::Of::cost:
      return std::string("Costs are those of the plan, good plants those counted last.") +
             (planned ? " *: not all of it has a price." : "");
  }
  return "";
}

}  // namespace budwood::report
