#include "report/formats/number.hpp"

#include <cmath>
#include <cstdint>

#include "units/units.hpp"

namespace budwood::report {

namespace {

constexpr int digits = 12;
/// Whole numbers below this have no more digits than are kept.
constexpr double largest_whole = 1e12;

bool is_short_whole(double value) {
  return std::abs(value) < largest_whole && value == std::trunc(value);
}

}  // namespace

std::string number_text(double value) {
  if (!std::isfinite(value)) return {};
  if (is_short_whole(value)) return std::to_string(static_cast<std::int64_t>(value));
  return units::format_number(value, digits);
}

}  // namespace budwood::report
