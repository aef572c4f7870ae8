#include "book/weather/climate_reader.hpp"

#include <algorithm>
#include <array>
#include <utility>

#include "book/weather/weather_file.hpp"
#include "book/yaml/values.hpp"
#include "files/read.hpp"

namespace budwood::book {

namespace {

constexpr std::size_t longest_path = 200;

std::optional<units::Unit> read_unit(const Fields& fields, text::Diagnostics& diagnostics) {
  if (fields.group("unit") == nullptr) return units::find_unit("degC");
  const Node* node = fields.get("unit");
  if (node == nullptr) return std::nullopt;
  std::optional<units::Unit> unit = units::find_unit(node->value);
  if (unit && unit->dimension == units::temperature && (unit->absolute || unit->symbol == "K")) {
    return unit;
  }
  report_wanted(*node, {"unit", "degC, degF or K", "degC"}, diagnostics);
  return std::nullopt;
}

std::optional<climate::DayTemperature> read_month(const Entry& entry, const units::Unit& unit,
                                                  text::Diagnostics& diagnostics) {
  std::vector<Placed<double>> values;
  for (const Node& item : entry.value.items) {
    const std::optional<units::Parsed> parsed = units::parse_quantity(item.value);
    if (parsed && !parsed->has_unit) values.push_back({parsed->value, item.span});
  }
  if (values.size() != 2 || entry.value.items.size() != 2) {
    report_wanted(entry.value, {entry.key, "a minimum and a maximum without a unit", "[-1.5, 4]"},
                  diagnostics);
    return std::nullopt;
  }
  const WrittenTemperature written{values[0], values[1]};
  const climate::DayTemperature temperature = written.in(unit);
  if (const auto kind = climate::check_temperature(temperature)) {
    report_temperature(*kind, written, unit, diagnostics);
    return std::nullopt;
  }
  return temperature;
}

std::shared_ptr<const climate::DailySeries> read_normals(const Node& node, const units::Unit& unit,
                                                         text::Diagnostics& diagnostics) {
  const std::vector<std::string>& names = keys_of(KeyMap::normals).names;
  const Fields fields(node, KeyMap::normals, diagnostics);
  if (!fields.usable()) return nullptr;
  std::array<climate::DayTemperature, 12> months;
  std::size_t known = 0;
  for (const Entry& entry : node.entries) {
    const auto name = std::find(names.begin(), names.end(), entry.key);
    if (name == names.end()) continue;
    if (const auto month = read_month(entry, unit, diagnostics)) {
      months[static_cast<std::size_t>(name - names.begin())] = *month;
      ++known;
    }
  }
  std::vector<std::string> missing;
  for (const std::string& name : names) {
    if (node.find(name) == nullptr) missing.push_back("`" + name + "`");
  }
  if (!missing.empty()) {
    diagnostics.error("missing-key", node.span,
                      text::list_words(missing) + (missing.size() == 1 ? " is" : " are") +
                          " missing from `normals`.",
                      "Give each month its usual minimum and maximum, such as `jan: [-1.5, 4]`.");
  }
  if (known != names.size()) return nullptr;
  const auto normals = climate::MonthlyNormals::from_months(months);
  auto series = normals ? normals->daily(calendar::first_day, calendar::last_day) : std::nullopt;
  return series ? std::make_shared<const climate::DailySeries>(std::move(*series)) : nullptr;
}

std::shared_ptr<const climate::DailySeries> read_file(const Node& node, const units::Unit& unit,
                                                      const std::filesystem::path& folder,
                                                      text::Sources& sources,
                                                      text::Diagnostics& diagnostics) {
  const auto path =
      read_line(node, {"file", "the path of a file", "weather.csv"}, longest_path, diagnostics);
  if (!path) return nullptr;
  const text::Source* source = files::read_text(folder / path->value, sources, diagnostics);
  return source != nullptr ? read_weather(*source, unit, diagnostics) : nullptr;
}

}  // namespace

std::shared_ptr<const climate::DailySeries> read_climate(const Node& node,
                                                         const std::filesystem::path& folder,
                                                         text::Sources& sources,
                                                         text::Diagnostics& diagnostics) {
  const Fields fields(node, KeyMap::climate, diagnostics);
  if (!fields.usable()) return nullptr;
  const std::optional<units::Unit> unit = read_unit(fields, diagnostics);
  const Node* file = fields.group("file");
  const Node* normals = fields.group("normals");
  if (file == nullptr && normals == nullptr) {
    diagnostics.error("missing-key", node.span, "`climate` gives no temperatures.",
                      "Add `file: weather.csv`, or `normals` with a line for each month.");
    return nullptr;
  }
  if (!unit) return nullptr;
  std::shared_ptr<const climate::DailySeries> measured;
  std::shared_ptr<const climate::DailySeries> usual;
  if (const Node* given = fields.get("file")) {
    measured = read_file(*given, *unit, folder, sources, diagnostics);
  }
  if (const Node* given = fields.get("normals")) usual = read_normals(*given, *unit, diagnostics);
  if (file == nullptr) return usual;
  if (normals == nullptr) return measured;
  if (measured == nullptr || usual == nullptr) return nullptr;
  return std::make_shared<const climate::DailySeries>(usual->with(*measured));
}

}  // namespace budwood::book
