#pragma once

#include <map>
#include <memory>

#include "sheet/site/site.hpp"

namespace budwood::sheet {

/// The stretch of days that a plan is looked for in. Without one, a plan that cannot be is looked
/// for through the whole calendar, a day at a time.
struct DayWindow {
  Day first = calendar::first_day;
  Day last = calendar::last_day;
  friend auto operator<=>(const DayWindow&, const DayWindow&) = default;
};

/// The days on which stages can start and batches be handed over; each set is made once and kept.
class StartDays {
 public:
  StartDays(const language::Protocol& protocol, const Site& site);

  /// Stands for a length that is not known before the start.
  static constexpr int unknown_length = -1;

  /// The days of its season on which the stage can start when it lasts `length` days, so that all
  /// its work that must be done finds people; nullptr when any day will do. With an unknown length
  /// only work on days that come in any case is looked at.
  const calendar::DaySet* of(std::int32_t stage, int length, const DayWindow& window = {});
  /// The working days.
  const calendar::DaySet* of_hand_over(const DayWindow& window);

 private:
  struct Key {
    std::int32_t stage = 0;
    int length = 0;
    DayWindow window;
    friend auto operator<=>(const Key&, const Key&) = default;
  };
  const calendar::DaySet* kept(const Key& key, std::unique_ptr<calendar::DaySet> set);
  std::unique_ptr<calendar::DaySet> make(std::int32_t stage, int length) const;

  const language::Protocol& protocol_;
  const calendar::WorkingDays& working_;
  bool southern_;
  std::map<Key, std::unique_ptr<calendar::DaySet>> sets_;
};

}  // namespace budwood::sheet
