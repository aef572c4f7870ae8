#include "book/weather/weather_file.hpp"
#include "fuzzing.hpp"

/// Any bytes as a file of daily temperatures: a series without a gap, or an error.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace budwood;
  text::Sources sources;
  text::Diagnostics diagnostics;
  const text::Source& source = sources.add("weather.csv", fuzz::bytes_of(data, size));
  std::shared_ptr<const climate::DailySeries> series;
  if (text::is_text(source, diagnostics)) {
    series = book::read_weather(source, *units::find_unit("degC"), diagnostics);
    fuzz::must((series != nullptr) != diagnostics.has_errors(), "neither a series nor an error");
  }
  fuzz::check_told(diagnostics, source);
  fuzz::accepted = series != nullptr;
  return 0;
}
