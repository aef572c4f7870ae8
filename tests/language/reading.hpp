#pragma once

#include <doctest/doctest.h>

#include <string>
#include <vector>

#include "language/language.hpp"
#include "language/model.hpp"

namespace doctest {

template <>
struct StringMaker<std::vector<std::string>> {
  static String convert(const std::vector<std::string>& words) {
    return budwood::text::list_words(words, "and").c_str();
  }
};

}  // namespace doctest

/// Reads protocol text for a test and looks at what came of it.
namespace reading {

using namespace budwood;
using language::FormulaId;
using language::Node;
using language::Protocol;
using language::Stage;
using language::Type;

class Reading {
 public:
  explicit Reading(std::string content) : source_(sources_.add("test.bud", std::move(content))) {
    protocols_ = language::read(source_, diagnostics_).protocols;
  }

  /// The only protocol; the test fails when there were mistakes.
  const Protocol& protocol() const {
    INFO(first_message());
    REQUIRE(protocols_.size() == 1);
    return protocols_.front();
  }
  const std::vector<Protocol>& protocols() const { return protocols_; }

  /// "code line:column" of each diagnostic, in order.
  std::vector<std::string> found() const {
    std::vector<std::string> out;
    for (const text::Diagnostic& d : diagnostics_.sorted()) {
      const text::Place place = source_.place(d.span.begin);
      out.push_back(d.code + " " + std::to_string(place.line) + ":" + std::to_string(place.column));
    }
    return out;
  }
  /// The codes alone, errors only.
  std::vector<std::string> errors() const {
    std::vector<std::string> out;
    for (const text::Diagnostic& d : diagnostics_.sorted()) {
      if (d.severity == text::Severity::error) out.push_back(d.code);
    }
    return out;
  }
  std::string first_message() const {
    const auto all = diagnostics_.sorted();
    return all.empty() ? "" : text::describe(all.front().span) + " " + all.front().message;
  }
  const text::Diagnostics& diagnostics() const { return diagnostics_; }

 private:
  text::Sources sources_;
  const text::Source& source_;
  text::Diagnostics diagnostics_;
  std::vector<Protocol> protocols_;
};

using Codes = std::vector<std::string>;

/// A protocol with a part, these declarations, and a stage that holds these statements.
inline std::string with_stage(const std::string& declarations, const std::string& statements) {
  return "protocol test {\n" + declarations +
         "\npart plant\nstage stand of plant {\nlasts 10 days\n" + statements + "\n}\n}\n";
}

/// A protocol with these declarations and a plain stage.
inline std::string with(const std::string& declarations) {
  return with_stage(declarations, "");
}

}  // namespace reading
