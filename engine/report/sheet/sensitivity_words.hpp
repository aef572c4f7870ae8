#pragma once

#include "report/sheet/sensitivity.hpp"
#include "report/why/why_words.hpp"

/// What the formats of a sensitivity report share.
namespace budwood::report {

/// In what a row of numbers is shown: a unit, or as dates.
struct Scale {
  bool dates = false;
  units::Unit unit;
  int digits = 6;  ///< that people are shown

  /// What programs read beside the numbers: "%", "h", "date".
  std::string name() const { return dates ? "date" : unit.symbol; }
  /// "" of a date.
  double number(double value) const { return unit.from_base(value); }
  /// Of a difference between two values; of dates it is days.
  double difference(double value) const { return dates ? value : value / unit.factor; }
  /// For people.
  std::string text(double value) const;
  std::string difference_text(double value) const;
};

/// Of what is tried, and of the cell that is asked about.
Scale scale_of(const plan::Tried& tried);
Scale scale_of(const Asked& asked, sheet::CellId cell);

/// "strike"; of the batch "batch.plants", "batch.ready" or "batch.start".
std::string name_of(const Asked& asked, const plan::Tried& tried);
/// "input", "plants" or "date".
const char* word(plan::Tried::What what);

/// One writer for each format.
void write_sensitivity_table(std::ostream& out, const plan::Plan& plan,
                             const std::vector<BatchSensitivity>& batches, const Style& style);
void write_sensitivity_csv(std::ostream& out, const plan::Plan& plan,
                           const std::vector<BatchSensitivity>& batches);
void write_sensitivity_json(std::ostream& out, const plan::Plan& plan,
                            const std::vector<BatchSensitivity>& batches);

}  // namespace budwood::report
