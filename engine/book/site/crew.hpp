/// A crew's time on a day is one function (`Crew::person_seconds`): weekday, leave, extra
/// people and closed days. Extra people come on working days only, because no work with a crew
/// is planned on others.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "book/yaml/written.hpp"
#include "calendar/calendar.hpp"

namespace budwood::book {

/// How long each of a crew works on the days of a week, seconds; 0: not there.
class WeekHours {
 public:
  /// The same on every weekday.
  WeekHours(double every_day = 0) { by_weekday_.fill(every_day); }
  explicit WeekHours(const std::array<double, 7>& by_weekday) : by_weekday_(by_weekday) {}

  double on(calendar::Weekday weekday) const {
    return by_weekday_[static_cast<std::size_t>(weekday)];
  }
  const std::array<double, 7>& by_weekday() const { return by_weekday_; }
  bool same_every_day() const;

  friend bool operator==(const WeekHours&, const WeekHours&) = default;

 private:
  std::array<double, 7> by_weekday_{};
};

/// Days from `first` to `last`, both included, on which people of a crew are away, or more of them
/// are there.
struct PeopleChange {
  calendar::Day first = 0;
  calendar::Day last = 0;
  int people = 1;  ///< 1 to 10,000
  text::Span span;
};

/// Who looks after the plants on days on which the others are not there.
struct Duty {
  WeekHours hours;  ///< of whoever has it, seconds by weekday; on closed days too
  std::string who;  ///< "" when the site does not say
  text::Span span;
};

/// The people who can do a kind of work.
struct Crew {
  int people = 1;   ///< 1 to 10,000
  WeekHours hours;  ///< that each of them works on a working day, pauses taken off
  std::optional<Placed<double>> cost;  ///< money for one person-hour; 0 or more
  text::Span span;
  std::vector<PeopleChange> leave{};  ///< as written; never more people than there are
  std::vector<PeopleChange> extra{};  ///< as written; they work the hours of the crew
  std::optional<Duty> duty{};

  /// How many are there on a day, if anybody works on it; 0 or more.
  int people_on(calendar::Day day) const;
  /// What all of them work on a day together, seconds. On a day on which the site does not work
  /// that of whoever has duty; extra people are not there then.
  double person_seconds(calendar::Day day, const calendar::WorkingDays& working) const;
};

}  // namespace budwood::book
