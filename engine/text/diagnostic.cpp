#include "text/diagnostic.hpp"

#include <algorithm>
#include <map>
#include <ostream>

#include "text/terminal.hpp"

namespace budwood::text {

namespace {

const char* word(Severity severity) {
  switch (severity) {
    case Severity::error:
      return "error";
    case Severity::warning:
      return "warning";
    case Severity::note:
      return "note";
  }
  return "";
}

const char* ink(Severity severity) {
  switch (severity) {
    case Severity::error:
      return "\x1b[1;31m";
    case Severity::warning:
      return "\x1b[1;33m";
    case Severity::note:
      return "\x1b[1;36m";
  }
  return "";
}

std::string_view take_characters(std::string_view text, std::size_t from, std::size_t count) {
  std::size_t begin = 0;
  const auto step = [&](std::size_t& at) {
    ++at;
    while (at < text.size() && (static_cast<unsigned char>(text[at]) & 0xC0U) == 0x80U) ++at;
  };
  for (std::size_t i = 0; i < from && begin < text.size(); ++i) step(begin);
  std::size_t end = begin;
  for (std::size_t i = 0; i < count && end < text.size(); ++i) step(end);
  return text.substr(begin, end - begin);
}

/// The marked source line; of a long one the part around the mark, with dots where it is cut.
void print_excerpt(std::ostream& out, const Span& span, std::string_view margin,
                   std::size_t width) {
  constexpr std::string_view dots = "...";
  constexpr std::size_t least = 20;
  constexpr std::size_t longest_measured = 4096;  // bytes
  const Place place = span.source->place(span.begin);
  const std::string_view line = span.source->line(place.line);
  const std::size_t frame = margin.size() + std::string_view("  | ").size();
  const std::size_t room = std::max(least, width > frame ? width - frame : 0);
  const std::size_t whole = count_characters(line);
  std::size_t first = 0;
  std::size_t shown = whole;
  // Of a line that is far too long what stands around the mark says how wide it is: a thousand
  // mistakes on one line would else measure all of it as often.
  const bool endless = line.size() > longest_measured;
  const std::size_t ahead = std::min(place.column - 1, longest_measured / 8);
  const std::string_view seen =
      endless ? take_characters(line, place.column - 1 - ahead, longest_measured / 4) : line;
  const std::size_t columns = display_width(printable(seen));
  if (endless || columns > room) {
    // Wide characters take two columns, so half as many are sure to fit.
    const bool wide = columns > count_characters(seen);
    shown = (wide ? room / 2 : room) - 2 * dots.size();
    first = place.column - 1 > shown / 2 ? place.column - 1 - shown / 2 : 0;
    first = std::min(first, whole > shown ? whole - shown : 0);
  }
  const std::string head(first > 0 ? dots : std::string_view());
  const std::string tail(first + shown < whole ? dots : std::string_view());
  const std::string_view part = take_characters(line, first, shown);
  const std::size_t before = place.column - 1 - first;
  const std::size_t marked =
      std::min(count_characters(text_of(span)), shown - std::min(shown, before));
  // Columns count characters, but wide ones take two places on a terminal and accents none.
  const std::size_t lead = head.size() + display_width(printable(take_characters(part, 0, before)));
  const std::size_t mark = display_width(printable(take_characters(part, before, marked)));
  out << margin << "  | " << head << printable(part) << tail << '\n';
  out << margin << "  | " << std::string(lead, ' ')
      << std::string(std::max<std::size_t>(1, mark), '^') << '\n';
}

void print_one(std::ostream& out, const Diagnostic& d, Colour colour, std::size_t width) {
  const bool coloured = colour == Colour::always;
  if (d.span.source != nullptr) out << printable(describe(d.span)) << ": ";
  out << (coloured ? ink(d.severity) : "") << word(d.severity) << " [" << d.code << "]"
      << (coloured ? "\x1b[0m" : "") << ' ' << printable(d.message) << '\n';
  if (d.span.source != nullptr) print_excerpt(out, d.span, "", width);
  if (!d.advice.empty()) out << "  " << printable(d.advice) << '\n';
  for (const Related& related : d.related) {
    out << "  " << printable(describe(related.span)) << (related.span.source != nullptr ? ": " : "")
        << printable(related.message) << '\n';
    if (related.span.source != nullptr) print_excerpt(out, related.span, "  ", width);
  }
}

std::string counted(std::size_t n, std::string_view noun) {
  return std::to_string(n) + " " + std::string(noun) + (n == 1 ? "" : "s");
}

}  // namespace

void Diagnostics::add(Diagnostic diagnostic) {
  const auto same = [&](const Diagnostic& other) {
    return other.span.source == diagnostic.span.source &&
           other.span.begin == diagnostic.span.begin && other.span.end == diagnostic.span.end &&
           other.code == diagnostic.code && other.message == diagnostic.message;
  };
  const bool room = all_.size() < most_kept;
  if (room && std::any_of(all_.begin(), all_.end(), same)) return;
  ++counts_[static_cast<std::size_t>(diagnostic.severity)];
  if (room) all_.push_back(std::move(diagnostic));
}

void Diagnostics::add_all(const Diagnostics& others) {
  std::array<std::size_t, 3> only_counted = others.counts_;
  for (Diagnostic& one : others.sorted()) {
    --only_counted[static_cast<std::size_t>(one.severity)];
    add(std::move(one));
  }
  for (std::size_t i = 0; i < counts_.size(); ++i) counts_[i] += only_counted[i];
}

void Diagnostics::error(std::string code, Span span, std::string message, std::string advice) {
  add({Severity::error, std::move(code), span, std::move(message), std::move(advice), {}});
}

void Diagnostics::warning(std::string code, Span span, std::string message, std::string advice) {
  add({Severity::warning, std::move(code), span, std::move(message), std::move(advice), {}});
}

void Diagnostics::note(std::string code, Span span, std::string message, std::string advice) {
  add({Severity::note, std::move(code), span, std::move(message), std::move(advice), {}});
}

std::vector<Diagnostic> Diagnostics::sorted() const {
  std::map<const Source*, std::size_t> rank;
  for (const Diagnostic& d : all_) rank.emplace(d.span.source, rank.size());
  std::vector<Diagnostic> out = all_;
  std::stable_sort(out.begin(), out.end(), [&](const Diagnostic& a, const Diagnostic& b) {
    const std::size_t left = rank.at(a.span.source);
    const std::size_t right = rank.at(b.span.source);
    if (left != right) return left < right;
    return a.span.source != nullptr && a.span.begin < b.span.begin;
  });
  return out;
}

void print(std::ostream& out, const Diagnostics& diagnostics, Colour colour, std::size_t most,
           std::size_t width) {
  const std::vector<Diagnostic> all = diagnostics.sorted();
  for (std::size_t i = 0; i < std::min(all.size(), most); ++i)
    print_one(out, all[i], colour, width);
  const std::size_t total = diagnostics.count(Severity::error) +
                            diagnostics.count(Severity::warning) +
                            diagnostics.count(Severity::note);
  if (total > std::min(all.size(), most)) {
    out << "... and " << total - std::min(all.size(), most) << " more\n";
  }
  if (!all.empty()) out << summary(diagnostics) << '\n';
}

std::string summary(const Diagnostics& diagnostics) {
  std::string out = counted(diagnostics.count(Severity::error), "error");
  const std::size_t warnings = diagnostics.count(Severity::warning);
  const std::size_t notes = diagnostics.count(Severity::note);
  if (warnings > 0) out += ", " + counted(warnings, "warning");
  if (notes > 0) out += ", " + counted(notes, "note");
  return out;
}

}  // namespace budwood::text
