#include "report/formats/wording.hpp"
#include "report/needs/needs_words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "plan/plan.hpp"

namespace budwood::report {

namespace {

/// Nozzles are not more even than that.
constexpr int amount_digits = 3;

}  // namespace

std::string short_date(double day) {
  if (std::isnan(day)) return "-";
  return calendar::short_date(static_cast<calendar::Day>(day));
}

std::string plants_text(double plants, bool cards) {
  if (std::isnan(plants)) return "-";
  const std::string whole = whole_plants(plants);
  return whole + (cards ? " card" : " plant") + (whole == "1" ? "" : "s");
}

std::string whole_plants(double plants) {
  return std::isnan(plants) ? "-" : fmt::format("{:.0f}", std::round(plants));
}

std::string chance_text(double chance) {
  return fmt::format("{:.1f} %", std::floor(1000 * chance) / 10);
}

std::string time_text(double person_seconds) {
  if (std::isnan(person_seconds) || person_seconds <= 0) return {};
  // 59.6 min reads as an hour.
  constexpr double almost_an_hour = 59.5 * 60;
  if (person_seconds < almost_an_hour) {
    return fmt::format("{:.0f} min", std::max(1.0, std::round(person_seconds / 60)));
  }
  return fmt::format("{:.1f} h", person_seconds / units::seconds_an_hour);
}

std::string file_and_line(const text::Span& span) {
  if (span.source == nullptr) return {};
  return span.source->name() + ":" + std::to_string(span.source->line_of(span.begin));
}

std::string place_text(const plan::Plan& plan, const text::Span& span) {
  constexpr std::size_t short_id = 8;
  const record::Entry* entry = book::entry_at(*plan.book, span);
  return entry == nullptr ? file_and_line(span) : "entry " + entry->id.substr(0, short_id);
}

std::string protocol_text(const language::Protocol& protocol) {
  return shown_name(protocol) + ", edition " + std::to_string(protocol.edition);
}

std::string counted(std::size_t number, const std::string& noun) {
  return fmt::format("{} {}{}", number, noun, number == 1 ? "" : "s");
}

std::string counted_batches(double number) {
  return units::format_number(number) + (number == 1 ? " batch" : " batches");
}

std::string joined(const std::vector<std::string>& pieces, const std::string& between) {
  std::string out;
  for (const std::string& piece : pieces) {
    if (&piece != &pieces.front()) out += between;
    out += piece;
  }
  return out;
}

std::string settings_text(const std::vector<plan::DaySetting>& settings) {
  std::vector<std::string> pieces;
  for (const plan::DaySetting& setting : settings) pieces.push_back(plan::describe(setting));
  return joined(pieces, "; ");
}

std::string mist_text(const plan::MistTotal& mist) {
  std::string text = counted(static_cast<std::size_t>(mist.pulses), "pulse") + ", " +
                     units::format(mist.seconds, *units::find_unit("s"), amount_digits);
  if (mist.volume) {
    text += ", " + units::format(*mist.volume, mist.volume_unit, amount_digits);
  }
  return text + " a day";
}

namespace {

std::string lamp_day_text(const plan::LampDay& day) {
  std::string text;
  if (!std::isnan(day.daylight)) {
    text = "daylight " + units::format_number(day.daylight, 2) + " mol/m2, ";
  }
  text += "lamps " +
          (day.seconds > 0 ? units::format(day.seconds, *units::find_unit("h"), 2)
                           : std::string("0 h")) +
          " a day";
  if (day.dark > 0) {
    text += ", covered against daylight for " + units::format(day.dark, *units::find_unit("h"), 2) +
            " a day";
  }
  if (day.too_much() > 0) {
    text += ", " + units::format(day.too_much(), *units::find_unit("%"), 2) + " too bright";
  }
  return text;
}

std::string water_day_text(const plan::WaterDay& day, const units::Unit& unit) {
  return "some " + units::format_number(day.times, 2) + " times, " +
         units::format(day.amount, unit, 2) + " a day";
}

}  // namespace

std::string water_text(const plan::WaterTotal& water) {
  const std::string first = water_day_text(water.first, water.unit);
  const std::string last = water_day_text(water.last, water.unit);
  return first == last ? first : first + "; at the end " + last;
}

std::string lamps_text(const plan::LampTotal& lamps) {
  const std::string first = lamp_day_text(lamps.first);
  const std::string last = lamp_day_text(lamps.last);
  return first == last ? first : first + "; at the end " + last;
}

std::string changes_text(const plan::SettingDetail& order) {
  std::string text = settings_text(order.changes);
  if (order.mist) text += " (" + mist_text(*order.mist) + ")";
  if (order.lamps) text += " (" + lamps_text(*order.lamps) + ")";
  if (order.water) text += " (" + water_text(*order.water) + ")";
  if (order.by_timer) return text + ", by timer";
  if (order.since > order.date) return text + ", for " + calendar::short_date(order.since);
  return text;
}

std::string place_text(const plan::SettingDetail& order) {
  const std::string& stage = order.stage_title.empty() ? order.stage : order.stage_title;
  if (order.cover) return "cover of " + order.batch + ", " + stage;
  if (order.room.empty()) return stage;
  return order.zone.empty() ? order.room : order.room + ", " + order.zone;
}

std::string whom_text(const plan::SettingDetail& order) {
  constexpr std::size_t most_named = 3;
  if (order.whom.empty()) return "";
  std::string out = order.whom.front();
  if (order.whom.size() == 1) return out;
  out += " first, then ";
  if (order.whom.size() > most_named) return out + std::to_string(order.whom.size() - 1) + " more";
  return out + joined({order.whom.begin() + 1, order.whom.end()}, ", ");
}

std::string notes_text(const plan::SettingDetail& order) {
  std::vector<std::string> notes;
  if (order.mist) notes.push_back(mist_text(*order.mist));
  if (order.lamps) notes.push_back(lamps_text(*order.lamps));
  if (!order.zone.empty()) notes.push_back("zone " + order.zone);
  if (order.cover) notes.emplace_back("under the cover");
  if (order.by_timer) notes.emplace_back("by timer");
  if (const std::string whom = whom_text(order); !whom.empty()) notes.push_back("for " + whom);
  return joined(notes, "; ");
}

}  // namespace budwood::report
