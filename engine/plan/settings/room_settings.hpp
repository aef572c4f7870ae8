/// A room has one climate on a day, whatever each of the batches in it asks for. What they ask for
/// is brought together for each place whose climate is set as one: a room, or a zone of it; a
/// cover; or, for stages that name no room, the place of a batch.
#pragma once

#include <map>
#include <span>
#include <string>
#include <utility>
#include <vector>

#include "plan/orders/settings.hpp"

namespace budwood::plan {

struct Plan;

/// A stage of a batch, somewhere.
struct StageOfBatch {
  std::uint32_t batch = 0;  ///< in Plan::batches
  StageId stage;

  friend auto operator<=>(const StageOfBatch&, const StageOfBatch&) = default;
};

/// In which zone of its room a stage stands, from 0. What is not there is in the first.
using Zones = std::map<StageOfBatch, std::size_t>;

/// Days on which a place has the same climate for the same plants.
struct SettingPeriod {
  calendar::Day from = 0;  ///< up to the next one
  std::vector<DaySetting> settings;
  std::vector<StageOfBatch> whom;  ///< the most delicate first; nobody: nothing is asked for
};

/// A place whose climate is set as one.
struct SettingPlace {
  std::string room;  ///< "" where the stage names none
  std::string zone;  ///< "" when the room has only one
  bool cover = false;
  StageOfBatch own;                    ///< whose place it is: of a cover, and without a room
  std::vector<SettingPeriod> periods;  ///< by day

  /// Whether it goes on when these plants have left.
  bool lasts() const { return !room.empty() && !cover; }
};

class RoomSettings {
 public:
  RoomSettings() = default;
  RoomSettings(const Plan& plan, const Zones& zones);

  const std::vector<SettingPlace>& places() const { return places_; }
  /// What a stage of a batch gets on a day; nothing when it asks for nothing.
  std::vector<DaySetting> given(const StageOfBatch& whom, calendar::Day day) const;

 private:
  struct Stand {
    StageOfBatch whom;
    std::size_t place = 0;  ///< in places_

    friend auto operator<=>(const Stand&, const Stand&) = default;
  };
  void add_companions(const Plan& plan);
  std::span<const Stand> stands_of(const StageOfBatch& whom) const;

  std::vector<SettingPlace> places_;
  std::vector<Stand> stands_;  ///< by whom, then by place
};

}  // namespace budwood::plan
