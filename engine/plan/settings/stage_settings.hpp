/// A protocol asks for a climate; a room can be set to some values of it, on days on which somebody
/// is there. What is set of a taper is worked out day by day from where it begins and ends, without
/// going through the days before: a stage may have hundreds.
#pragma once

#include <string>
#include <vector>

#include "plan/orders/settings.hpp"
#include "plan/settings/dials.hpp"
#include "sheet/row.hpp"

namespace budwood::plan {

/// Of the water a day a taper of mist takes away at most this from one setting to the next, where
/// the timer has such steps: common practice, no published source.
inline constexpr double largest_mist_fall = 1.0 / 3;

/// The settings of a stage of one batch, as the protocol asks for them and as they are set. Looks
/// at the row and the site, which stay where they are.
class StageSettings {
 public:
  /// Without dates every day is one on which somebody is there.
  StageSettings(const book::Site& site, const sheet::Row& row, StageId stage);

  /// On a day of the stage, 0 for its first, in the order in which they are written; of several
  /// statements for one value and half of the day the last one counts. None after its last day.
  std::vector<DaySetting> asked(int offset) const;
  /// The same as they stand in the room: put to its dials, and changed only on days on which
  /// somebody is there, or by timer. A taper goes in as few steps as it may, even ones, from its
  /// first value on its first day to its last value on its last day or the last one before it.
  std::vector<DaySetting> set(int offset) const;

  /// The air in which plants wait for the next stage, where the stage says it: `holds ... at`.
  std::optional<DaySetting> held() const;
  /// What stands in the room while they wait, in place of that of the last day.
  std::vector<DaySetting> while_held() const;

  int days() const { return climate_.days(); }
  const std::string& room() const { return stage_.room; }

 private:
  enum class As : std::uint8_t { asked, set };

  std::vector<DaySetting> on(int offset, As as) const;
  bool is_there(int offset) const;
  /// The day on which what stands on a day was set.
  int set_day(int offset, const std::string& name) const;
  void put_to_dial(DaySetting& setting, std::size_t statement, int offset) const;
  double level_between(std::size_t statement, int offset) const;
  climate::MistProgramme set_mist(std::size_t statement, int offset) const;
  std::vector<climate::MistProgramme> mist_values(std::size_t statement, int changes) const;
  std::vector<climate::MistProgramme> mist_values(std::size_t statement,
                                                  const sheet::StageClimate::Course& course) const;
  const std::vector<climate::MistProgramme>& known_mist_values(
      std::size_t statement, const sheet::StageClimate::Course& course) const;
  /// On how many days from one to another, the first left out, a setting can be changed.
  int chances(int after, int to, const std::string& name) const;
  /// Which of so many values, one more than changes, stands on a day of a taper.
  int place_of(const sheet::StageClimate::Course& course, int changes, int offset,
               const std::string& name) const;

  Stands stands_of(language::FormulaId formula) const;

  const book::Site& site_;
  const language::Protocol& protocol_;
  const language::Stage& stage_;
  sheet::StageClimate climate_;
  calendar::Day start_ = 0;
  double held_air_ = sheet::no_value;
  bool dated_ = false;
  const book::Timers* timers_ = nullptr;
  RoomDials dials_;
  /// On how many days up to each somebody is there, as far as it was asked for.
  mutable std::vector<int> there_;
  /// The values of tapers of mist, by statement, once they were asked for; none is without values.
  mutable std::vector<std::vector<climate::MistProgramme>> mist_values_;
};

/// A day on which the mist of a stage falls by more than it should, as it is set.
struct SteepFall {
  int offset = 0;                ///< the day, 0 for the first of the stage
  double before = 0, after = 0;  ///< seconds of mist a day
  climate::MistProgramme from, to;
};
/// The steepest of a stage; nothing when none is too steep. Eight pulses a day and fewer are next
/// to none.
std::optional<SteepFall> steepest_fall(const StageSettings& settings);

}  // namespace budwood::plan
