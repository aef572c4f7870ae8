#include "report/json.hpp"

#include <fmt/format.h>

#include <cmath>
#include <cstdint>

#include "report/number.hpp"
#include "report/wording.hpp"

namespace budwood::report {

Json json_number(double value) {
  if (!std::isfinite(value)) return nullptr;
  constexpr double exact_below = 9007199254740992.0;  // 2^53
  const double shown = rounded(value);
  if (std::abs(shown) < exact_below && shown == std::trunc(shown)) {
    return static_cast<std::int64_t>(shown);
  }
  return shown;
}

Json json_date(double day) {
  if (std::isnan(day)) return nullptr;
  return calendar::iso_date(static_cast<calendar::Day>(day));
}

Json json_place(const text::Span& span) {
  if (span.source == nullptr) return nullptr;
  return file_and_line(span);
}

std::string dump(const Json& json) {
  const std::string text = json.dump(-1, ' ', false, Json::error_handler_t::replace);
  std::string out;
  out.reserve(text.size());
  for (std::size_t i = 0; i < text.size(); ++i) {
    const auto c = static_cast<unsigned char>(text[i]);
    const auto next = i + 1 < text.size() ? static_cast<unsigned char>(text[i + 1]) : 0U;
    if (c == 0x7F) {
      out += "\\u007f";
    } else if (c == 0xC2 && next >= 0x80 && next < 0xA0) {  // U+0080 to U+009F
      out += fmt::format("\\u{:04x}", next);
      ++i;
    } else {
      out += text[i];
    }
  }
  return out;
}

}  // namespace budwood::report
