#pragma once

#include <map>
#include <memory>

#include "sheet/dates/series_length.hpp"
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

  /// The days of its season on which the stage can start when it lasts `length` days, so that all
  /// its work that must be done finds people, and so do plants that change rooms; nullptr when any
  /// day will do.
  const calendar::DaySet* of(std::int32_t stage, int length, const DayWindow& window = {});
  /// The same when the length follows the start. The set is kept for as long as the length is.
  const calendar::DaySet* of(std::int32_t stage, const SeriesLength& length,
                             const DayWindow& window = {});
  /// The days of its season alone; nullptr when it has none.
  const calendar::DaySet* of_season(std::int32_t stage, const DayWindow& window);
  /// The working days.
  const calendar::DaySet* of_hand_over(const DayWindow& window);

 private:
  struct Key {
    std::int32_t stage = 0;
    int length = 0;
    const SeriesLength* series = nullptr;
    DayWindow window;
    friend auto operator<=>(const Key&, const Key&) = default;
  };
  const calendar::DaySet* find(const Key& key);
  const calendar::DaySet* kept(const Key& key, std::unique_ptr<calendar::DaySet> set);
  std::unique_ptr<calendar::DaySet> make(const Key& key) const;
  void leave_working(const language::Stage& stage, int length, calendar::DaySet& set) const;
  bool finds_people(const language::Stage& stage, Day start, int length) const;

  const language::Protocol& protocol_;
  const calendar::WorkingDays& working_;
  bool southern_;
  std::map<Key, std::unique_ptr<calendar::DaySet>> sets_;
};

}  // namespace budwood::sheet
