#include "book/site/crew.hpp"

#include <algorithm>

namespace budwood::book {

bool WeekHours::same_every_day() const {
  return std::all_of(by_weekday_.begin(), by_weekday_.end(),
                     [&](double hours) { return hours == by_weekday_.front(); });
}

int Crew::people_on(calendar::Day day) const {
  const auto count = [&](const std::vector<PeopleChange>& changes) {
    int sum = 0;
    for (const PeopleChange& change : changes) {
      if (change.first <= day && day <= change.last) sum += change.people;
    }
    return sum;
  };
  // A what-if can take people off who are on leave then.
  return std::max(0, people + count(extra) - count(leave));
}

double Crew::person_seconds(calendar::Day day, const calendar::WorkingDays& working) const {
  if (!working.works(day)) return duty ? duty->hours.on(calendar::weekday(day)) : 0;
  return people_on(day) * hours.on(calendar::weekday(day));
}

}  // namespace budwood::book
