#include "record/entry.hpp"

#include <unistd.h>

#include <algorithm>
#include <array>
#include <chrono>
#include <cmath>
#include <cstdlib>
#include <ctime>
#include <numeric>
#include <tuple>

#include "language/limits.hpp"
#include "text/text.hpp"

namespace budwood::record {

namespace {

constexpr std::array<const char*, what_count> words = {
    "done",  "left out", "seen",       "not seen", "counted", "lost",   "started",   "ended",
    "stock", "came in",  "thrown out", "stopped",  "note",    "lesson", "withdrawal"};

/// Digits and small letters without those that are taken for others when they are read out.
constexpr std::string_view id_letters = "abcdefghjkmnpqrstvwxyz0123456789";
static_assert(256 % id_letters.size() == 0);
constexpr std::size_t first_letters = 22;

constexpr std::int64_t day_ms = 86'400'000;
/// Far behind the last moment, so that there is room for entries noted after it.
constexpr std::int64_t last_turn = 2 * std::int64_t{days_there_are} * day_ms;
constexpr std::size_t longest_words = 2000;
constexpr std::size_t longest_name = 200;

bool is_line(std::string_view text, std::size_t longest) {
  return text::find_invalid_utf8(text) == std::string_view::npos &&
         text::count_characters(text) <= longest &&
         std::none_of(text.begin(), text.end(), [](char c) {
           const auto byte = static_cast<unsigned char>(c);
           return byte < 0x20 || byte == 0x7F;
         });
}

bool is_whole(double value) {
  return value == std::floor(value);
}

std::string number_fault(const Entry& entry) {
  const double most = language::limits::most_plants;
  if (entry.number && !std::isfinite(*entry.number)) return "A number is needed.";
  const bool plants =
      entry.what == What::done || entry.what == What::counted || entry.what == What::lost;
  if (entry.number && (plants || is_of_stock(entry.what) || entry.of) && *entry.number < 0) {
    return "There cannot be less than none.";
  }
  if (entry.number && (plants || entry.of) && (*entry.number > most || !is_whole(*entry.number))) {
    return "Plants are whole numbers from 0 to 10 000 000.";
  }
  if (!entry.of) return "";
  if (!entry.number) return "It does not say how many of them.";
  if (!(*entry.of >= 1 && *entry.of <= most) || !is_whole(*entry.of)) {
    return "What was looked at is a whole number from 1 to 10 000 000.";
  }
  return *entry.number > *entry.of ? "More cannot be found than were looked at." : "";
}

}  // namespace

const char* word(What what) {
  return words.at(static_cast<std::size_t>(what));
}

std::optional<What> find_what(std::string_view word) {
  const auto found = std::find(words.begin(), words.end(), word);
  if (found == words.end()) return std::nullopt;
  return static_cast<What>(found - words.begin());
}

bool is_of_stock(What what) {
  return what == What::stock || what == What::came_in || what == What::thrown_out;
}

bool needs_words(What what) {
  return what == What::left_out || what == What::stopped || what == What::note ||
         what == What::lesson || what == What::thrown_out;
}

std::string_view stage_of(const Entry& entry) {
  return std::string_view(entry.place).substr(0, entry.place.find('/'));
}

bool is_order(std::string_view place) {
  return std::count(place.begin(), place.end(), '/') == 2;
}

std::string whole_place(const Entry& entry) {
  return entry.place.empty() ? entry.batch : entry.batch + "/" + entry.place;
}

bool noted_before(const Entry& one, const Entry& other) {
  return std::tie(one.turn, one.noted, one.id) < std::tie(other.turn, other.noted, other.id);
}

/// Entries are large, and mostly in order: their places are sorted, and only when there is need.
void sort_as_noted(std::vector<Entry>& entries) {
  if (std::is_sorted(entries.begin(), entries.end(), noted_before)) return;
  std::vector<std::size_t> places(entries.size());
  std::iota(places.begin(), places.end(), std::size_t{0});
  std::sort(places.begin(), places.end(), [&](std::size_t one, std::size_t other) {
    return noted_before(entries[one], entries[other]);
  });
  std::vector<Entry> sorted;
  sorted.reserve(entries.size());
  for (const std::size_t place : places) sorted.push_back(std::move(entries[place]));
  entries = std::move(sorted);
}

std::string new_id() {
  // A byte a letter: there are 32 of them, so each is as likely. The first is a letter and no
  // digit.
  std::array<unsigned char, id_length> lot{};
  do {
    if (::getentropy(lot.data(), lot.size()) != 0) std::abort();  // no system is without
  } while (lot.front() % id_letters.size() >= first_letters);
  std::string out;
  for (const unsigned char one : lot) out += id_letters[one % id_letters.size()];
  return out;
}

bool is_id(std::string_view text) {
  return text.size() >= shortest_front && text.size() <= id_length &&
         id_letters.substr(0, first_letters).find(text.front()) != std::string_view::npos &&
         text.find_first_not_of(id_letters) == std::string_view::npos;
}

std::int64_t moment_now() {
  using namespace std::chrono;
  return duration_cast<milliseconds>(system_clock::now().time_since_epoch()).count();
}

calendar::Day day_now() {
  const std::time_t now = std::time(nullptr);
  std::tm parts{};
  localtime_r(&now, &parts);
  return calendar::day_of({parts.tm_year + 1900, static_cast<unsigned>(parts.tm_mon + 1),
                           static_cast<unsigned>(parts.tm_mday)})
      .value_or(0);
}

calendar::Day day_of_moment(std::int64_t moment) {
  return static_cast<calendar::Day>(moment / day_ms);
}

std::string moment_text(std::int64_t moment) {
  const std::int64_t day = moment / day_ms;
  const std::int64_t rest = moment % day_ms;
  const auto two = [](std::int64_t value) {
    return (value < 10 ? "0" : "") + std::to_string(value);
  };
  const std::string thousandths = std::to_string(1000 + rest % 1000).substr(1);
  return calendar::iso_date(static_cast<calendar::Day>(day)) + "T" + two(rest / 3'600'000) + ":" +
         two(rest / 60'000 % 60) + ":" + two(rest / 1000 % 60) + "." + thousandths + "Z";
}

std::optional<std::int64_t> parse_moment(std::string_view text) {
  constexpr std::string_view form = "dddd-dd-ddTdd:dd:dd.dddZ";
  if (text.size() != form.size()) return std::nullopt;
  for (std::size_t i = 0; i < form.size(); ++i) {
    const bool digit = text[i] >= '0' && text[i] <= '9';
    if (form[i] == 'd' ? !digit : text[i] != form[i]) return std::nullopt;
  }
  const auto day = calendar::parse_iso_date(text.substr(0, 10));
  if (!day) return std::nullopt;
  const auto number = [&](std::size_t at, std::size_t size) {
    return std::stoll(std::string(text.substr(at, size)));
  };
  if (number(11, 2) > 23 || number(14, 2) > 59 || number(17, 2) > 59) return std::nullopt;
  return *day * day_ms + number(11, 2) * 3'600'000 + number(14, 2) * 60'000 + number(17, 2) * 1000 +
         number(20, 3);
}

namespace {

using Piece = Fault::Piece;

Fault clock_fault(const Entry& entry) {
  if (!is_id(entry.id) || entry.id.size() != id_length) return {Piece::whole, "Its id is none."};
  constexpr std::int64_t last_moment = std::int64_t{days_there_are} * day_ms;
  if (entry.noted < 0 || entry.noted >= last_moment) {
    return {Piece::whole, "It was noted at no moment there is."};
  }
  if (entry.day < 0 || entry.day >= days_there_are) {
    return {Piece::whole, "It happened on no day there is."};
  }
  if (entry.turn < 0 || entry.turn > last_turn) {
    return {Piece::whole, "Its turn is not between 0 and " + std::to_string(last_turn) + "."};
  }
  if (!entry.corrects.empty() && (!is_id(entry.corrects) || entry.corrects.size() != id_length)) {
    return {Piece::whole, "What it corrects is no id."};
  }
  return {};
}

Fault text_fault(const Entry& entry) {
  if (!is_line(entry.words, longest_words)) {
    return {Piece::words, "Its text is longer than 2000 letters, or no line."};
  }
  const std::string too_long = "A text in it is longer than 200 letters, or no line.";
  if (!is_line(entry.by, longest_name)) return {Piece::by, too_long};
  if (!is_line(entry.tray, longest_name)) return {Piece::tray, too_long};
  for (const std::string* text : {&entry.batch, &entry.place, &entry.name, &entry.unit}) {
    if (!is_line(*text, longest_name)) return {Piece::whole, too_long};
  }
  if (needs_words(entry.what) && entry.words.empty()) {
    return {Piece::whole, std::string("`") + word(entry.what) + "` needs a sentence."};
  }
  return {};
}

/// Whether an entry of this kind can be about such a place within its batch.
bool fits_place(What what, std::string_view place) {
  const auto depth = std::count(place.begin(), place.end(), '/');
  switch (what) {
    case What::done:
      return is_order(place);
    case What::left_out:
      return !place.empty() && depth <= 2;
    case What::started:
    case What::ended:
    case What::counted:
      return !place.empty() && depth == 0;
    case What::seen:
    case What::not_seen:
    case What::lost:
      return depth == 0;
    case What::stopped:
    case What::stock:
    case What::came_in:
    case What::thrown_out:
      return place.empty();
    case What::note:
    case What::lesson:
    case What::withdrawal:
      break;
  }
  return depth <= 2;
}

Fault subject_fault(const Entry& entry) {
  if (is_of_stock(entry.what) != (entry.batch.empty() && entry.what != What::withdrawal)) {
    return {Piece::whole, "Stock is of no batch, all else of one."};
  }
  if (entry.what == What::withdrawal && entry.corrects.empty()) {
    return {Piece::whole, "It withdraws nothing."};
  }
  if (!fits_place(entry.what, entry.place)) {
    return {Piece::whole, std::string("`") + word(entry.what) + "` does not say of what."};
  }
  const bool sight = entry.what == What::seen || entry.what == What::not_seen;
  if ((sight || is_of_stock(entry.what)) && entry.name.empty()) {
    return {Piece::whole, std::string("`") + word(entry.what) + "` does not say what."};
  }
  const bool amount =
      is_of_stock(entry.what) || entry.what == What::counted || entry.what == What::lost;
  if (amount && !entry.number) {
    return {Piece::whole, std::string("`") + word(entry.what) + "` does not say how much."};
  }
  return {};
}

}  // namespace

Fault find_fault(const Entry& entry) {
  for (const auto& find : {clock_fault, text_fault, subject_fault}) {
    if (Fault found = find(entry); !found.text.empty()) return found;
  }
  constexpr double longest_time = 366 * 86'400.0;
  if (entry.seconds && !(*entry.seconds >= 0 && *entry.seconds <= longest_time)) {
    return {Piece::time, "Time spent is from 0 to 366 days."};
  }
  for (const Used& use : entry.used) {
    if (!(use.amount >= 0) || !std::isfinite(use.amount) || use.supply.empty() ||
        !is_line(use.supply, longest_name) || !is_line(use.unit, longest_name)) {
      return {Piece::used, "What was used is no amount of a supply."};
    }
  }
  return {Piece::number, number_fault(entry)};
}

std::string fault_of(const Entry& entry) {
  return find_fault(entry).text;
}

}  // namespace budwood::record
