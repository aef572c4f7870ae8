#pragma once

#include <string>
#include <vector>

#include "plan/orders/setting_orders.hpp"
#include "plan/orders/settings.hpp"
#include "units/units.hpp"

/// How reports word what several of them show.
namespace budwood::report {

/// "Mon 2027-02-15"; "-" for a value that is no day.
std::string short_date(double day);

/// "600 plants"; whole plants, "-" when not known.
std::string plants_text(double plants, bool cards = false);

/// A number of plants, in whole ones; "-" when not known.
std::string whole_plants(double plants);

/// "54.1 %": rounded down, so that it never says more than is so.
std::string chance_text(double chance);

/// People's time: "3.2 h", under an hour "45 min"; "" for none.
std::string time_text(double person_seconds);

/// "crates.bud:12": file and line of a place; "" without a file.
std::string file_and_line(const text::Span& span);
/// The same; of what the record tells "entry k7m2abcd", as lists of the record name it.
std::string place_text(const plan::Plan& plan, const text::Span& span);

/// The title of a stage, part, supply or protocol, or its name when it has none.
template <class Named>
const std::string& shown_name(const Named& one) {
  return one.title.empty() ? one.name : one.title;
}

/// "Bench graft, apple, edition 2".
std::string protocol_text(const language::Protocol& protocol);

/// "1 work order", "12 work orders".
std::string counted(std::size_t number, const std::string& noun);
/// "1 batch", "6 batches".
std::string counted_batches(double number);

std::string joined(const std::vector<std::string>& pieces, const std::string& between);

/// "air by day 25 degC; humidity 95 %".
std::string settings_text(const std::vector<plan::DaySetting>& settings);

/// "24 pulses, 240 s, 6 L a day"; without the litres where the flow is not known.
std::string mist_text(const plan::MistTotal& mist);
/// "daylight 3.1 mol/m2, lamps 6.8 h a day; at the end daylight 4.2 mol/m2, lamps 5.3 h a day".
std::string lamps_text(const plan::LampTotal& lamps);
/// "some 3.9 times, 7.8 L/m2 a day; at the end some 4.4 times, 8.8 L/m2 a day".
std::string water_text(const plan::WaterTotal& water);

/// "humidity 95 %; mist 10 s every 30 min, 07:00 to 19:00 (24 pulses, 240 s, 6 L a day)".
std::string changes_text(const plan::SettingDetail& order);
/// Where it is set: "mist_frame, left", "the cover of B7/rooting", or the stage where it has no
/// room.
std::string place_text(const plan::SettingDetail& order);
/// For whom: "B7/rooting, the most delicate, and 3 more"; "" when the place names them, or when
/// nobody is left.
std::string whom_text(const plan::SettingDetail& order);
/// What mist comes to, where, how and for whom: what stands with the notes in tables.
std::string notes_text(const plan::SettingDetail& order);

}  // namespace budwood::report
