#pragma once

#include <array>
#include <iosfwd>
#include <string>
#include <vector>

#include "text/source.hpp"

namespace budwood::text {

enum class Severity { error, warning, note };

/// A further place that helps to understand a diagnostic.
struct Related {
  Span span;
  std::string message;
};

/// One thing to tell the user about their text.
struct Diagnostic {
  Severity severity = Severity::error;
  std::string code;     ///< what kind it is, e.g. "unknown-name"; listed in grammar/README.md
  Span span;            ///< where; without a source it is about the run as a whole
  std::string message;  ///< what is wrong, in the grower's words
  std::string advice;   ///< what to do about it; may be empty
  std::vector<Related> related;
};

/// Collects diagnostics; hands them out in the order of their files and places.
class Diagnostics {
 public:
  /// The same message at the same span twice is kept once; past `most_kept` they are only counted,
  /// so that a hostile file costs neither time nor memory.
  void add(Diagnostic diagnostic);
  /// Adds all of others, in their order by place, and counts what these only counted.
  void add_all(const Diagnostics& others);
  void error(std::string code, Span span, std::string message, std::string advice = {});
  void warning(std::string code, Span span, std::string message, std::string advice = {});
  void note(std::string code, Span span, std::string message, std::string advice = {});

  bool has_errors() const { return count(Severity::error) > 0; }
  std::size_t count(Severity severity) const { return counts_[static_cast<std::size_t>(severity)]; }
  bool empty() const { return all_.empty(); }
  /// Whether there are more errors than anybody reads: advice that takes long to work out can be
  /// left off.
  bool crowded() const { return count(Severity::error) > most_read; }

  /// All, by source in the order in which the sources were first mentioned, then by place.
  std::vector<Diagnostic> sorted() const;

 private:
  static constexpr std::size_t most_kept = 1000;
  static constexpr std::size_t most_read = 200;

  std::vector<Diagnostic> all_;
  std::array<std::size_t, 3> counts_{};  ///< by Severity
};

/// Whether output may carry terminal colours.
enum class Colour { never, always };

/// Prints each diagnostic with its code, place, marked source line, advice and related places, and
/// closes with a count. Of a source line that is wider than `width` the part around the place is
/// shown. `most` limits how many are printed in full; the rest are counted.
void print(std::ostream& out, const Diagnostics& diagnostics, Colour colour, std::size_t most = 200,
           std::size_t width = 160);

/// The closing count, e.g. "2 errors, 1 warning".
std::string summary(const Diagnostics& diagnostics);

}  // namespace budwood::text
