#include "book/weather/climate_reader.hpp"

#include <algorithm>
#include <array>
#include <utility>

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

Weather read_file(const Node& node, const units::Unit& unit, const std::filesystem::path& folder,
                  text::Sources& sources, text::Diagnostics& diagnostics) {
  const auto path =
      read_line(node, {"file", "the path of a file", "weather.csv"}, longest_path, diagnostics);
  if (!path) return {};
  const text::Source* source = files::read_text(folder / path->value, sources, diagnostics);
  return source != nullptr ? read_weather(*source, unit, diagnostics) : Weather{};
}

/// What is usual of the sun in each month, January first, in base units.
struct MonthsKind {
  Wanted wanted;
  units::Unit unit;
  double most = 0;  ///< in the unit
};

std::optional<std::array<double, 12>> read_months(const Node& node, const MonthsKind& kind,
                                                  text::Diagnostics& diagnostics) {
  std::array<double, 12> out{};
  std::size_t known = 0;
  for (const Node& item : node.items) {
    const auto written =
        item.kind == Node::Kind::scalar ? units::parse_quantity(item.value) : std::nullopt;
    if (!written || written->has_unit || known == out.size()) break;
    if (written->value < 0 || written->value > kind.most) {
      diagnostics.error("out-of-range", item.span,
                        "`" + std::string(kind.wanted.key) + "` of a month can be from 0 to " +
                            units::format_number(kind.most) + " " + kind.unit.symbol + " a day.");
      return std::nullopt;
    }
    out[known++] = kind.unit.to_base(written->value);
  }
  if (known == out.size() && node.items.size() == out.size()) return out;
  report_wanted(node, kind.wanted, diagnostics);
  return std::nullopt;
}

/// The usual sun; one of its keys alone.
void read_usual_sky(const Fields& fields, climate::Sky& sky, text::Diagnostics& diagnostics) {
  using Usual = climate::Sky::Usual;
  const Node* first = nullptr;
  for (const char* key : {"radiation", "sunshine", "sky"}) {
    const Node* node = fields.get(key);
    if (node == nullptr) continue;
    if (first != nullptr) {
      diagnostics.add({text::Severity::error,
                       "wrong-value",
                       node->span,
                       "One of `radiation`, `sunshine` and `sky` says what is usual of the sun.",
                       "Keep the one that is best known: radiation, else sunshine.",
                       {{first->span, "the first one"}}});
      continue;
    }
    first = node;
  }
  if (first == nullptr) return;
  const auto months = [&](Usual usual, const MonthsKind& kind) {
    const auto read = read_months(*first, kind, diagnostics);
    if (!read) return;
    sky.usual = usual;
    sky.months = *read;
  };
  if (first == fields.group("radiation")) {
    months(Usual::radiation, {{"radiation", "twelve numbers without a unit, MJ/m2 a day",
                               "[2.2, 4.5, 8.6, 13, 17, 18, 17, 15, 11, 6, 2.9, 1.8]"},
                              *units::find_unit("MJ/m2"),
                              most_radiation / 1e6});
  } else if (first == fields.group("sunshine")) {
    months(Usual::sunshine, {{"sunshine", "twelve numbers without a unit, hours a day",
                              "[1.8, 2.8, 3.7, 5.3, 6.5, 6.6, 6.7, 6.2, 4.8, 3.4, 2.2, 1.5]"},
                             *units::find_unit("h"),
                             24});
  } else {
    const auto share = read_share(*first, {"sky", "a share of what a clear day brings", "55 %"},
                                  ShareRange::above_zero_or_all, diagnostics);
    if (!share) return;
    sky.usual = Usual::share;
    sky.share = share->value;
  }
}

}  // namespace

Weather read_climate(const Node& node, const std::filesystem::path& folder, text::Sources& sources,
                     text::Diagnostics& diagnostics) {
  const Fields fields(node, KeyMap::climate, diagnostics);
  if (!fields.usable()) return {};
  const std::optional<units::Unit> unit = read_unit(fields, diagnostics);
  const Node* file = fields.group("file");
  const Node* normals = fields.group("normals");
  const bool sun = fields.group("radiation") != nullptr || fields.group("sunshine") != nullptr ||
                   fields.group("sky") != nullptr;
  if (file == nullptr && normals == nullptr && !sun) {
    diagnostics.error("missing-key", node.span, "`climate` gives no temperatures.",
                      "Add `file: weather.csv`, or `normals` with a line for each month.");
    return {};
  }
  Weather measured;
  if (unit) {
    if (const Node* given = fields.get("file")) {
      measured = read_file(*given, *unit, folder, sources, diagnostics);
    }
  }
  Weather out{nullptr, std::move(measured.sky)};
  read_usual_sky(fields, out.sky, diagnostics);
  if (!unit) return out;
  std::shared_ptr<const climate::DailySeries> usual;
  if (const Node* given = fields.get("normals")) usual = read_normals(*given, *unit, diagnostics);
  if (file == nullptr) {
    out.temperatures = std::move(usual);
  } else if (normals == nullptr) {
    out.temperatures = std::move(measured.temperatures);
  } else if (measured.temperatures != nullptr && usual != nullptr) {
    out.temperatures =
        std::make_shared<const climate::DailySeries>(usual->with(*measured.temperatures));
  }
  return out;
}

}  // namespace budwood::book
