#include <charconv>
#include <cmath>
#include <utility>

#include "units/unit_table.hpp"
#include "units/units.hpp"

namespace budwood::units {

namespace {

constexpr std::size_t longest_unit_text = 64;

/// One piece of a unit's text and whether it stands above or below the line.
struct Factor {
  std::string text;
  bool under = false;
};

/// "hour" to "h", "plant" to "plants"; unknown names stay as they are.
std::string canonical(const std::string& name) {
  const Unit* unit = named_unit(name);
  return unit == nullptr ? name : unit->symbol;
}

/// "umol/m2/s", "g*L/m2", "per hour" to their pieces. The pieces are not looked up here.
std::vector<Factor> split_factors(std::string_view text) {
  std::vector<Factor> factors;
  bool under = text.starts_with("per ");
  if (under) text.remove_prefix(4);
  while (true) {
    const std::size_t end = text.find_first_of("/*");
    factors.push_back({std::string(text.substr(0, end)), under});
    if (end == std::string_view::npos) return factors;
    under = text[end] == '/';
    text.remove_prefix(end + 1);
  }
}

/// In "per hour" time is spelled out, as people say it.
std::string spelled_out(const std::string& text) {
  if (text == "h") return "hour";
  if (text == "min") return "minute";
  if (text == "s") return "second";
  return text;
}

/// What is above the line joined by "*", then "/" before each thing below it.
std::string join_factors(const std::vector<Factor>& factors) {
  std::string text;
  for (const Factor& factor : factors) {
    if (factor.under) continue;
    if (!text.empty()) text += '*';
    text += canonical(factor.text);
  }
  for (const Factor& factor : factors) {
    if (!factor.under) continue;
    const std::string one = singular_noun(canonical(factor.text));
    if (text.empty()) {
      text.append("per ").append(spelled_out(one));
    } else {
      text.append("/").append(one);
    }
  }
  return text;
}

/// The other ways to write letters that keyboards lack, brought to one.
std::string normalised(std::string_view text) {
  static const std::vector<std::pair<std::string_view, std::string_view>> spellings = {
      {"\u00B0", "deg"}, {"\u00B5", "u"}, {"\u03BC", "u"}, {"\u00B2", "2"}, {"\u00B3", "3"}};
  std::string result;
  while (!text.empty()) {
    std::size_t taken = 0;
    for (const auto& [from, to] : spellings) {
      if (!text.starts_with(from)) continue;
      result += to;
      taken = from.size();
      break;
    }
    if (taken == 0) {
      result += text.front();
      taken = 1;
    }
    text.remove_prefix(taken);
  }
  return result;
}

/// Only measures of one base are raised: m2, cm3, s2, but not %2 or plants2.
bool may_be_raised(const Unit& unit) {
  return unit.dimension == length || unit.dimension == time || unit.dimension == mass ||
         unit.dimension == temperature;
}

/// In powers and quotients a temperature is a difference: "degC/h" has no zero point.
Unit as_difference(Unit unit) {
  unit.offset = 0;
  unit.absolute = false;
  return unit;
}

/// "m2", "days": a name from the table, perhaps squared or cubed.
std::optional<Unit> find_factor(std::string_view text) {
  if (const Unit* unit = named_unit(text)) return *unit;
  if (text.empty() || (text.back() != '2' && text.back() != '3')) return std::nullopt;
  const int exponent = text.back() - '0';
  const Unit* root = named_unit(text.substr(0, text.size() - 1));
  if (root == nullptr || !may_be_raised(*root)) return std::nullopt;
  Unit unit = as_difference(*root);
  unit.symbol += text.back();
  unit.dimension = root->dimension.to_power(exponent);
  unit.factor =
      exponent == 2 ? root->factor * root->factor : root->factor * root->factor * root->factor;
  return unit;
}

/// Everything multiplied and divided out. A single piece above the line keeps its offset and noun.
std::optional<Unit> combine(std::vector<Factor> factors) {
  if (factors.size() == 1 && !factors.front().under) return find_factor(factors.front().text);
  Unit result;
  for (Factor& factor : factors) {
    const std::optional<Unit> unit = find_factor(factor.text);
    if (!unit) return std::nullopt;
    factor.text = unit->symbol;
    if (factor.under) {
      result.dimension = result.dimension / unit->dimension;
      result.factor /= unit->factor;
    } else {
      result.dimension = result.dimension * unit->dimension;
      result.factor *= unit->factor;
    }
  }
  result.symbol = join_factors(factors);
  return result;
}

bool is_digit(char c) {
  return c >= '0' && c <= '9';
}

std::string_view trimmed(std::string_view text) {
  const std::size_t first = text.find_first_not_of(" \t");
  if (first == std::string_view::npos) return {};
  return text.substr(first, text.find_last_not_of(" \t") - first + 1);
}

/// How many characters at the front are a plain decimal number: "12", "-0.5", ".5"; 0 when none
/// are.
std::size_t number_length(std::string_view text) {
  std::size_t at = !text.empty() && (text[0] == '-' || text[0] == '+') ? 1 : 0;
  const std::size_t whole = at;
  while (at < text.size() && is_digit(text[at])) ++at;
  bool any = at > whole;
  if (at + 1 < text.size() && text[at] == '.' && is_digit(text[at + 1])) {
    any = true;
    ++at;
    while (at < text.size() && is_digit(text[at])) ++at;
  }
  return any ? at : 0;
}

bool may_begin_unit(char c) {
  const auto byte = static_cast<unsigned char>(c);
  return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || c == '%' || byte >= 0x80;
}

}  // namespace

std::optional<Unit> find_unit(std::string_view text) {
  if (text.empty() || text.size() > longest_unit_text) return std::nullopt;
  return combine(split_factors(normalised(text)));
}

Unit counting_unit(std::string_view noun) {
  const Unit* known = named_unit(noun);
  if (known != nullptr && !known->noun.empty()) return *known;
  return {std::string(noun), count, 1, 0, false, std::string(noun)};
}

Unit quotient(const Unit& over, const Unit& under) {
  std::vector<Factor> factors;
  if (!over.symbol.empty()) factors = split_factors(over.symbol);
  if (!under.symbol.empty()) {
    for (Factor& factor : split_factors(under.symbol)) {
      factors.push_back({std::move(factor.text), !factor.under});
    }
  }
  Unit result;
  result.symbol = join_factors(factors);
  result.dimension = over.dimension / under.dimension;
  result.factor = over.factor / under.factor;
  return result;
}

const std::vector<std::string>& unit_names() {
  return table_names();
}

std::optional<Parsed> parse_quantity(std::string_view text, std::string* error_unit) {
  if (error_unit != nullptr) error_unit->clear();
  text = trimmed(text);
  const std::size_t digits = number_length(text);
  if (digits == 0) return std::nullopt;
  const std::string_view written = text.substr(text[0] == '+' ? 1 : 0, digits - (text[0] == '+'));
  Parsed parsed;
  const auto end = written.data() + written.size();
  if (std::from_chars(written.data(), end, parsed.value).ec != std::errc{}) return std::nullopt;

  const std::string_view rest = trimmed(text.substr(digits));
  if (rest.empty()) return parsed;
  std::optional<Unit> unit = find_unit(rest);
  if (!unit) {
    if (error_unit != nullptr && may_begin_unit(rest.front())) *error_unit = rest;
    return std::nullopt;
  }
  parsed.unit = std::move(*unit);
  parsed.has_unit = true;
  return parsed;
}

}  // namespace budwood::units
