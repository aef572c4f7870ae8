#include "page/views/json.hpp"

#include <cmath>

namespace budwood::page {

namespace {

std::string file_name(const std::string& path) {
  const std::size_t slash = path.rfind('/');
  return slash == std::string::npos ? path : path.substr(slash + 1);
}

}  // namespace

Json day_json(double day) {
  if (!std::isfinite(day)) return nullptr;
  return calendar::iso_date(static_cast<calendar::Day>(day));
}

Json number_json(double value) {
  if (!std::isfinite(value)) return nullptr;
  return value;
}

Json place_json(const text::Span& span) {
  if (span.source == nullptr) return nullptr;
  const text::Place begin = span.source->place(span.begin);
  const text::Place end = span.source->place(span.end);
  return {{"file", file_name(span.source->name())},
          {"line", begin.line},
          {"column", begin.column},
          {"end_line", end.line},
          {"end_column", end.column}};
}

const char* severity_word(text::Severity severity) {
  constexpr std::array words = {"error", "warning", "note"};
  return words[static_cast<std::size_t>(severity)];
}

Json diagnostic_json(const text::Diagnostic& d) {
  Json related = Json::array();
  for (const text::Related& one : d.related) {
    related.push_back({{"message", one.message}, {"place", place_json(one.span)}});
  }
  return {{"severity", severity_word(d.severity)},
          {"code", d.code},
          {"message", d.message},
          {"advice", d.advice},
          {"place", place_json(d.span)},
          {"related", std::move(related)}};
}

Json diagnostics_json(const text::Diagnostics& diagnostics) {
  Json out = Json::array();
  for (const text::Diagnostic& d : diagnostics.sorted()) out.push_back(diagnostic_json(d));
  return out;
}

std::string text_of(const Json& json) {
  return json.dump(-1, ' ', false, Json::error_handler_t::replace);
}

}  // namespace budwood::page
