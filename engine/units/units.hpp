/// Dimensions, units and quantities.
///
/// Inside the engine a quantity is a plain double in the coherent base unit of its dimension
/// (metre, kilogram, second, kelvin, mole, lux, currency unit, one piece); units matter only where
/// text is read or printed. Exact factors are kept exact (NIST SP 811, 2008, Appendix B.8).
///
/// Whole numbers are reached with a slack of one part in a thousand million, because 0.35 has
/// no exact binary form. Units without a system of their own (shares, photons, vapour pressure,
/// what is counted) stay as they are whatever units a site shows.
#pragma once

#include <algorithm>
#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace budwood::units {

inline constexpr double seconds_an_hour = 3600;
inline constexpr double seconds_a_day = 86400;

/// The independent dimensions. Light on a surface in lux is one of its own, because it turns into
/// photons only when the lamp is named. `count` is for things that are counted: plants, trays.
enum class Base : std::uint8_t {
  time,
  length,
  mass,
  temperature,
  substance,
  illuminance,
  money,
  count,
  current,
};
inline constexpr std::size_t base_count = 9;

/// A product of powers of the bases; the empty product is a plain number or a share.
class Dimension {
 public:
  constexpr Dimension() = default;
  static constexpr Dimension of(Base base, int power = 1) {
    Dimension d;
    d.powers_[static_cast<std::size_t>(base)] = static_cast<std::int8_t>(power);
    return d;
  }
  constexpr int power(Base base) const { return powers_[static_cast<std::size_t>(base)]; }
  constexpr bool is_number() const { return *this == Dimension{}; }

  friend constexpr bool operator==(const Dimension&, const Dimension&) = default;
  friend constexpr Dimension operator*(const Dimension& a, const Dimension& b) {
    Dimension result;
    for (std::size_t i = 0; i < base_count; ++i) {
      result.powers_[i] = saturated(a.powers_[i] + b.powers_[i]);
    }
    return result;
  }
  friend constexpr Dimension operator/(const Dimension& a, const Dimension& b) {
    return a * b.to_power(-1);
  }
  /// Powers saturate at +-100, far beyond any use.
  constexpr Dimension to_power(int exponent) const {
    Dimension result;
    const int bounded = saturated(exponent);
    for (std::size_t i = 0; i < base_count; ++i) {
      result.powers_[i] = saturated(powers_[i] * bounded);
    }
    return result;
  }
  /// Half of every power; nothing when one is odd.
  std::optional<Dimension> square_root() const;

 private:
  static constexpr std::int8_t saturated(int power) {
    return static_cast<std::int8_t>(std::clamp(power, -100, 100));
  }

  std::array<std::int8_t, base_count> powers_{};
};

inline constexpr Dimension number{};
inline constexpr Dimension time = Dimension::of(Base::time);
inline constexpr Dimension length = Dimension::of(Base::length);
inline constexpr Dimension area = Dimension::of(Base::length, 2);
inline constexpr Dimension volume = Dimension::of(Base::length, 3);
inline constexpr Dimension mass = Dimension::of(Base::mass);
inline constexpr Dimension temperature = Dimension::of(Base::temperature);
inline constexpr Dimension substance = Dimension::of(Base::substance);
inline constexpr Dimension illuminance = Dimension::of(Base::illuminance);
inline constexpr Dimension pressure = mass / length / time.to_power(2);
inline constexpr Dimension energy = mass * area / time.to_power(2);
/// Of a solution: what salts in it let through.
inline constexpr Dimension conductivity =
    Dimension::of(Base::current, 2) * time.to_power(3) / (mass * length.to_power(3));
inline constexpr Dimension count = Dimension::of(Base::count);
inline constexpr Dimension money = Dimension::of(Base::money);

/// "a length of time", "a temperature", "a share or plain number", "mass / volume", ... so that it
/// fits a sentence such as "this is a length of time".
std::string describe(const Dimension& dimension);

/// A unit: base value = value * factor + offset. Only temperatures on a scale have an offset.
struct Unit {
  std::string symbol;  ///< as it is printed: "days", "degC", "umol/m2/s", "trays"
  Dimension dimension;
  double factor = 1;
  double offset = 0;
  bool absolute = false;  ///< a temperature on a scale, not a difference
  std::string noun;       ///< for counted things what is counted ("trays"), else empty
  int digits = 15;        ///< no value is worth more significant ones in it, as it was converted

  double to_base(double value) const { return value * factor + offset; }
  double from_base(double base) const { return (base - offset) / factor; }
};

/// Finds a unit by its text: a symbol ("L", "day", "days", "degC", "°C", "%"), a square or cube
/// ("m2", "ft³"), a quotient ("umol/m2/s", "g/L", "mL/plant"), a product ("K*day") or "per hour".
/// Counted nouns of the trade (plants, trays, ...) are units too. The micro sign may be u, U+00B5
/// or U+03BC. Nothing when a piece is unknown; months and years are unknown, they have no fixed
/// length. In a quotient a temperature is a difference.
std::optional<Unit> find_unit(std::string_view text);

/// A unit that counts `noun`, e.g. one that a protocol brings with `supply clip in bundles`.
Unit counting_unit(std::string_view noun);

/// `over / under`; over a unit without a symbol it reads "per hour". Temperatures count as
/// differences. The result has no noun.
Unit quotient(const Unit& over, const Unit& under);

/// The names that `find_unit` knows without powers or quotients, for "did you mean".
const std::vector<std::string>& unit_names();

/// The unit in which a dimension is shown when nothing else says how: "days" or "h" or "min" by
/// size for time, "L" or "mL" for volume, ... A bare temperature is taken as one on a scale (degC).
Unit usual_unit(const Dimension& dimension, double base_value);

/// In which units people want to read values, whatever they are written in.
enum class System : std::uint8_t { as_written, metric, us_customary };
/// The unit in which a system shows what is written in another unit: degF for degC, gal for L, each
/// piece of a quotient for itself. What both systems share (time, shares, photons, vapour pressure,
/// what is in the air) and what is counted stays as it is.
Unit in_system(const Unit& unit, System system);

/// A number as people write it: all digits before the decimal point, after it as many as make up
/// `digits` significant ones (1 to 15) less trailing zeros. Exponent form only from 1e15 up and
/// below 1e-12. Never "-0"; "-" for a NaN or an infinity.
std::string format_number(double value, int digits = 6);

/// Number, space, unit symbol: "14 days", "85 %", "26 degC". Counted nouns and days lose their
/// plural s for exactly 1.
std::string format(double base_value, const Unit& unit, int digits = 6);

/// A number as it was written and its unit; without one it is a plain number.
struct Parsed {
  double value = 0;  ///< as written
  Unit unit;
  bool has_unit = false;
  double base() const { return unit.to_base(value); }
};

/// Parses "30 crates", "14 days", "0.5 %", "12" (a plain number). Digits with at most one decimal
/// point and a sign; no exponents, no thousands separators. Nothing when it is not a number and a
/// known unit; `error_unit` then receives what stands where the unit should, if that was it, else
/// "".
std::optional<Parsed> parse_quantity(std::string_view text, std::string* error_unit = nullptr);

}  // namespace budwood::units
