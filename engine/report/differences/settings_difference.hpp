#pragma once

#include "report/differences/comparison.hpp"
#include "report/formats/filter.hpp"

/// How what batches ask of their rooms differs between two plans. Private to this module.
namespace budwood::report {

/// A change of settings in both plans; no day where it is not given. They have one id.
struct SettingDifference {
  language::StageId stage;
  std::int32_t day = 0;  ///< of the stage, from 1
  std::string id;
  Reading date_before, date_after;
  std::string before, after;  ///< what is set; "" where nothing is
};
using SettingDifferences = std::vector<SettingDifference>;

/// The changes of settings of a plan that are held against others, by place of their batch.
class SettingOrders {
 public:
  /// Those of the batches that pass; days and rooms are looked at when two plans are compared.
  SettingOrders(const plan::Plan& plan, const Filter& filter);

  const std::vector<plan::SettingChange>& of(std::size_t batch) const { return by_batch_[batch]; }

 private:
  std::vector<std::vector<plan::SettingChange>> by_batch_;
};

/// Those of a batch that differ and pass the filter in either plan, by stage and day.
SettingDifferences setting_differences(const Comparison& both, const BatchPair& pair,
                                       const SettingOrders& before, const SettingOrders& after,
                                       const Filter& filter);

/// About "setting": the date of each order and what is set.
Differences setting_rows(const BatchPair& pair, const language::Protocol& protocol,
                         const SettingDifferences& differences);

/// A row for each order that sets something else; those that move, come or go have a row a stage.
void write_settings_differences(std::ostream& out, const language::Protocol& protocol,
                                const SettingDifferences& differences, const Style& style);

}  // namespace budwood::report
