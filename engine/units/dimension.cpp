#include <string>
#include <utility>
#include <vector>

#include "units/units.hpp"

namespace budwood::units {

namespace {

constexpr std::array<std::string_view, base_count> base_words = {
    "time",         "length", "mass",  "temperature",     "substance",
    "light in lux", "money",  "count", "electric current"};

/// "area", "volume", "time^2", ...
std::string power_words(std::size_t base, int power) {
  const bool is_length = base == static_cast<std::size_t>(Base::length);
  if (is_length && power == 2) return "area";
  if (is_length && power == 3) return "volume";
  std::string words(base_words[base]);
  if (power != 1) words.append("^").append(std::to_string(power));
  return words;
}

std::string joined(const std::vector<std::string>& words) {
  std::string text;
  for (const std::string& word : words) {
    if (!text.empty()) text += " * ";
    text += word;
  }
  return text;
}

/// Names for what growers meet often; everything else is spelled out as a quotient.
std::string common_name(const Dimension& d) {
  static const std::vector<std::pair<Dimension, std::string>> names = {
      {number, "a share or plain number"},
      {time, "a length of time"},
      {length, "a length"},
      {area, "an area"},
      {volume, "a volume"},
      {mass, "a weight"},
      {temperature, "a temperature"},
      {substance, "an amount in moles"},
      {illuminance, "light in lux"},
      {money, "an amount of money"},
      {count, "a count"},
      {pressure, "a pressure"},
      {energy, "an energy"},
      {energy / time, "a power"},
      {temperature * time, "a temperature sum"},
      {conductivity, "a conductivity"},
      {volume / time, "a flow"},
      {substance / area / time, "light in photons per area and time"},
  };
  for (const auto& [dimension, name] : names) {
    if (dimension == d) return name;
  }
  return {};
}

}  // namespace

std::optional<Dimension> Dimension::square_root() const {
  Dimension result;
  for (std::size_t i = 0; i < base_count; ++i) {
    if (powers_[i] % 2 != 0) return std::nullopt;
    result.powers_[i] = static_cast<std::int8_t>(powers_[i] / 2);
  }
  return result;
}

std::string describe(const Dimension& dimension) {
  if (std::string name = common_name(dimension); !name.empty()) return name;
  std::vector<std::string> over;
  std::vector<std::string> under;
  for (std::size_t i = 0; i < base_count; ++i) {
    const int power = dimension.power(static_cast<Base>(i));
    if (power > 0) over.push_back(power_words(i, power));
    if (power < 0) under.push_back(power_words(i, -power));
  }
  std::string text = over.empty() ? "1" : joined(over);
  if (under.size() == 1) text += " / " + under.front();
  if (under.size() > 1) text += " / (" + joined(under) + ")";
  return text;
}

}  // namespace budwood::units
