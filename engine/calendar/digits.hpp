#pragma once

#include <charconv>
#include <string>

namespace budwood::calendar {

/// A number with zeros in front up to `width` digits. A plan spells out millions of dates.
inline void append_digits(std::string& out, int number, std::size_t width) {
  char buffer[16];
  const char* end = std::to_chars(buffer, buffer + sizeof buffer, number).ptr;
  const auto length = static_cast<std::size_t>(end - buffer);
  if (length < width) out.append(width - length, '0');
  out.append(buffer, length);
}

}  // namespace budwood::calendar
