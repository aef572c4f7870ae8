#pragma once

#include <algorithm>
#include <cmath>

#include "climate/climate.hpp"
#include "language/language.hpp"
#include "sheet/columns/columns.hpp"
#include "units/rounding.hpp"
#include "units/units.hpp"

/// What the operations of formulas do to one row. Loops over columns are compiled from these.
namespace budwood::sheet {

using language::Operation;
using units::round_down;
using units::round_up;
using units::slack;

/// One operation on one row. Unary operations look at `a` alone; `choose` takes all three.
/// Results that are not finite are no value.
template <Operation op>
double apply(double a, double b = 0, double c = 0) {
  const auto truth = [&](bool value) {
    return std::isnan(a) || std::isnan(b) ? no_value : (value ? 1.0 : 0.0);
  };
  const auto finite = [](double x) { return std::isfinite(x) ? x : no_value; };
  if constexpr (op == Operation::add) return finite(a + b);
  if constexpr (op == Operation::subtract) return finite(a - b);
  if constexpr (op == Operation::multiply) return finite(a * b);
  if constexpr (op == Operation::divide) return finite(a / b);
  // pow(1, NaN) and pow(NaN, 0) are 1 (IEEE 754), but here no value travels.
  if constexpr (op == Operation::power)
    return std::isnan(a + b) ? no_value : finite(std::pow(a, b));
  if constexpr (op == Operation::negate) return -a;
  if constexpr (op == Operation::less) return truth(a < b - slack(a, b));
  if constexpr (op == Operation::less_equal) return truth(a <= b + slack(a, b));
  if constexpr (op == Operation::greater) return truth(a > b + slack(a, b));
  if constexpr (op == Operation::greater_equal) return truth(a >= b - slack(a, b));
  if constexpr (op == Operation::equal) return truth(std::abs(a - b) <= slack(a, b));
  if constexpr (op == Operation::unequal) return truth(std::abs(a - b) > slack(a, b));
  if constexpr (op == Operation::both) return a == 0 || b == 0 ? 0.0 : truth(true);
  if constexpr (op == Operation::either) {
    const bool enough = (a != 0 && !std::isnan(a)) || (b != 0 && !std::isnan(b));
    return enough ? 1.0 : truth(false);
  }
  if constexpr (op == Operation::if_known) return std::isnan(a) ? 0.0 : a;
  if constexpr (op == Operation::invert) return truth(a == 0);
  if constexpr (op == Operation::choose) return std::isnan(a) ? no_value : (a != 0 ? b : c);
  if constexpr (op == Operation::minimum) return std::isnan(a + b) ? no_value : std::min(a, b);
  if constexpr (op == Operation::maximum) return std::isnan(a + b) ? no_value : std::max(a, b);
  if constexpr (op == Operation::round) return round_down(a + 0.5);
  if constexpr (op == Operation::ceil) return round_up(a);
  if constexpr (op == Operation::floor) return round_down(a);
  if constexpr (op == Operation::absolute) return std::abs(a);
  if constexpr (op == Operation::square_root) return finite(std::sqrt(a));
  if constexpr (op == Operation::exponential) return finite(std::exp(a));
  if constexpr (op == Operation::logarithm) return finite(std::log(a));
  if constexpr (op == Operation::vapour_pressure_deficit) {
    return finite(climate::vapour_pressure_deficit(a, b));
  }
  if constexpr (op == Operation::dew_point) return finite(climate::dew_point(a, b));
  if constexpr (op == Operation::absolute_humidity) {
    return finite(climate::absolute_humidity(a, b));
  }
  if constexpr (op == Operation::photon_flux) {
    return finite(climate::photon_flux_from_lux(a, climate::lamps()[static_cast<std::size_t>(b)]));
  }
  if constexpr (op == Operation::light_sum) {
    return finite(climate::light_sum(a, b) / units::seconds_a_day);
  }
}

/// Calls `visit` with the operation as a compile-time constant, so that a loop over rows can be
/// compiled for each operation by itself.
template <typename Visitor>
decltype(auto) with_operation(Operation op, Visitor&& visit) {
  switch (op) {
#define BUDWOOD_OPERATION(name, arguments, word, written) \
  case Operation::name:                                   \
    return visit.template operator()<Operation::name>();
#include "language/formulas/operations.def"
#undef BUDWOOD_OPERATION
  }
  return visit.template operator()<Operation::add>();
}

}  // namespace budwood::sheet
