#include <array>
#include <utility>

#include "units/units.hpp"

namespace budwood::units {

namespace {

using Pair = std::pair<std::string_view, std::string_view>;

/// Metric and US customary units of about the same size. Where several stand for one, the first
/// counts.
constexpr std::array pairs{
    Pair{"degC", "degF"}, Pair{"degC_difference", "degF_difference"},
    Pair{"mm", "in"},     Pair{"cm", "in"},
    Pair{"m", "ft"},      Pair{"m2", "ft2"},
    Pair{"m3", "yd3"},    Pair{"mL", "fl_oz"},
    Pair{"L", "gal"},     Pair{"g", "oz"},
    Pair{"kg", "lb"},     Pair{"lux", "fc"},
};
/// What is written in these is shown in the metric unit.
constexpr std::array only_to_metric{
    Pair{"in", "cm"},  Pair{"yd", "m"},    Pair{"quart", "L"}, Pair{"pint", "L"},
    Pair{"ft3", "m3"}, Pair{"in2", "cm2"}, Pair{"yd2", "m2"},  Pair{"K", "degC"},
};
constexpr std::array only_to_us{
    Pair{"cm2", "in2"},
    Pair{"cm3", "fl_oz"},
    Pair{"klx", "fc"},
    Pair{"K", "degF"},
};

template <std::size_t count>
std::string_view find(const std::array<Pair, count>& table, std::string_view symbol, bool forward) {
  for (const auto& [metric, us] : table) {
    if (symbol == (forward ? metric : us)) return forward ? us : metric;
  }
  return {};
}

/// One piece of a quotient in the other system; itself when it belongs to both.
std::string_view in_system(std::string_view symbol, System system) {
  const bool us = system == System::us_customary;
  std::string_view found = us ? find(only_to_us, symbol, true) : find(only_to_metric, symbol, true);
  if (found.empty()) found = find(pairs, symbol, us);
  return found.empty() ? symbol : found;
}

std::string quotient_in(std::string_view symbol, System system) {
  std::string out;
  while (true) {
    const std::size_t slash = symbol.find('/');
    out += in_system(symbol.substr(0, slash), system);
    if (slash == std::string_view::npos) return out;
    out += '/';
    symbol.remove_prefix(slash + 1);
  }
}

}  // namespace

Unit in_system(const Unit& unit, System system) {
  if (system == System::as_written || !unit.noun.empty() || unit.symbol.empty()) return unit;
  const bool photons = unit.dimension.power(Base::substance) != 0;
  if (photons || unit.dimension == mass / volume) return unit;
  // A difference may be shown under the name of the scale.
  const bool difference = unit.dimension == temperature && !unit.absolute;
  const bool short_name = difference && !unit.symbol.ends_with("_difference");
  const std::string symbol = short_name ? unit.symbol + "_difference" : unit.symbol;
  std::optional<Unit> found = find_unit(quotient_in(symbol, system));
  if (!found || found->dimension != unit.dimension) return unit;
  if (short_name)
    found->symbol.resize(found->symbol.size() - std::string_view("_difference").size());
  constexpr int digits = 4;
  if (found->symbol != unit.symbol) found->digits = digits;
  return *found;
}

}  // namespace budwood::units
