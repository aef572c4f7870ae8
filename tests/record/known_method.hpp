#pragma once

#include <doctest/doctest.h>

#include "language/language.hpp"
#include "language/parse/entry_reader.hpp"
#include "record/understand.hpp"

namespace budwood::record::test {

constexpr const char* method = R"(protocol bench_graft "Bench grafting" {
  supply tape "Grafting tape" in m
  supply mix "Potting mix" in L
  supply used "Used trays" in trays reused
  observe callus in %
  observe girth in mm
  observe buds
  part whip
  stage grafting of whip {
    lasts 2 days
    do "Cut" { time 1 min each  use 0.1 m tape each }
    do "Graft" daily { time 1 min each  use 0.1 m tape each  use 2 L mix }
  }
  stage healing of whip {
    lasts 12 days
    grades strong 80 %, weak 20 % sold
    do "Look" on day 6 { time 5 min  record callus  record girth  record buds  use 1 used }
  }
}
)";

/// A book of two batches, of which one has several orders of the same work.
class KnownMethod : public Known {
 public:
  KnownMethod() {
    text::Diagnostics diagnostics;
    document_ = language::read(sources_.add("method.bud", method), diagnostics);
    REQUIRE(document_.protocols.size() == 1);
  }

  std::vector<std::string> batches() const override {
    return {"BM27-1", "2027-A", "C", "C-c1", "C-c2"};
  }
  const language::Protocol* protocol_of(const std::string& batch) const override {
    const bool there = batch == "BM27-1" || batch == "2027-A" || batch.starts_with("C");
    return there ? &document_.protocols.front() : nullptr;
  }
  std::vector<std::string> orders_of(const std::string& /*batch*/) const override {
    return {"grafting/1/1", "grafting/2/1", "grafting/2/2", "healing/1/1"};
  }
  /// Healing is looked at every day.
  std::vector<std::string> orders_after(const std::string& /*batch*/,
                                        calendar::Day day) const override {
    if (day < *calendar::parse_iso_date("2027-04-10")) return {};
    return {"healing/1/1", "healing/1/2"};
  }
  std::vector<std::string> cultivars_of(const std::string& batch) const override {
    if (batch != "C") return {};
    return {"C-c1", "C-c2"};
  }
  std::string whole_of(const std::string& batch) const override {
    return batch.starts_with("C-") ? "C" : "";
  }
  /// C is a trial of two arms.
  std::vector<std::string> trays_of(const std::string& batch) const override {
    if (batch == "C") return {"1", "2", "3", "4"};
    if (batch == "C-c1") return {"1", "4"};
    return batch == "C-c2" ? std::vector<std::string>{"2", "3"} : std::vector<std::string>{};
  }
  std::optional<PlannedDays> days_of(const std::string& /*batch*/) const override {
    return PlannedDays{*calendar::parse_iso_date("2027-03-01"),
                       *calendar::parse_iso_date("2027-06-30")};
  }
  std::vector<const language::Supply*> supplies() const override {
    std::vector<const language::Supply*> out;
    for (const auto& supply : document_.protocols.front().supplies) out.push_back(&supply);
    return out;
  }
  std::vector<Entry> entries(const std::string& front) const override {
    std::vector<Entry> out;
    for (const Entry& entry : noted) {
      if (entry.id.starts_with(front)) out.push_back(entry);
    }
    return out;
  }

  std::vector<Entry> noted;

 private:
  text::Sources sources_;
  language::Document document_;
};

/// What reading some lines gives, and every finding as "code line:column".
struct Lines {
  std::vector<Entry> entries;
  std::vector<std::string> codes;
  std::vector<std::string> advice;

  Lines(const std::string& text, const Known& known) {
    text::Sources sources;
    text::Diagnostics diagnostics;
    const text::Source& source = sources.add("entries", text);
    const Usual usual{*calendar::parse_iso_date("2027-04-01"), ""};
    for (const auto& line : language::read_entries(source, diagnostics)) {
      if (auto entry = understand(line, known, usual, diagnostics)) entries.push_back(*entry);
    }
    for (const text::Diagnostic& d : diagnostics.sorted()) {
      const text::Place place = source.place(d.span.begin);
      codes.push_back(d.code + " " + std::to_string(place.line) + ":" +
                      std::to_string(place.column));
      advice.push_back(d.advice);
    }
  }
};

}  // namespace budwood::record::test
