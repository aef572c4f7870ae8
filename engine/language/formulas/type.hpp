#pragma once

#include <cstdint>
#include <string>

#include "units/units.hpp"

namespace budwood::language {

/// What kind of value a formula gives.
struct Type {
  enum class Kind : std::uint8_t {
    quantity,     ///< of `dimension`; temperature differences too
    temperature,  ///< on a scale
    date,         ///< a civil day
    truth,
  };
  Kind kind = Kind::quantity;
  units::Dimension dimension;
  /// Made of written numbers without units only: it fits a count as well as a plain number.
  bool loose = false;

  static Type quantity(units::Dimension dimension) { return {Kind::quantity, dimension, false}; }
  static Type temperature() { return {Kind::temperature, units::temperature, false}; }
  static Type date() { return {Kind::date, units::time, false}; }
  static Type truth() { return {Kind::truth, {}, false}; }
};

inline const Type a_length_of_time = Type::quantity(units::time);
inline const Type plants_type = Type::quantity(units::count);

/// Whether two values can be added, compared or stand for each other.
bool alike(const Type& a, const Type& b);

/// "a length of time", "a temperature", "a date", ...
std::string describe(const Type& type);

}  // namespace budwood::language
