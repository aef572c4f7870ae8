#pragma once

#include <doctest/doctest.h>

#include <cmath>
#include <memory>
#include <string>
#include <vector>

#include "../day.hpp"
#include "sheet/columns/shown.hpp"
#include "sheet/sheet.hpp"
#include "sheet/site/site.hpp"
#include "sheet/template/compile.hpp"
#include "sheet/template/template.hpp"
#include "sheet/template/trial.hpp"

/// Compiles protocol text for a test and fills a sheet with its batches.
namespace budwood::sheet::test {

using budwood::tests::day;

/// One line a diagnostic: "error no-value 3:5 Message. Advice." and an indented line for each
/// related place.
inline std::string listed(const text::Diagnostics& diagnostics) {
  const auto place = [](const text::Span& span) {
    if (span.source == nullptr) return std::string();
    const text::Place p = span.source->place(span.begin);
    return std::to_string(p.line) + ":" + std::to_string(p.column) + " ";
  };
  std::string out;
  for (const text::Diagnostic& d : diagnostics.sorted()) {
    const char* severities[] = {"error", "warning", "note"};
    out += severities[static_cast<int>(d.severity)];
    out += " " + d.code + " " + place(d.span) + d.message;
    if (!d.advice.empty()) out += " " + d.advice;
    out += "\n";
    for (const text::Related& related : d.related) {
      out += "  " + place(related.span) + related.message + "\n";
    }
  }
  return out;
}

/// The source of a span, as it is written.
inline std::string written(const text::Span& span) {
  return std::string(span.source->text().substr(span.begin, span.end - span.begin));
}

class Sample {
 public:
  explicit Sample(std::string content) : source_(sources_.add("sample.bud", std::move(content))) {
    std::vector<language::Protocol> protocols = language::read(source_, diagnostics_).protocols;
    const std::string problems = listed(diagnostics_);
    INFO(problems);
    REQUIRE(protocols.size() == 1);
    template_ = compile(std::move(protocols.front()), diagnostics_);
  }

  /// The template; the test fails when there is none.
  const Template& t() const {
    const std::string problems = listed(diagnostics_);
    INFO(problems);
    REQUIRE(template_ != nullptr);
    return *template_;
  }
  std::shared_ptr<const Template> shared() const { return template_; }
  bool compiled() const { return template_ != nullptr; }
  std::string problems() const { return listed(diagnostics_); }
  const text::Diagnostics& diagnostics() const { return diagnostics_; }

  CellId cell(const std::string& name) const {
    INFO(name);
    const CellId id = t().find(name);
    REQUIRE(id != no_cell);
    return id;
  }

  Sheet sheet(const std::vector<BatchFacts>& batches, Site site = {}) const {
    Sheet out((t(), template_), std::move(site));
    for (const BatchFacts& batch : batches) out.add(batch);
    out.evaluate();
    return out;
  }

  double value(const Sheet& sheet, const std::string& name, std::size_t row = 0) const {
    return sheet.value(cell(name), row);
  }

  /// What trying the protocol out finds.
  std::string findings() {
    t();
    try_out(template_, diagnostics_);
    return problems();
  }

 private:
  text::Sources sources_;
  const text::Source& source_;
  text::Diagnostics diagnostics_;
  std::shared_ptr<const Template> template_;
};

/// A protocol "sample" with these declarations and stages, and the part `plant`.
inline std::string protocol(const std::string& statements) {
  return "protocol sample \"Sample\" {\npart plant\n" + statements + "\n}\n";
}

/// The same to the last bit; no value is the same as no value.
inline bool same(double a, double b) {
  return a == b || (std::isnan(a) && std::isnan(b));
}

/// A stage of ten days with this loss.
inline std::string losing(const std::string& share) {
  return "stage s of plant { lasts 10 days  loses " + share + " }";
}

/// "2027-05-07 Fri".
inline std::string shown(double value) {
  if (std::isnan(value)) return "no date";
  const auto at = static_cast<Day>(value);
  return calendar::iso_date(at) + " " + std::string(calendar::short_name(calendar::weekday(at)));
}

inline BatchFacts ready_by(const std::string& date, double plants = 100) {
  BatchFacts batch;
  batch.plants = plants;
  batch.ready = day(date);
  return batch;
}

inline BatchFacts started_on(const std::string& date, double plants = 100) {
  BatchFacts batch;
  batch.plants = plants;
  batch.start = day(date);
  return batch;
}

inline BatchFacts not_before(const std::string& date, double plants = 100) {
  BatchFacts batch;
  batch.plants = plants;
  batch.not_before = day(date);
  return batch;
}

/// Monday to Friday, less closed days.
inline Site weekdays(const std::vector<std::string>& closed = {}) {
  using calendar::Weekday;
  std::vector<Day> days;
  for (const std::string& date : closed) days.push_back(day(date));
  Site site;
  site.working = calendar::WorkingDays(
      {Weekday::monday, Weekday::tuesday, Weekday::wednesday, Weekday::thursday, Weekday::friday},
      days);
  return site;
}

}  // namespace budwood::sheet::test
