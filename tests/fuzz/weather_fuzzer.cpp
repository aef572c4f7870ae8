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
    const book::Weather weather =
        book::read_weather(source, *units::find_unit("degC"), diagnostics);
    series = weather.temperatures;
    for (const double one : weather.sky.measured) {
      fuzz::must(!(one < 0) && !(one > book::most_radiation), "a day without sense");
    }
    fuzz::must((series != nullptr) != diagnostics.has_errors(), "neither a series nor an error");
  }
  fuzz::check_told(diagnostics, source);
  fuzz::accepted = series != nullptr;
  return 0;
}
