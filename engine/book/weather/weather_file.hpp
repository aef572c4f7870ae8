/// Daily temperatures in a file of comma-separated values. Private to this module.
#pragma once

#include <memory>

#include "book/yaml/written.hpp"
#include "climate/climate.hpp"
#include "text/text.hpp"

namespace budwood::book {

/// A minimum and a maximum as someone wrote them, without their unit.
struct WrittenTemperature {
  Placed<double> minimum;
  Placed<double> maximum;

  climate::DayTemperature in(const units::Unit& unit) const {
    return {unit.to_base(minimum.value), unit.to_base(maximum.value)};
  }
};

/// What a site says of its weather.
struct Weather {
  std::shared_ptr<const climate::DailySeries> temperatures;  ///< none: it says nothing of them
  climate::Sky sky;
};

/// Puts what `climate::check_temperature` found into words.
void report_temperature(climate::SeriesProblem::Kind kind, const WrittenTemperature& written,
                        const units::Unit& unit, text::Diagnostics& diagnostics);

/// Tells that no day brings so much, in MJ/m2.
void report_radiation(const Placed<double>& written, text::Diagnostics& diagnostics);

/// More mistakes than this in one file are only counted.
inline constexpr std::size_t most_mistakes_shown = 20;

/// The weather of a file. Its first line names the columns, among them `date`, `minimum` and
/// `maximum`, perhaps `radiation`, in any order; below it stands a row for each day, without a gap.
/// What is wrong is reported at its row, and then there is none.
Weather read_weather(const text::Source& source, const units::Unit& unit,
                     text::Diagnostics& diagnostics);

/// No day brings more, J/m2: on top of the air it is never 50 MJ/m2.
inline constexpr double most_radiation = 50e6;

}  // namespace budwood::book
