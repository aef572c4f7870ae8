#include "levelling/search/optional_begin.hpp"

#include <algorithm>

namespace budwood::levelling {

namespace {
/// Later than all days that plans can use, and far from the ends of the type.
constexpr Day never = calendar::last_day * 4;
}  // namespace

bool OptionalBegin::Days::can(Day day) const {
  return starts->next(day).value_or(never) <= day + slack;
}

Day OptionalBegin::Days::least_begin(Day day) const {
  return can(day) ? *starts->next(day) : day + wanted;
}

Day OptionalBegin::Days::most_begin(Day day) const {
  return can(day) ? *starts->previous(day + slack) : day + wanted;
}

Day OptionalBegin::Days::before_next_start(Day day) const {
  return starts->next(day + 1).value_or(never) - slack - 1;
}

Day OptionalBegin::Days::last_of_least(Day begin) const {
  // After the start before it come days that miss all starts, up to those that can take the next.
  const Day missing = std::min(begin - wanted, before_next_start(begin));
  const std::optional<Day> start = starts->previous(begin);
  return start ? std::max(*start, missing) : missing;
}

Day OptionalBegin::Days::last_of_most(Day begin) const {
  const std::optional<Day> start = starts->previous(begin);
  const Day last = start ? std::max(*start, begin - wanted) : begin - wanted;
  return std::min(last, before_next_start(begin));
}

std::optional<Day> OptionalBegin::Most::end_of(Day point) const {
  return days_.most_begin(point + days_.offset);
}

std::optional<Day> OptionalBegin::Most::latest_start(Day begin) const {
  return days_.last_of_most(begin) - days_.offset;
}

std::optional<Day> OptionalBegin::Least::end_of(Day begin) const {
  return days_.last_of_least(begin) - days_.offset;
}

std::optional<Day> OptionalBegin::Least::latest_start(Day point) const {
  return days_.least_begin(point + 1 + days_.offset) - 1;
}

OptionalBegin::OptionalBegin(const Use& use, Day first, Day last)
    : days_{use.starts, use.slack, use.wanted, use.from.offset},
      allowed_(*use.starts),
      most_(days_),
      least_(days_) {
  for (Day day = first; day <= last; ++day) {
    if (!days_.can(day)) missed_.insert(day + use.wanted);
  }
  allowed_ |= missed_;
}

}  // namespace budwood::levelling
