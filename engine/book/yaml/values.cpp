#include "book/yaml/values.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "book/limits.hpp"

namespace budwood::book {

namespace {

constexpr std::size_t longest_name = 64;

bool is_letter(char c) {
  return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}
bool is_digit(char c) {
  return c >= '0' && c <= '9';
}

std::string ticked(std::string_view text) {
  return "`" + std::string(text) + "`";
}

/// A word as it may stand in a message: cut when it is very long.
std::string short_form(std::string_view text) {
  constexpr std::size_t most_bytes = 60;
  if (text.size() <= most_bytes) return std::string(text);
  std::size_t end = most_bytes;
  while (end > 0 && (static_cast<unsigned char>(text[end]) & 0xC0U) == 0x80U) --end;
  return std::string(text.substr(0, end)) + "...";
}

bool has_control_characters(std::string_view text, bool lines_allowed) {
  return std::any_of(text.begin(), text.end(), [&](char c) {
    const auto byte = static_cast<unsigned char>(c);
    if (lines_allowed && (c == '\n' || c == '\t')) return false;
    return byte < 0x20 || byte == 0x7F;
  });
}

/// Scalar text that is not empty; everything else is reported.
const std::string* scalar_text(const Node& node, const Wanted& wanted,
                               text::Diagnostics& diagnostics) {
  if (node.kind == Node::Kind::scalar && !node.value.empty()) return &node.value;
  report_wanted(node, wanted, diagnostics);
  return nullptr;
}

bool check_text(const Node& node, const Wanted& wanted, std::size_t longest, bool lines_allowed,
                text::Diagnostics& diagnostics) {
  if (text::find_invalid_utf8(node.value) != std::string_view::npos ||
      has_control_characters(node.value, lines_allowed)) {
    diagnostics.error("bad-text", node.span,
                      ticked(wanted.key) + " holds a character that cannot be printed.",
                      lines_allowed ? "Delete it." : "Write it on one line, in plain characters.");
    return false;
  }
  if (text::count_characters(node.value) > longest) {
    diagnostics.error(
        "long-text", node.span,
        ticked(wanted.key) + " is longer than " + std::to_string(longest) + " characters.",
        "Shorten it.");
    return false;
  }
  return true;
}

/// Why a well-formed date is no day of the calendar.
std::string explain_no_day(std::string_view text) {
  const auto part = [&](std::size_t at, std::size_t length) {
    unsigned value = 0;
    for (const char c : text.substr(at, length))
      value = value * 10 + static_cast<unsigned>(c - '0');
    return value;
  };
  const unsigned year = part(0, 4);
  const unsigned month = part(5, 2);
  const unsigned day = part(8, 2);
  if (month < 1 || month > 12) {
    return ticked(text) + " is no date: there is no month " + std::to_string(month) + ".";
  }
  // 2000 is a leap year: what does not exist in it exists in no year.
  if (!calendar::day_of({2000, month, day})) {
    return ticked(text) + " is no date: there is no " +
           calendar::describe(calendar::YearDay{month, day}) + ".";
  }
  if (year < 1970 || year > 2199) {
    return ticked(text) + " is outside the calendar, which runs from 1970 to 2199.";
  }
  return ticked(text) + " is no date: " + std::to_string(year) + " has no 29 February.";
}

bool looks_like_date(std::string_view text) {
  if (text.size() != 10) return false;
  for (std::size_t i = 0; i < text.size(); ++i) {
    const bool dash = i == 4 || i == 7;
    if (dash ? text[i] != '-' : !is_digit(text[i])) return false;
  }
  return true;
}

/// Months and years are no units, and nothing that is counted either.
bool names_calendar_span(std::string_view word) {
  return word == "month" || word == "months" || word == "year" || word == "years";
}

void report_unit(const Node& node, std::string_view word, text::Diagnostics& diagnostics) {
  std::string advice = text::did_you_mean(word, units::unit_names());
  if (names_calendar_span(word)) {
    advice = "Write `weeks` or `days`: months and years differ in length.";
  }
  diagnostics.error("unknown-unit", node.span, ticked(short_form(word)) + " is not a known unit.",
                    std::move(advice));
}

/// The quantity with an unknown plain word taken as something counted.
std::optional<Written> read_counted(const Node& node, const std::string& word,
                                    text::Diagnostics& diagnostics) {
  const std::string number(node.value, 0, node.value.size() - word.size());
  std::optional<units::Parsed> parsed;
  if (is_name(word) && !names_calendar_span(word) && node.value.ends_with(word)) {
    parsed = units::parse_quantity(number);
  }
  if (!parsed) {
    report_unit(node, word, diagnostics);
    return std::nullopt;
  }
  parsed->unit = units::counting_unit(word);
  parsed->has_unit = true;
  if (std::string near = text::did_you_mean(word, units::unit_names()); !near.empty()) {
    diagnostics.warning("unknown-unit", node.span,
                        ticked(word) + " is not a known unit; it is taken as something counted.",
                        std::move(near));
  }
  return Written{node.span, node.value, std::move(*parsed), false};
}

}  // namespace

Fields::Fields(const Node& node, KeyMap map, text::Diagnostics& diagnostics)
    : node_(node), what_(keys_of(map).what), diagnostics_(diagnostics) {
  const std::vector<std::string>& known = keys_of(map).names;
  if (node.kind == Node::Kind::scalar || node.kind == Node::Kind::list) {
    usable_ = false;
    diagnostics.error("wrong-kind", node.span, "Lines of the form `key: value` belong here.",
                      "The keys are " + text::list_words(known) + ".");
    return;
  }
  for (const Entry& entry : node.entries) {
    if (std::find(known.begin(), known.end(), entry.key) != known.end()) continue;
    std::string advice = text::did_you_mean(entry.key, known);
    if (advice.empty()) advice = "The keys are " + text::list_words(known) + ".";
    diagnostics.error(
        "unknown-key", entry.key_span,
        ticked(short_form(entry.key)) + " is not a key of " + std::string(what_) + ".",
        std::move(advice));
  }
}

const Node* Fields::get(std::string_view key) const {
  const Node* found = node_.find(key);
  if (found == nullptr || found->kind != Node::Kind::null) return found;
  diagnostics_.error("no-value", found->span, ticked(key) + " has no value.",
                     "Write one after the colon, or remove the line.");
  return nullptr;
}

const Node* Fields::need(std::string_view key, std::string_view example) const {
  if (node_.find(key) != nullptr) return get(key);
  diagnostics_.error("missing-key", node_.span,
                     ticked(key) + " is missing from " + std::string(what_) + ".",
                     "Add a line such as `" + std::string(example) + "`.");
  return nullptr;
}

void report_wanted(const Node& node, const Wanted& wanted, text::Diagnostics& diagnostics) {
  diagnostics.error("wrong-value", node.span,
                    ticked(wanted.key) + " wants " + std::string(wanted.what) + ", such as " +
                        ticked(wanted.example) + ".");
}

const std::vector<Entry>& entries_of(const Node* node, const Wanted& wanted,
                                     text::Diagnostics& diagnostics) {
  static const std::vector<Entry> none;
  if (node == nullptr || node->kind == Node::Kind::null) return none;
  if (node->kind == Node::Kind::map) return node->entries;
  report_wanted(*node, wanted, diagnostics);
  return none;
}

std::vector<const Entry*> named_entries(const Node* node, const Wanted& wanted,
                                        text::Diagnostics& diagnostics) {
  std::vector<const Entry*> named;
  for (const Entry& entry : entries_of(node, wanted, diagnostics)) {
    if (check_name(entry.key, entry.key_span, diagnostics)) named.push_back(&entry);
  }
  return named;
}

std::vector<const Entry*> own_named_entries(const Node* node, const Wanted& wanted,
                                            text::Diagnostics& diagnostics) {
  std::vector<const Entry*> named;
  for (const Entry& entry : entries_of(node, wanted, diagnostics)) {
    if (check_own_name(entry.key, entry.key_span, diagnostics)) named.push_back(&entry);
  }
  return named;
}

std::optional<Placed<std::string>> read_line(const Node& node, const Wanted& wanted,
                                             std::size_t longest, text::Diagnostics& diagnostics) {
  const std::string* value = scalar_text(node, wanted, diagnostics);
  if (value == nullptr || !check_text(node, wanted, longest, false, diagnostics)) {
    return std::nullopt;
  }
  return Placed<std::string>{*value, node.span};
}

std::optional<std::string> read_text(const Node& node, const Wanted& wanted, std::size_t longest,
                                     text::Diagnostics& diagnostics) {
  const std::string* value = scalar_text(node, wanted, diagnostics);
  if (value == nullptr || !check_text(node, wanted, longest, true, diagnostics)) {
    return std::nullopt;
  }
  return *value;
}

bool is_name(std::string_view name) {
  return !name.empty() && name.size() <= longest_name && is_letter(name.front()) &&
         std::all_of(name.begin(), name.end(),
                     [](char c) { return is_letter(c) || is_digit(c) || c == '_'; });
}

bool check_name(std::string_view name, text::Span span, text::Diagnostics& diagnostics) {
  if (is_name(name)) return true;
  diagnostics.error("bad-name", span, ticked(short_form(name)) + " cannot be a name.",
                    "A name has letters, digits and _, begins with a letter and has at most " +
                        std::to_string(longest_name) + " characters.");
  return false;
}

bool is_own_name(std::string_view name) {
  if (name.empty() || name.front() == ' ' || name.back() == ' ') return false;
  return text::count_characters(name) <= longest_name &&
         std::none_of(name.begin(), name.end(), [](char c) {
           return static_cast<unsigned char>(c) < ' ' || c == 0x7f ||
                  std::string_view(".=*\"`").find(c) != std::string_view::npos;
         });
}

bool check_own_name(std::string_view name, text::Span span, text::Diagnostics& diagnostics) {
  if (is_own_name(name)) return true;
  diagnostics.error("bad-name", span, ticked(short_form(name)) + " cannot be a name.",
                    "A site's own name has at most " + std::to_string(longest_name) +
                        " characters on one line, none of them . = * or a quote.");
  return false;
}

std::optional<calendar::Day> parse_day(std::string_view text, text::Span span, const Wanted& wanted,
                                       text::Diagnostics& diagnostics) {
  if (const std::optional<calendar::Day> day = calendar::parse_iso_date(text)) return day;
  if (looks_like_date(text)) {
    diagnostics.error("no-such-date", span, explain_no_day(text));
  } else {
    diagnostics.error("wrong-value", span,
                      ticked(wanted.key) + " wants " + std::string(wanted.what) + ", such as " +
                          ticked(wanted.example) + "; " + ticked(short_form(text)) + " is none.",
                      "Write the year, the month and the day with two dashes.");
  }
  return std::nullopt;
}

std::optional<Placed<calendar::Day>> read_day(const Node& node, const Wanted& wanted,
                                              text::Diagnostics& diagnostics) {
  const std::string* value = scalar_text(node, wanted, diagnostics);
  if (value == nullptr) return std::nullopt;
  const std::optional<calendar::Day> day = parse_day(*value, node.span, wanted, diagnostics);
  if (!day) return std::nullopt;
  return Placed<calendar::Day>{*day, node.span};
}

std::optional<calendar::Weekday> read_weekday(std::string_view key, const std::string& word,
                                              text::Span span, text::Diagnostics& diagnostics) {
  if (const auto day = calendar::find_weekday(word)) return day;
  static const std::vector<std::string> names = {"mon", "tue", "wed", "thu", "fri", "sat", "sun"};
  std::vector<std::string> candidates = names;
  for (int i = 0; i < 7; ++i) {
    candidates.emplace_back(calendar::long_name(static_cast<calendar::Weekday>(i)));
  }
  std::string advice = text::did_you_mean(word, candidates);
  if (advice.empty()) advice = "The weekdays are " + text::list_words(names) + ".";
  diagnostics.error("wrong-value", span, ticked(key) + " wants weekdays, and this is none.",
                    std::move(advice));
  return std::nullopt;
}

std::vector<calendar::Weekday> read_weekdays(const Node& node, text::Diagnostics& diagnostics) {
  std::vector<calendar::Weekday> days;
  if (node.kind != Node::Kind::list || node.items.empty()) {
    report_wanted(node, {"days", "a list of weekdays", "[mon, tue, wed]"}, diagnostics);
    return days;
  }
  for (const Node& item : node.items) {
    const auto day = read_weekday("days", item.value, item.span, diagnostics);
    if (!day) continue;
    if (std::find(days.begin(), days.end(), *day) != days.end()) {
      diagnostics.warning("repeated-value", item.span, "This weekday stands here twice.",
                          "Remove one of them.");
    } else {
      days.push_back(*day);
    }
  }
  return days;
}

std::optional<Written> read_quantity(const Node& node, const Wanted& wanted, UnitWords words,
                                     text::Diagnostics& diagnostics) {
  const std::string* value = scalar_text(node, wanted, diagnostics);
  if (value == nullptr) return std::nullopt;
  std::string odd_unit;
  std::optional<units::Parsed> parsed = units::parse_quantity(*value, &odd_unit);
  if (parsed) return Written{node.span, *value, std::move(*parsed), true};
  if (odd_unit.empty()) {
    report_wanted(node, wanted, diagnostics);
    return std::nullopt;
  }
  if (words == UnitWords::counted_too) return read_counted(node, odd_unit, diagnostics);
  report_unit(node, odd_unit, diagnostics);
  return std::nullopt;
}

namespace {

bool is_whole(double number) {
  return number == std::floor(number);
}

/// Takes what follows ` spread ` off: a share. False when it is none.
bool split_spread(std::string& value, Written& written) {
  const std::size_t at = value.find(" spread ");
  if (at == std::string::npos) return true;
  const auto spread = units::parse_quantity(value.substr(at + 8));
  value.resize(at);
  if (!spread || !spread->unit.dimension.is_number() || !(spread->base() >= 0)) return false;
  written.spread = spread->base();
  return true;
}

/// Takes the count off "82 % seen 164 of 200 in 4 batches". False when what follows `seen` is no
/// count.
bool split_count(std::string& value, Written& counted) {
  const std::size_t at = value.find(" seen ");
  if (at == std::string::npos) return true;
  std::istringstream words(value.substr(at));
  std::string seen;
  std::string of;
  words >> seen >> counted.good >> of >> counted.seen;
  value.resize(at);
  if (words.fail() || of != "of") return false;
  if (std::string in, batches; words >> in) {
    words >> counted.batches >> batches;
    const bool named = in == "in" && (batches == "batches" || batches == "batch");
    if (words.fail() || !named || !is_whole(counted.batches) || counted.batches < 1 ||
        counted.batches > counted.seen || words >> in) {
      return false;
    }
  }
  return counted.seen >= 1 && counted.seen <= language::limits::most_plants && counted.good >= 0 &&
         counted.good <= counted.seen && is_whole(counted.good) && is_whole(counted.seen);
}

/// Takes "iba(dogwood)" apart. False when it is nothing of the kind.
bool split_look_up(const std::string& value, Written& written) {
  const std::size_t open = value.find('(');
  if (open == std::string::npos || !value.ends_with(')')) return false;
  written.table = value.substr(0, open);
  written.word = value.substr(open + 1, value.size() - open - 2);
  return is_name(written.table) && is_name(written.word);
}

}  // namespace

std::optional<Written> read_input(const std::string& name, const Node& node,
                                  text::Diagnostics& diagnostics) {
  Node plain = node;
  Written counted;
  if (!split_spread(plain.value, counted)) {
    diagnostics.error("wrong-value", node.span, ticked(name) + " has a spread that is no share.",
                      "Such as `79 % seen 412 of 520 in 6 batches spread 5 %`.");
    return std::nullopt;
  }
  if (!split_count(plain.value, counted)) {
    diagnostics.error("wrong-value", node.span,
                      ticked(name) +
                          " rests on a count that cannot be: whole numbers, the "
                          "first no larger than the second, up to 10 million.",
                      "Such as `82 % seen 164 of 200`.");
    return std::nullopt;
  }
  if (Written looked_up; node.kind == Node::Kind::scalar && split_look_up(node.value, looked_up)) {
    looked_up.span = node.span;
    looked_up.text = node.value;
    return looked_up;
  }
  const Wanted value{name, "a number and perhaps a unit", "82 %"};
  auto written = read_quantity(plain, value, UnitWords::counted_too, diagnostics);
  if (!written) return std::nullopt;
  written->text = node.value;
  written->good = counted.good;
  written->seen = counted.seen;
  written->batches = counted.batches;
  written->spread = counted.spread;
  return written;
}

std::map<std::string, Written> read_inputs(const Node* node, std::string_view key,
                                           text::Diagnostics& diagnostics) {
  std::map<std::string, Written> inputs;
  const Wanted wanted{key, "a line for each input", "graft_take: 82 %"};
  for (const Entry* entry : named_entries(node, wanted, diagnostics)) {
    auto written = read_input(entry->key, entry->value, diagnostics);
    if (written) inputs.emplace(entry->key, std::move(*written));
  }
  return inputs;
}

std::optional<Placed<double>> read_share(const Node& node, const Wanted& wanted, ShareRange range,
                                         text::Diagnostics& diagnostics) {
  const auto share = read_quantity(node, wanted, UnitWords::only_known, diagnostics);
  if (!share) return std::nullopt;
  if (!share->quantity.unit.dimension.is_number()) {
    report_wanted(node, wanted, diagnostics);
    return std::nullopt;
  }
  const double value = share->quantity.base();
  const bool zero_too = range == ShareRange::from_zero || range == ShareRange::any;
  const bool enough = zero_too ? value >= 0 : value > 0;
  const bool all_too = range == ShareRange::above_zero_or_all || range == ShareRange::any;
  if (enough && (all_too ? value <= 1 : value < 1)) return Placed<double>{value, node.span};
  const bool forgot_percent = !share->quantity.has_unit && value > 1 && value < 100;
  diagnostics.error("out-of-range", node.span,
                    ticked(wanted.key) + " has to be " +
                        (zero_too ? "0 % or more" : "more than 0") +
                        (all_too ? " and not more than 100 %." : " and less than 100 %."),
                    forgot_percent ? "Write `" + share->text + " %`." : "");
  return std::nullopt;
}

std::optional<Placed<double>> read_time(const Node& node, const Wanted& wanted, double high,
                                        text::Diagnostics& diagnostics) {
  const auto written = read_quantity(node, wanted, UnitWords::only_known, diagnostics);
  if (!written) return std::nullopt;
  if (written->quantity.unit.dimension != units::time) {
    report_wanted(node, wanted, diagnostics);
    return std::nullopt;
  }
  const double seconds = written->quantity.base();
  if (seconds < 0 || seconds > high) {
    diagnostics.error("out-of-range", node.span,
                      ticked(wanted.key) + " can be from 0 to " +
                          units::format(high, units::usual_unit(units::time, high)) + ".");
    return std::nullopt;
  }
  return Placed<double>{seconds, node.span};
}

std::optional<Placed<std::int64_t>> read_whole(const Node& node, const Wanted& wanted,
                                               std::int64_t low, std::int64_t high,
                                               std::string_view noun,
                                               text::Diagnostics& diagnostics) {
  const std::string* value = scalar_text(node, wanted, diagnostics);
  if (value == nullptr) return std::nullopt;
  const std::optional<units::Parsed> parsed = units::parse_quantity(*value);
  const bool fits = parsed && (!parsed->has_unit || (!noun.empty() && parsed->unit.noun == noun)) &&
                    parsed->value == std::floor(parsed->value);
  // "1.000" is a thousand to some and one to others.
  if (fits && value->find_first_of(".,'") != std::string::npos) {
    diagnostics.error(
        "wrong-value", node.span,
        ticked(wanted.key) + " is a whole number, and `" + *value + "` can be read in two ways.",
        "Nothing stands between thousands: write `1000`.");
    return std::nullopt;
  }
  if (!fits) {
    report_wanted(node, wanted, diagnostics);
    return std::nullopt;
  }
  if (parsed->value < static_cast<double>(low) || parsed->value > static_cast<double>(high)) {
    diagnostics.error("out-of-range", node.span,
                      ticked(wanted.key) + " can be from " + std::to_string(low) + " to " +
                          std::to_string(high) + ".");
    return std::nullopt;
  }
  return Placed<std::int64_t>{static_cast<std::int64_t>(parsed->value), node.span};
}

}  // namespace budwood::book
