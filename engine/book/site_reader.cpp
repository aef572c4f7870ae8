#include "book/site_reader.hpp"

#include <algorithm>
#include <utility>

#include "book/climate_reader.hpp"
#include "book/values.hpp"

namespace budwood::book {

namespace {

constexpr double seconds_per_day = 86400;
constexpr double longest_lead_time = 5 * 365 * seconds_per_day;
constexpr std::size_t longest_line = 200;
constexpr std::int64_t most_people = 10'000;

std::optional<Placed<double>> read_latitude(const Node& node, text::Diagnostics& diagnostics) {
  const Wanted wanted{"latitude", "degrees from -90 to 90, negative in the south", "44.6"};
  const std::optional<units::Parsed> parsed =
      node.kind == Node::Kind::scalar ? units::parse_quantity(node.value) : std::nullopt;
  if (!parsed || parsed->has_unit) {
    report_wanted(node, wanted, diagnostics);
    return std::nullopt;
  }
  if (parsed->value < -90 || parsed->value > 90) {
    diagnostics.error("out-of-range", node.span, "`latitude` can be from -90 to 90.");
    return std::nullopt;
  }
  return Placed<double>{parsed->value, node.span};
}

std::vector<calendar::Weekday> read_weekdays(const Node& node, text::Diagnostics& diagnostics) {
  std::vector<calendar::Weekday> days;
  if (node.kind != Node::Kind::list || node.items.empty()) {
    report_wanted(node, {"days", "a list of weekdays", "[mon, tue, wed]"}, diagnostics);
    return days;
  }
  static const std::vector<std::string> names = {"mon", "tue", "wed", "thu", "fri", "sat", "sun"};
  for (const Node& item : node.items) {
    const auto day = calendar::find_weekday(item.value);
    if (!day) {
      std::vector<std::string> candidates = names;
      for (int i = 0; i < 7; ++i) {
        candidates.emplace_back(calendar::long_name(static_cast<calendar::Weekday>(i)));
      }
      std::string advice = text::did_you_mean(item.value, candidates);
      if (advice.empty()) advice = "The weekdays are " + text::list_words(names) + ".";
      diagnostics.error("wrong-value", item.span, "`days` wants weekdays, and this is none.",
                        std::move(advice));
    } else if (std::find(days.begin(), days.end(), *day) != days.end()) {
      diagnostics.warning("repeated-value", item.span, "This weekday stands here twice.",
                          "Remove one of them.");
    } else {
      days.push_back(*day);
    }
  }
  return days;
}

/// "07:30" in minutes after midnight; "24:00" is the day's end.
std::optional<int> parse_clock(std::string_view text) {
  if (text.size() != 5 || text[2] != ':') return std::nullopt;
  int digits[4];
  const std::size_t at[4] = {0, 1, 3, 4};
  for (int i = 0; i < 4; ++i) {
    const char c = text[at[i]];
    if (c < '0' || c > '9') return std::nullopt;
    digits[i] = c - '0';
  }
  const int hour = digits[0] * 10 + digits[1];
  const int minute = digits[2] * 10 + digits[3];
  if (minute > 59 || hour * 60 + minute > 24 * 60) return std::nullopt;
  return hour * 60 + minute;
}

std::optional<WorkingHours> read_hours(const Node& node, text::Diagnostics& diagnostics) {
  const std::string& value = node.value;
  const std::size_t dash = value.find('-');
  std::optional<int> from;
  std::optional<int> to;
  if (node.kind == Node::Kind::scalar && dash != std::string::npos) {
    from = parse_clock(std::string_view(value).substr(0, dash));
    to = parse_clock(std::string_view(value).substr(dash + 1));
  }
  if (!from || !to) {
    report_wanted(node, {"hours", "two times of day", "07:00-15:30"}, diagnostics);
    return std::nullopt;
  }
  if (*from >= *to) {
    diagnostics.error("out-of-range", node.span, "`hours` ends before it begins.",
                      "Write the earlier time first, such as `07:00-15:30`.");
    return std::nullopt;
  }
  return WorkingHours{*from, *to, node.span};
}

std::optional<Closed> read_closed_days(const Node& node, text::Diagnostics& diagnostics) {
  const Wanted wanted{"closed", "a date", "2027-01-01"};
  if (node.kind != Node::Kind::scalar) {
    report_wanted(node, wanted, diagnostics);
    return std::nullopt;
  }
  const std::string_view value = node.value;
  const std::size_t to = value.find(" to ");
  const auto first = parse_day(value.substr(0, to), node.span, wanted, diagnostics);
  if (!first) return std::nullopt;
  if (to == std::string_view::npos) return Closed{*first, *first, node.span};
  const auto last = parse_day(value.substr(to + 4), node.span, wanted, diagnostics);
  if (!last) return std::nullopt;
  if (*last < *first) {
    diagnostics.error("out-of-range", node.span, "These closed days end before they begin.",
                      "Write the earlier date first.");
    return std::nullopt;
  }
  return Closed{*first, *last, node.span};
}

void read_working(const Node& node, Site& site, text::Diagnostics& diagnostics) {
  const Fields fields(node, "`working`", {"days", "hours", "closed"}, diagnostics);
  if (!fields.usable()) return;
  std::vector<calendar::Weekday> weekdays;
  if (const Node* days = fields.get("days")) weekdays = read_weekdays(*days, diagnostics);
  if (weekdays.empty()) {
    for (int i = 0; i < 7; ++i) weekdays.push_back(static_cast<calendar::Weekday>(i));
  }
  if (const Node* hours = fields.get("hours")) site.hours = read_hours(*hours, diagnostics);
  const Node* closed = fields.group("closed");
  std::vector<calendar::Day> closed_days;
  if (closed != nullptr && closed->kind != Node::Kind::null) {
    if (closed->kind != Node::Kind::list) {
      report_wanted(*closed,
                    {"closed", "a list of dates", "[2027-01-01, 2027-12-24 to 2027-12-31]"},
                    diagnostics);
    }
    for (const Node& item : closed->items) {
      const std::optional<Closed> days = read_closed_days(item, diagnostics);
      if (!days) continue;
      site.closed.push_back(*days);
      for (calendar::Day day = days->first; day <= days->last; ++day) closed_days.push_back(day);
    }
  }
  site.working = calendar::WorkingDays(weekdays, closed_days);
}

std::optional<Room> read_room(const Entry& entry, text::Diagnostics& diagnostics) {
  const Fields fields(entry.value, "a room", {"holds"}, diagnostics);
  if (!fields.usable()) return std::nullopt;
  Room room;
  room.span = entry.key_span;
  const Node* holds = fields.get("holds");
  if (holds == nullptr) return room;
  const Wanted wanted{"holds", "a number and a unit", "30 crates"};
  room.holds = read_quantity(*holds, wanted, UnitWords::counted_too, diagnostics);
  if (!room.holds) return std::nullopt;
  if (!room.holds->quantity.has_unit) {
    report_wanted(*holds, wanted, diagnostics);
    return std::nullopt;
  }
  if (!(room.holds->quantity.value > 0)) {
    diagnostics.error("out-of-range", holds->span, "`holds` has to be more than 0.",
                      "Remove the line if there is no limit.");
    return std::nullopt;
  }
  return room;
}

std::optional<Crew> read_crew(const Entry& entry, text::Diagnostics& diagnostics) {
  const Fields fields(entry.value, "a crew", {"people", "hours"}, diagnostics);
  if (!fields.usable()) return std::nullopt;
  const Node* people = fields.need("people", "people: 3");
  const Node* hours = fields.need("hours", "hours: 6 h");
  std::optional<Placed<std::int64_t>> number;
  std::optional<Placed<double>> seconds;
  if (people != nullptr) {
    number = read_whole(*people, {"people", "a whole number", "3"}, 1, most_people, "people",
                        diagnostics);
  }
  if (hours != nullptr) {
    seconds = read_time(*hours, {"hours", "a length of time", "6 h"}, seconds_per_day, diagnostics);
  }
  if (!number || !seconds) return std::nullopt;
  if (seconds->value == 0) {
    diagnostics.error("out-of-range", seconds->span, "`hours` has to be more than 0.");
    return std::nullopt;
  }
  return Crew{static_cast<int>(number->value), seconds->value, entry.key_span};
}

bool check_not_negative(const std::optional<Written>& written, std::string_view key,
                        text::Diagnostics& diagnostics) {
  if (!written || written->quantity.value >= 0) return true;
  diagnostics.error("out-of-range", written->span,
                    "`" + std::string(key) + "` cannot be less than 0.");
  return false;
}

/// A price is a plain number or money, perhaps for something ("12 EUR/pack").
bool check_price(const Written& price, const Site& site, text::Diagnostics& diagnostics) {
  const units::Unit& unit = price.quantity.unit;
  if (!price.quantity.has_unit) return true;
  if (unit.dimension.power(units::Base::money) != 1) {
    diagnostics.error("wrong-value", price.span,
                      "`price` wants an amount of money, such as `0.60`.");
    return false;
  }
  const std::string code = unit.symbol.substr(0, unit.symbol.find('/'));
  if (code == "money" || !site.currency || site.currency->value == code) return true;
  diagnostics.add(
      {text::Severity::error,
       "other-currency",
       price.span,
       "This price is in " + code + ", and the site counts in " + site.currency->value + ".",
       "A book uses one currency.",
       {{site.currency->span, "the site's currency"}}});
  return false;
}

std::optional<SupplyFacts> read_supply(const Entry& entry, const Site& site,
                                       text::Diagnostics& diagnostics) {
  const Fields fields(entry.value, "a supply", {"on_hand", "price", "lead_time"}, diagnostics);
  if (!fields.usable()) return std::nullopt;
  SupplyFacts facts;
  facts.span = entry.key_span;
  if (const Node* node = fields.get("on_hand")) {
    facts.on_hand = read_quantity(*node, {"on_hand", "a number and perhaps a unit", "120"},
                                  UnitWords::counted_too, diagnostics);
    if (!check_not_negative(facts.on_hand, "on_hand", diagnostics)) facts.on_hand.reset();
  }
  if (const Node* node = fields.get("price")) {
    facts.price = read_quantity(*node, {"price", "an amount of money", "0.60"},
                                UnitWords::only_known, diagnostics);
    if (!check_not_negative(facts.price, "price", diagnostics) ||
        (facts.price && !check_price(*facts.price, site, diagnostics))) {
      facts.price.reset();
    }
  }
  if (const Node* node = fields.get("lead_time")) {
    facts.lead_time = read_time(*node, {"lead_time", "a length of time", "14 days"},
                                longest_lead_time, diagnostics);
  }
  return facts;
}

std::optional<Placed<std::string>> read_currency(const Node& node, text::Diagnostics& diagnostics) {
  const Wanted wanted{"currency", "the three letters of a currency", "EUR"};
  const std::optional<Placed<std::string>> code =
      read_line(node, wanted, longest_line, diagnostics);
  if (!code) return std::nullopt;
  const std::optional<units::Unit> unit = units::find_unit(code->value);
  if (unit && unit->dimension == units::money && unit->symbol.size() == 3) return code;
  report_wanted(node, wanted, diagnostics);
  return std::nullopt;
}

void read_rooms(const Node* node, Site& site, text::Diagnostics& diagnostics) {
  const Wanted wanted{"rooms", "a line for each room", "bench: {holds: 30 trays}"};
  for (const Entry* entry : named_entries(node, wanted, diagnostics)) {
    if (auto room = read_room(*entry, diagnostics)) site.rooms.emplace(entry->key, *room);
  }
}

void read_crews(const Node* node, Site& site, text::Diagnostics& diagnostics) {
  const Wanted wanted{"crews", "a line for each crew", "potting: {people: 2, hours: 7 h}"};
  for (const Entry* entry : named_entries(node, wanted, diagnostics)) {
    if (auto crew = read_crew(*entry, diagnostics)) site.crews.emplace(entry->key, *crew);
  }
}

void read_supplies(const Node* node, Site& site, text::Diagnostics& diagnostics) {
  const Wanted wanted{"supplies", "a line for each supply", "label: {on_hand: 120, price: 0.05}"};
  for (const Entry* entry : named_entries(node, wanted, diagnostics)) {
    if (auto facts = read_supply(*entry, site, diagnostics)) {
      site.supplies.emplace(entry->key, *facts);
    }
  }
}

void read_learned_inputs(const Node* node, Site& site, text::Diagnostics& diagnostics) {
  const Wanted wanted{"inputs", "a line for each protocol", "bench_graft: {graft_take: 82 %}"};
  for (const Entry* protocol : named_entries(node, wanted, diagnostics)) {
    auto inputs = read_inputs(&protocol->value, protocol->key, diagnostics);
    if (!inputs.empty()) site.inputs.emplace(protocol->key, std::move(inputs));
  }
}

}  // namespace

Site read_site(const Node& tree, const std::filesystem::path& folder, text::Sources& sources,
               text::Diagnostics& diagnostics) {
  Site site;
  const Fields fields(tree, "site.yaml",
                      {"site", "latitude", "currency", "protocols", "working", "rooms", "crews",
                       "supplies", "inputs", "climate"},
                      diagnostics);
  if (!fields.usable()) return site;
  if (const Node* node = fields.need("site", "site: North house")) {
    const auto name =
        read_line(*node, {"site", "a name", "North house"}, longest_line, diagnostics);
    if (name) site.name = *name;
  }
  if (const Node* node = fields.get("latitude")) site.latitude = read_latitude(*node, diagnostics);
  if (const Node* node = fields.get("currency")) site.currency = read_currency(*node, diagnostics);
  if (const Node* node = fields.get("protocols")) {
    site.protocols = read_line(*node, {"protocols", "the path of a folder", "../our_protocols"},
                               longest_line, diagnostics);
  }
  if (const Node* node = fields.get("working")) read_working(*node, site, diagnostics);
  read_rooms(fields.group("rooms"), site, diagnostics);
  read_crews(fields.group("crews"), site, diagnostics);
  read_supplies(fields.group("supplies"), site, diagnostics);
  read_learned_inputs(fields.group("inputs"), site, diagnostics);
  if (const Node* node = fields.get("climate")) {
    site.climate = read_climate(*node, folder, sources, diagnostics);
    site.climate_span = node->span;
  }
  return site;
}

}  // namespace budwood::book
