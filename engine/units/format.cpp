#include <charconv>
#include <cmath>

#include "units/unit_table.hpp"
#include "units/units.hpp"

namespace budwood::units {

namespace {

std::string print_number(double value, std::chars_format form, int precision) {
  char buffer[512];
  const auto [end, error] = std::to_chars(buffer, buffer + sizeof buffer, value, form, precision);
  return error == std::errc{} ? std::string(buffer, end) : "-";
}

/// "12.500" to "12.5", "3.000" to "3".
std::string without_trailing_zeros(std::string text) {
  if (text.find('.') == std::string::npos) return text;
  text.resize(text.find_last_not_of('0') + 1);
  if (text.back() == '.') text.pop_back();
  return text;
}

/// The first of `symbols` that gives a number of at least 1, else the last.
Unit by_size(double base_value, const std::vector<std::string_view>& symbols) {
  for (std::string_view symbol : symbols) {
    const Unit* unit = named_unit(symbol);
    // A hair below 1 is 1 with rounding noise in it.
    if (std::fabs(base_value) >= unit->factor * (1 - 1e-12)) return *unit;
  }
  return *named_unit(symbols.back());
}

/// What has no usual unit is shown in base units: "kg/m3", "m*K".
Unit base_unit(const Dimension& dimension) {
  static constexpr std::array<std::string_view, base_count> symbols = {
      "s", "m", "kg", "K", "mol", "lux", "money", "pieces", "ampere"};
  Unit result;
  for (const bool under : {false, true}) {
    for (std::size_t i = 0; i < base_count; ++i) {
      const int power = dimension.power(static_cast<Base>(i));
      if (power == 0 || (power < 0) != under) continue;
      Unit factor;
      factor.symbol = symbols[i];
      factor.dimension = Dimension::of(static_cast<Base>(i), std::abs(power));
      if (std::abs(power) > 1) factor.symbol += std::to_string(std::abs(power));
      // a * b is a / (1 / b)
      result = quotient(result, under ? factor : quotient(Unit{}, factor));
    }
  }
  return result;
}

}  // namespace

std::string format_number(double value, int digits) {
  if (!std::isfinite(value)) return "-";
  if (value == 0) return "0";
  constexpr int most_digits = 15;  // more would print the noise of binary fractions
  const int shown = std::min(std::max(digits, 1), most_digits);
  const int exponent = static_cast<int>(std::floor(std::log10(std::fabs(value))));
  if (exponent >= 15 || exponent < -12) {
    return print_number(value, std::chars_format::general, shown);
  }
  const int decimals = std::max(0, shown - 1 - exponent);
  const std::string text =
      without_trailing_zeros(print_number(value, std::chars_format::fixed, decimals));
  return text == "-0" ? "0" : text;
}

std::string format(double base_value, const Unit& unit, int digits) {
  const std::string figure =
      format_number(unit.from_base(base_value), std::min(digits, unit.digits));
  if (unit.symbol.empty()) return figure;
  if (figure != "1") return figure + " " + unit.symbol;
  if (!unit.noun.empty()) return figure + " " + singular_noun(unit.symbol);
  const std::size_t head = std::min(unit.symbol.find_first_of("/*"), unit.symbol.size());
  return figure + " " + singular(unit.symbol.substr(0, head)) + unit.symbol.substr(head);
}

Unit usual_unit(const Dimension& dimension, double base_value) {
  // Once, not for each of the millions of values that are written.
  static const Dimension heat_sum = temperature * time;
  static const Dimension power = energy / time;
  static const Dimension light = substance / area / time;
  static const Dimension strength = mass / volume;
  static const Dimension flow = volume / time;
  static const Dimension depth = volume / area;
  static const Dimension rate = number / time;
  static const Dimension plants_rate = count / time;
  if (dimension == time) {
    return base_value == 0 ? *named_unit("days") : by_size(base_value, {"days", "h", "min", "s"});
  }
  if (dimension == length) return by_size(base_value, {"m", "cm", "mm", "um"});
  if (dimension == area) return std::fabs(base_value) < 0.01 ? *find_unit("cm2") : *find_unit("m2");
  if (dimension == volume) return by_size(base_value, {"L", "mL", "uL"});
  if (dimension == mass) return by_size(base_value, {"kg", "g", "mg", "ug"});
  if (dimension == temperature) return *named_unit("degC");
  if (dimension == heat_sum) return *named_unit("degree_days");
  if (dimension == substance) return by_size(base_value, {"mol", "mmol", "umol"});
  // The trade speaks of tenths of a kilopascal.
  if (dimension == pressure) {
    return std::fabs(base_value) < 1 && base_value != 0 ? *find_unit("Pa") : *find_unit("kPa");
  }
  if (dimension == energy) return by_size(base_value, {"kWh", "kJ", "J"});
  if (dimension == power) return by_size(base_value, {"kW", "W"});
  if (dimension == count) return {{}, count, 1, 0, false, {}};
  if (dimension == conductivity) return *find_unit("mS/cm");
  if (dimension == light) return *find_unit("umol/m2/s");
  if (dimension == strength) return *find_unit("g/L");
  if (dimension == flow) return *find_unit("L/min");
  if (dimension == depth) return *find_unit("L/m2");
  if (dimension == rate) return *find_unit("per hour");
  if (dimension == plants_rate) return quotient(usual_unit(count, 1), *named_unit("h"));
  return base_unit(dimension);
}

}  // namespace budwood::units
