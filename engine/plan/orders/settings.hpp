/// Settings stay numbers until they are shown, so that they can be compared, put to dials and
/// brought together for a room.
#pragma once

#include <limits>
#include <optional>
#include <string>
#include <vector>

#include "book/site/site.hpp"
#include "climate/mist.hpp"
#include "language/model.hpp"
#include "sheet/row.hpp"
#include "sheet/site/site.hpp"
#include "sheet/template/template.hpp"

namespace budwood::plan {

using language::StageId;

struct Plan;

/// What a setting is on one day, or what becomes of it.
struct DaySetting {
  enum class Kind : std::uint8_t {
    level,    ///< a value, or a range of values
    mist,     ///< a programme of mist
    off,      ///< of mist: it ends
    unasked,  ///< nobody switches it off, but nobody asks for it any more
    back,     ///< to what the room is set to without plants: `low`
  };
  std::string name;  ///< "air", "humidity", "mist", ...
  language::Half half = language::Half::both;
  Kind kind = Kind::level;
  language::Bound bound = language::Bound::exact;
  double low = 0, high = 0;  ///< base units; the same but for a range
  double hours = std::numeric_limits<double>::quiet_NaN();  ///< of light, seconds
  /// Of irrigation by light, mol/m2: `low`, m, is given each time that so much has come.
  double light = std::numeric_limits<double>::quiet_NaN();
  units::Unit unit;             ///< in which it is shown
  climate::MistProgramme mist;  ///< without its flow

  /// For people: "25 to 30 degC", "10 s every 30 min, 07:00 to 19:00".
  std::string value() const;
};
/// Whether two set the same; rounding aside.
bool same(const DaySetting& one, const DaySetting& other);
bool same(const std::vector<DaySetting>& some, const std::vector<DaySetting>& others);

/// What all programmes of mist among settings come to in a day; nothing when none runs.
struct MistSum {
  std::int64_t pulses = 0;
  double seconds = 0;
  climate::MistProgramme first;
};
std::optional<MistSum> mist_of(const std::vector<DaySetting>& settings);

/// As finely as a timer is set: "7.5 s", "25 min 27 s", "3.5 h".
std::string timer_text(double seconds);

/// How many days plants stand on in the room of a stage after its last day, until the next stage
/// that takes them begins; the settings of the last day go on. The row has dates.
int waiting_days(const sheet::Row& row, StageId stage);

/// "air by day".
std::string name_text(const DaySetting& setting);
/// "air by day 25 degC".
std::string describe(const DaySetting& setting);

/// A stretch of days of a stage on which a setting stays the same.
struct SettingSpan {
  calendar::Day from = 0;
  calendar::Day to = 0;  ///< included
  DaySetting setting;
};
/// All that a stage of a batch (a place in Plan::batches) gets over its planned days, by setting,
/// then by day.
std::vector<SettingSpan> setting_spans(const Plan& plan, std::size_t batch, StageId stage);

}  // namespace budwood::plan
