#pragma once

#include <string>
#include <vector>

#include "language/model.hpp"
#include "sheet/row.hpp"
#include "sheet/site/site.hpp"
#include "sheet/template/template.hpp"

namespace budwood::plan {

using language::StageId;

/// What a setting is on one day.
struct DaySetting {
  std::string name;  ///< "air", "humidity", "mist", ...
  language::Half half = language::Half::both;
  std::string value;  ///< for people: "25 to 30 degC", "10 s every 30 min, 07:00 to 19:00"
};

/// The settings of a stage on its day `offset` (0 is its first), in the order in which they are
/// written; of several statements for one value and half of the day the last one counts.
std::vector<DaySetting> settings_on(const sheet::Row& row, StageId stage, int offset);

/// How many days plants stand on in the room of a stage after its last day, until the next stage
/// that takes them begins; the settings of the last day go on. The row has dates.
int waiting_days(const sheet::Row& row, StageId stage);

/// "air by day 25 degC".
std::string describe(const DaySetting& setting);

/// A stretch of days of a stage on which a setting stays the same.
struct SettingSpan {
  calendar::Day from = 0;
  calendar::Day to = 0;  ///< included
  DaySetting setting;
};
/// All settings of a stage over its planned days, by setting, then by day.
std::vector<SettingSpan> setting_spans(const sheet::Row& row, StageId stage);

}  // namespace budwood::plan
