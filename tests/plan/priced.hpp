#pragma once

#include <doctest/doctest.h>

#include <optional>
#include <string>

#include "../day.hpp"
#include "plan/needs/needs.hpp"
#include "plan/plan.hpp"
#include "quantity.hpp"

namespace budwood::plan::test {

using budwood::tests::day;

/// Splice grafts, bound with clips that come back: three stages without losses, so that a batch
/// that is ready on a Monday is grafted on the Monday two weeks before.
inline const std::string splice = R"(protocol splice "Splice graft" {
  supply clip "Clip" in clips pack 200 reused
  supply label "Label" in labels pack 50
  supply mix "Mix" in L
  supply tray "Tray" in trays
  part plant "Plant"
  stage grafting of plant {
    lasts 1 day
    do "Graft" on day 1 {
      rate 40 per hour
      crew bench
      use 1 clip each
      use 1 label each
      use 1 tray per 72
    }
  }
  stage healing of plant {
    lasts 9 days
    do "Look" on day 2 { time 30 min }
  }
  stage growing of plant {
    lasts 4 days
    do "Feed" on day 1 { time 15 min  crew garden  use 250 mL mix each }
  }
})";

/// A book in memory at a site that is worked from Monday to Friday, and its needs.
class PricedBook {
 public:
  explicit PricedBook(const std::string& protocol = splice) {
    text::Diagnostics reading;
    book_.protocols = language::read(sources_.add("sample.bud", protocol), reading).protocols;
    REQUIRE(!reading.has_errors());
    book_.site.name.value = "Test";
    close({});
  }

  void close(const std::vector<calendar::Day>& closed) {
    using calendar::Weekday;
    book_.site.working = calendar::WorkingDays(
        {Weekday::monday, Weekday::tuesday, Weekday::wednesday, Weekday::thursday, Weekday::friday},
        closed);
  }

  void add(const std::string& id, int plants, const std::string& ready) {
    book::Batch batch;
    batch.id.value = id;
    batch.protocol.value = book_.protocols.front().name;
    batch.plants.value = plants;
    batch.ready = book::Placed<calendar::Day>{*calendar::parse_iso_date(ready), {}};
    book_.batches.push_back(std::move(batch));
  }
  /// Batches A, B and C, grafted on 12, 19 and 26 April, ready on 26 April, 3 and 10 May.
  void add_three() {
    add("A", 80, "2027-04-26");
    add("B", 100, "2027-05-03");
    add("C", 60, "2027-05-10");
  }

  language::Protocol& protocol() { return book_.protocols.front(); }
  language::Supply& supply(const std::string& name) {
    for (language::Supply& supply : protocol().supplies) {
      if (supply.name == name) return supply;
    }
    throw std::invalid_argument(name);
  }
  book::Site& site() { return book_.site; }
  book::SupplyFacts& facts(const std::string& supply) { return book_.site.supplies[supply]; }

  const Plan& plan() {
    text::Diagnostics diagnostics;
    plan_ = make_plan(book_, diagnostics);
    REQUIRE(!diagnostics.has_errors());
    return plan_;
  }
  Needs needs(const std::string& today = "") {
    return total_needs(plan(), calendar::parse_iso_date(today));
  }
  SupplyNeed need(const std::string& supply, const std::string& today = "") {
    for (SupplyNeed& one : needs(today).supplies) {
      if (one.supply == supply) return std::move(one);
    }
    throw std::invalid_argument(supply);
  }
  std::string id(std::uint32_t batch) const {
    return plan_.facts_of(plan_.batches[batch]).id.value;
  }
  /// "code message advice" a line.
  std::string problems_of_supplies() {
    text::Diagnostics diagnostics;
    check_site_supplies(plan(), diagnostics);
    return lines_of(diagnostics);
  }
  static std::string lines_of(const text::Diagnostics& diagnostics) {
    std::string out;
    for (const text::Diagnostic& d : diagnostics.sorted()) {
      out += d.code + " " + d.message + (d.advice.empty() ? "" : " " + d.advice) + "\n";
      for (const text::Related& related : d.related) out += "  " + related.message + "\n";
    }
    return out;
  }

 private:
  text::Sources sources_;
  book::Book book_;
  Plan plan_;
};

}  // namespace budwood::plan::test
