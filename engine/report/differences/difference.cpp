#include "report/differences/difference.hpp"

#include <algorithm>
#include <cmath>

#include "calendar/calendar.hpp"
#include "report/formats/wording.hpp"
#include "report/needs/needs_words.hpp"
#include "units/rounding.hpp"

namespace budwood::report {

namespace {

using ReadingKind = Reading::Kind;

const units::Unit& percent() {
  static const units::Unit unit = *units::find_unit("%");
  return unit;
}

Reading reading(ReadingKind kind, double value, std::string shown) {
  if (!std::isfinite(value)) return {};
  Reading out;
  out.kind = kind;
  out.value = value;
  out.shown = std::move(shown);
  return out;
}

/// A difference in the unit of two values: on a scale of temperature it is no temperature.
units::Unit step_of(units::Unit unit) {
  unit.offset = 0;
  unit.absolute = false;
  return unit;
}

std::string size_text(const Reading& reading, double step) {
  switch (reading.kind) {
    case ReadingKind::amount:
      return units::format(step, step_of(reading.unit), 4);
    case ReadingKind::share: {
      const std::string points = units::format_number(percent().from_base(step), 3);
      return points + (points == "1" ? " point" : " points");
    }
    case ReadingKind::hours:
      return time_text(step);
    case ReadingKind::money:
      return money_text(step);
    case ReadingKind::none:
    case ReadingKind::text:
    case ReadingKind::date:
      break;
  }
  return "";
}

std::string days_text(double days) {
  const std::string size = calendar::days_text(static_cast<int>(std::abs(days)));
  return size + (days < 0 ? " earlier" : " later");
}

bool comparable(const Reading& before, const Reading& after) {
  return before.kind == after.kind && before.kind != ReadingKind::none &&
         before.kind != ReadingKind::text;
}

}  // namespace

double Reading::number() const {
  switch (kind) {
    case ReadingKind::amount:
      return unit.from_base(value);
    case ReadingKind::share:
      return percent().from_base(value);
    case ReadingKind::hours:
      return value / units::seconds_an_hour;
    default:
      return value;
  }
}

std::string Reading::unit_name() const {
  switch (kind) {
    case ReadingKind::amount:
    case ReadingKind::money:
      return unit.symbol;
    case ReadingKind::share:
      return "%";
    case ReadingKind::hours:
      return "h";
    case ReadingKind::date:
      return "days";
    default:
      return "";
  }
}

Reading no_reading() {
  return {};
}

Reading text_reading(std::string text) {
  return text.empty() ? Reading{} : reading(ReadingKind::text, 0, std::move(text));
}

Reading date_reading(double day) {
  return reading(ReadingKind::date, day, std::isfinite(day) ? short_date(day) : "");
}

Reading amount_reading(double base, const units::Unit& unit, int digits) {
  Reading out = reading(ReadingKind::amount, base, units::format(base, unit, digits));
  out.unit = unit;
  return out;
}

Reading plants_reading(double plants) {
  constexpr int all_digits = 15;
  return amount_reading(std::round(plants), units::counting_unit("plants"), all_digits);
}

Reading share_reading(double share) {
  return reading(ReadingKind::share, share, units::format(share, percent(), 6));
}

Reading chance_reading(double chance) {
  return reading(ReadingKind::share, chance, chance_text(chance));
}

Reading hours_reading(double person_seconds) {
  const std::string text = time_text(person_seconds);
  return reading(ReadingKind::hours, person_seconds, text.empty() ? "none" : text);
}

Reading money_reading(double money, const std::string& currency) {
  Reading out = reading(ReadingKind::money, money, money_text(money));
  out.unit.symbol = currency;
  return out;
}

bool differ(const Reading& before, const Reading& after) {
  if (before.kind != after.kind) return true;
  if (before.kind == ReadingKind::none) return false;
  if (before.kind == ReadingKind::text) return before.shown != after.shown;
  return std::abs(before.value - after.value) > units::slack(before.value, after.value);
}

std::string difference_text(const Reading& before, const Reading& after) {
  if (!differ(before, after)) return "";
  if (before.kind == ReadingKind::none) return "new";
  if (after.kind == ReadingKind::none) return "gone";
  if (!comparable(before, after)) return "";
  const double step = after.value - before.value;
  if (before.kind == ReadingKind::date) return days_text(step);
  return (step < 0 ? "-" : "+") + size_text(after, std::abs(step));
}

std::optional<double> difference_number(const Reading& before, const Reading& after) {
  if (!comparable(before, after)) return std::nullopt;
  return after.number() - before.number();
}

void add_difference(Differences& out, Difference difference) {
  if (differ(difference.before, difference.after)) out.push_back(std::move(difference));
}

Differences only_about(const Differences& all, std::string_view about) {
  Differences out;
  for (const Difference& one : all) {
    if (one.about == about) out.push_back(one);
  }
  return out;
}

}  // namespace budwood::report
