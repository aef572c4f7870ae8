#include "book/site/site_reader.hpp"

#include <algorithm>
#include <utility>

#include "book/limits.hpp"
#include "book/moving.hpp"
#include "book/site/dials_reader.hpp"
#include "book/site/labels_reader.hpp"
#include "book/site/names_reader.hpp"
#include "book/site/resources_reader.hpp"
#include "book/site/tolerance_reader.hpp"
#include "book/site/trust_reader.hpp"
#include "book/stock/stock_reader.hpp"
#include "book/weather/climate_reader.hpp"
#include "book/weather/water_reader.hpp"
#include "book/yaml/value_readers.hpp"
#include "book/yaml/values.hpp"

namespace budwood::book {

namespace {

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

std::optional<WorkingHours> read_working_hours(const Node& node, text::Diagnostics& diagnostics) {
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

void read_working(const Node& node, Site& site, text::Diagnostics& diagnostics) {
  const Fields fields(node, KeyMap::working, diagnostics);
  if (!fields.usable()) return;
  std::vector<calendar::Weekday> weekdays;
  if (const Node* days = fields.get("days")) weekdays = read_weekdays(*days, diagnostics);
  if (weekdays.empty()) {
    for (int i = 0; i < 7; ++i) weekdays.push_back(static_cast<calendar::Weekday>(i));
  }
  if (const Node* hours = fields.get("hours")) site.hours = read_working_hours(*hours, diagnostics);
  const Node* closed = fields.group("closed");
  std::vector<calendar::Day> closed_days;
  if (closed != nullptr && closed->kind != Node::Kind::null) {
    if (closed->kind != Node::Kind::list) {
      report_wanted(*closed,
                    {"closed", "a list of dates", "[2027-01-01, 2027-12-24 to 2027-12-31]"},
                    diagnostics);
    }
    for (const Node& item : closed->items) {
      const std::optional<Closed> days = read_closed(item, diagnostics);
      if (!days) continue;
      site.closed.push_back(*days);
      for (calendar::Day day = days->first; day <= days->last; ++day) closed_days.push_back(day);
    }
  }
  site.working = calendar::WorkingDays(weekdays, closed_days);
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

/// The address of a server, as libpq takes it.
std::optional<Placed<std::string>> read_server(const Node& node, text::Diagnostics& diagnostics) {
  constexpr std::size_t longest_address = 500;
  const Wanted wanted{"record", "the address of a PostgreSQL server",
                      "postgresql://records/nursery"};
  auto address = read_line(node, wanted, longest_address, diagnostics);
  const bool fits = address && (address->value.starts_with("postgresql://") ||
                                address->value.starts_with("postgres://"));
  if (fits) return address;
  if (address) report_wanted(node, wanted, diagnostics);
  return std::nullopt;
}

/// Where the site says who keeps the record, misspelt or not: what is noted must not go elsewhere.
text::Span record_place(const Node& tree) {
  const std::vector<std::string>& keys = keys_of(KeyMap::site).names;
  for (const Entry& entry : tree.entries) {
    if (entry.key == "record") return entry.value.span;
    const bool known = std::find(keys.begin(), keys.end(), entry.key) != keys.end();
    if (!known && text::nearest(entry.key, keys) == "record") return entry.key_span;
  }
  return {};
}

void read_learned_inputs(const Node* node, Site& site, text::Diagnostics& diagnostics) {
  const Wanted wanted{"inputs", "a line for each protocol", "bench_graft: {graft_take: 82 %}"};
  for (const Entry* protocol : named_entries(node, wanted, diagnostics)) {
    auto inputs = read_inputs(&protocol->value, protocol->key, diagnostics);
    if (!inputs.empty()) site.inputs.emplace(protocol->key, std::move(inputs));
  }
}

void read_rules(const Node& node, Site& site, text::Diagnostics& diagnostics) {
  const Wanted wanted{"rules", "a list of rule sets", "[good_practice]"};
  if (node.kind != Node::Kind::list) {
    report_wanted(node, wanted, diagnostics);
    return;
  }
  for (const Node& item : node.items) {
    if (auto name = read_line(item, wanted, longest_line, diagnostics)) {
      if (check_name(name->value, item.span, diagnostics)) site.rules.push_back(*name);
    }
  }
}

void read_waivers(const Node* node, Site& site, text::Diagnostics& diagnostics) {
  const Wanted wanted{"waive", "a reason for each rule", "humidity_step: the bench is fogged"};
  for (const Entry* entry : named_entries(node, wanted, diagnostics)) {
    if (auto reason = read_line(entry->value, wanted, longest_line, diagnostics)) {
      site.waived.push_back({{entry->key, entry->key_span}, reason->value});
    }
  }
}

}  // namespace

Site read_site(const Node& tree, const std::filesystem::path& folder, text::Sources& sources,
               text::Diagnostics& diagnostics) {
  Site site;
  const Fields fields(tree, KeyMap::site, diagnostics);
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
  if (const Node* node = fields.get("tolerance")) {
    site.tolerance = read_tolerances(*node, diagnostics);
  }
  if (const Node* node = fields.get("steps")) site.dials = read_dials(*node, diagnostics);
  read_priced({fields.group("crews"), fields.group("supplies"), fields.get("energy")}, site,
              diagnostics);
  read_site_lots(fields.group("lots"), site, diagnostics);
  read_mothers(fields.group("mothers"), site, diagnostics);
  read_finished(fields.group("finished"), site, diagnostics);
  read_surplus(fields.group("surplus"), site, diagnostics);
  read_site_recipes(fields.group("recipes"), site, diagnostics);
  read_learned_inputs(fields.group("inputs"), site, diagnostics);
  if (const Node* node = fields.get("sure")) site.sure = read_sure(*node, diagnostics);
  if (const Node* node = fields.get("spare")) site.spare = read_spare(*node, diagnostics);
  if (const Node* node = fields.get("full_trays")) {
    site.full_trays = read_yes("full_trays", *node, diagnostics);
  }
  if (const Node* node = fields.get("names")) site.names = read_own_names(*node, diagnostics);
  if (const Node* node = fields.get("units")) {
    site.units = read_unit_system(*node, diagnostics).value_or(units::System::as_written);
  }
  if (const Node* node = fields.get("rules")) read_rules(*node, site, diagnostics);
  read_waivers(fields.group("waive"), site, diagnostics);
  if (const Node* node = fields.get("record")) site.record = read_server(*node, diagnostics);
  site.record_span = record_place(tree);
  if (const Node* node = fields.get("moving"))
    site.moving = read_moving(*node, KeyMap::moving, diagnostics);
  if (const Node* node = fields.get("spacing")) {
    site.spacing = read_moving(*node, KeyMap::spacing, diagnostics);
  }
  if (const Node* node = fields.get("picking")) {
    site.picking = read_moving(*node, KeyMap::spacing, diagnostics);
  }
  site.trusts = read_trusts(fields.group("trusts"), diagnostics);
  if (const Node* node = fields.get("labels")) {
    site.labels = read_labels(*node, diagnostics);
    site.labels_span = node->span;
  }
  if (const Node* node = fields.get("water")) site.water = read_water(*node, diagnostics);
  if (const Node* node = fields.get("climate")) {
    Weather weather = read_climate(*node, folder, sources, diagnostics);
    site.climate = std::move(weather.temperatures);
    site.sky = std::move(weather.sky);
    site.climate_span = node->span;
  }
  return site;
}

}  // namespace budwood::book
