#include "record/line.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <sstream>

namespace budwood::record {

namespace {

/// Words that mean something where a name could stand.
constexpr std::array taken = {"done",    "left",     "out",    "counted", "lost",  "started",
                              "ended",   "stopped",  "lesson", "stock",   "came",  "thrown",
                              "correct", "withdraw", "used",   "plants",  "plant", "tray",
                              "on",      "by",       "of",     "seen",    "with",  "note",
                              "in",      "not",      "and",    "today",   "hand",  "grade"};

bool is_plain(std::string_view word) {
  if (word.empty() || word.size() > 60) return false;
  if (std::find(taken.begin(), taken.end(), word) != taken.end()) return false;
  return std::all_of(word.begin(), word.end(), [&](const char& c) {
    const bool letter = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || c == '_';
    return letter || (c >= '0' && c <= '9' && &c != &word.front());
  });
}

std::string in_quotes(std::string_view text) {
  std::string out = "\"";
  for (const char c : text) {
    if (c == '"' || c == '\\') out += '\\';
    out += c;
  }
  return out + "\"";
}

std::string name_text(std::string_view text) {
  return is_plain(text) ? std::string(text) : in_quotes(text);
}

/// One or more plain words, or text in quotes.
std::string person_text(const std::string& text) {
  std::string again;
  std::istringstream words(text);
  for (std::string word; words >> word;) {
    if (!is_plain(word)) return in_quotes(text);
    again += (again.empty() ? "" : " ") + word;
  }
  // The reader takes names up to 64 letters without quotes.
  return again == text && text.size() <= 60 ? text : in_quotes(text);
}

std::string tray_text(const std::string& text) {
  const bool number = !text.empty() && text.find_first_not_of("0123456789") == std::string::npos;
  return number ? text : name_text(text);
}

std::string with_unit(double value, const std::string& unit) {
  return number_text(value) + (unit.empty() ? "" : " " + unit);
}

/// What stands first in the line: of which it is, and what happened.
std::string happened_text(const Entry& entry) {
  switch (entry.what) {
    case What::withdrawal:
      return "withdraw " + entry.corrects;
    case What::stock:
      return "stock " + name_text(entry.name) + " " + amount_text(entry);
    case What::came_in:
    case What::thrown_out:
      return "stock " + name_text(entry.name) + " " + word(entry.what) + " " + amount_text(entry);
    case What::seen:
    case What::not_seen:
      return whole_place(entry) + " " + word(entry.what) + " " + entry.name +
             (entry.number ? " " + amount_text(entry) : "");
    case What::counted:
    case What::lost:
      return whole_place(entry) + " " + word(entry.what) + " " + amount_text(entry);
    case What::done:
    case What::left_out:
    case What::started:
    case What::ended:
    case What::stopped:
    case What::note:
    case What::lesson:
      break;
  }
  return whole_place(entry) + " " + word(entry.what);
}

}  // namespace

std::string number_text(double value) {
  std::array<char, 400> digits{};
  const auto end =
      std::to_chars(digits.data(), digits.data() + digits.size(), value, std::chars_format::fixed);
  return std::string(digits.data(), end.ptr);
}

std::string amount_text(const Entry& entry) {
  if (!entry.number) return "";
  if (!entry.of) return with_unit(*entry.number, entry.unit);
  const bool says_plants = entry.what == What::done || entry.what == What::counted;
  return number_text(*entry.number) + " of " +
         with_unit(*entry.of, says_plants ? entry.unit : std::string());
}

std::string time_text(const Entry& entry) {
  if (!entry.seconds) return "";
  const double seconds = *entry.seconds;
  const double minutes = seconds / 60;
  if (minutes != std::floor(minutes)) return number_text(seconds) + " s";
  const double hours = std::floor(minutes / 60);
  const double rest = minutes - hours * 60;
  if (hours == 0) return number_text(minutes) + " min";
  return number_text(hours) + " h" + (rest == 0 ? "" : " " + number_text(rest) + " min");
}

std::string used_text(const Entry& entry) {
  std::string out;
  for (const Used& use : entry.used) {
    out += (out.empty() ? "" : " and ") + with_unit(use.amount, use.unit) + " " +
           name_text(use.supply);
  }
  return out;
}

namespace {

/// What is told besides day and person.
std::string details_text(const Entry& entry) {
  std::string out;
  if (entry.what == What::done && entry.number) out += ", " + amount_text(entry);
  if (entry.seconds) out += ", " + time_text(entry);
  if (!entry.used.empty()) out += ", used " + used_text(entry);
  if (!entry.tray.empty()) out += ", in tray " + tray_text(entry.tray);
  if (entry.what == What::counted && !entry.name.empty()) out += ", in grade " + entry.name;
  if (!entry.words.empty()) out += ", " + in_quotes(entry.words);
  return out;
}

/// What stands before the day.
std::string front_text(const Entry& entry) {
  std::string out;
  if (!entry.corrects.empty() && entry.what != What::withdrawal) {
    out += "correct " + entry.corrects + " with ";
  }
  return out + happened_text(entry);
}

}  // namespace

std::string line_of(const Entry& entry) {
  std::string out = front_text(entry) + " on " + calendar::iso_date(entry.day);
  if (!entry.by.empty()) out += " by " + person_text(entry.by);
  return out + details_text(entry);
}

std::string told(const Entry& entry) {
  return front_text(entry) + details_text(entry);
}

}  // namespace budwood::record
