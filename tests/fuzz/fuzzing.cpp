#include "fuzzing.hpp"

#include <cstdio>
#include <cstdlib>
#include <sstream>

namespace budwood::fuzz {

namespace {

bool starts_character(std::string_view text, std::size_t at) {
  return at >= text.size() || (static_cast<unsigned char>(text[at]) & 0xC0U) != 0x80U;
}

void check_span(const text::Span& span) {
  if (span.source == nullptr) return;
  const std::string_view text = span.source->text();
  must(span.begin <= span.end, "a place that ends before it begins");
  must(span.end <= text.size(), "a place outside its text");
  if (text::find_invalid_utf8(text) != std::string_view::npos) return;
  must(starts_character(text, span.begin) && starts_character(text, span.end),
       "a place inside a character");
}

}  // namespace

void must(bool holds, const char* what) {
  if (holds) return;
  std::fprintf(stderr, "Found: %s\n", what);
  std::abort();
}

void check_told(const text::Diagnostics& diagnostics) {
  for (const text::Diagnostic& d : diagnostics.sorted()) {
    must(!d.code.empty() && !d.message.empty(), "a diagnostic without code or message");
    check_span(d.span);
    for (const text::Related& one : d.related) check_span(one.span);
  }
  std::ostringstream out;
  text::print(out, diagnostics, text::Colour::never);
  const std::string printed = out.str();
  must(text::find_invalid_utf8(printed) == std::string::npos, "messages that are no UTF-8");
  must(printed.find('\x1B') == std::string::npos, "messages that steer the terminal");
}

void check_told(const text::Diagnostics& diagnostics, const text::Source& source) {
  check_told(diagnostics);
  for (const text::Diagnostic& d : diagnostics.sorted()) {
    // The line of what is no text is not shown: it could hold anything.
    const bool placed = d.span.source == &source || d.code == "not-text";
    must(placed || d.severity != text::Severity::error, "an error without a place in its text");
  }
}

std::string_view part_of(std::string_view input, std::size_t number) {
  constexpr std::string_view between = "\n=====\n";
  for (; number > 0; --number) {
    const std::size_t at = input.find(between);
    if (at == std::string_view::npos) return {};
    input.remove_prefix(at + between.size());
  }
  return input.substr(0, input.find(between));
}

}  // namespace budwood::fuzz
