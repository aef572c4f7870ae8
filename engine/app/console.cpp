#include "app/console.hpp"

#include <sys/ioctl.h>
#include <unistd.h>

#include <algorithm>
#include <cstdlib>
#include <iostream>
#include <optional>
#include <string_view>

namespace budwood::app {

namespace {

constexpr std::size_t narrowest = 60;
constexpr std::size_t widest = 200;  // longer lines are hard to follow

text::Colour colour_of(int descriptor) {
  const char* terminal = std::getenv("TERM");
  const bool able = terminal == nullptr || std::string_view(terminal) != "dumb";
  const bool wanted = std::getenv("NO_COLOR") == nullptr;
  return isatty(descriptor) != 0 && able && wanted ? text::Colour::always : text::Colour::never;
}

/// Of a terminal; nothing elsewhere.
std::optional<std::size_t> columns_of(int descriptor) {
  winsize size{};
  if (isatty(descriptor) == 0 || ioctl(descriptor, TIOCGWINSZ, &size) != 0 || size.ws_col == 0) {
    return std::nullopt;
  }
  return std::clamp<std::size_t>(size.ws_col, narrowest, widest);
}

}  // namespace

text::Colour error_colour() {
  return colour_of(STDERR_FILENO);
}

report::Style output_style(bool to_file) {
  report::Style style;
  if (to_file) return style;
  style.colour = colour_of(STDOUT_FILENO);
  if (const auto columns = columns_of(STDOUT_FILENO)) style.width = *columns;
  return style;
}

void complain(const std::string& message) {
  std::cerr << "budwood: " << text::printable(message) << '\n';
}

bool report_problems(const text::Diagnostics& diagnostics) {
  constexpr std::size_t usual = 160;
  constexpr std::size_t most = 200;
  text::print(std::cerr, diagnostics, error_colour(), most,
              columns_of(STDERR_FILENO).value_or(usual));
  return diagnostics.has_errors();
}

}  // namespace budwood::app
