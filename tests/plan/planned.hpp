#pragma once

#include <doctest/doctest.h>

#include <memory>
#include <string>
#include <vector>

#include "plan/plan.hpp"
#include "quantity.hpp"

namespace budwood::plan::test {

/// A book in memory, worked Monday to Friday, and its plan.
class Planned {
 public:
  explicit Planned(const std::string& protocol) {
    text::Diagnostics reading;
    book_.protocols = language::read(sources_.add("sample.bud", protocol), reading).protocols;
    REQUIRE(!reading.has_errors());
    using calendar::Weekday;
    book_.site.name.value = "Test";
    book_.site.working = calendar::WorkingDays(
        {Weekday::monday, Weekday::tuesday, Weekday::wednesday, Weekday::thursday, Weekday::friday},
        {});
  }

  book::Batch& add(const std::string& id, int plants, const std::string& ready) {
    book::Batch batch;
    batch.id.value = id;
    batch.protocol.value = book_.protocols.front().name;
    batch.plants.value = plants;
    batch.ready = book::Placed<calendar::Day>{*calendar::parse_iso_date(ready), {}};
    book_.batches.push_back(std::move(batch));
    return book_.batches.back();
  }

  const Plan& plan() {
    plan_ = make_plan(book_, diagnostics_);
    return plan_;
  }

  /// "code message advice" a line.
  std::string problems() {
    plan();
    std::string out;
    for (const text::Diagnostic& d : diagnostics_.sorted()) {
      out += d.code + " " + d.message + (d.advice.empty() ? "" : " " + d.advice) + "\n";
    }
    return out;
  }

  book::Site& site() { return book_.site; }
  book::Book& book() { return book_; }

 private:
  text::Sources sources_;
  book::Book book_;
  text::Diagnostics diagnostics_;
  Plan plan_;
};

/// What would help, in words.
inline std::vector<std::string> texts_of(const std::vector<Repair>& repairs) {
  std::vector<std::string> out;
  for (const Repair& one : repairs) out.push_back(one.text);
  return out;
}

/// A chain of three stages with a bit of everything.
inline const std::string layering = R"(protocol layering "Layering" {
  edition 3
  input take = 80 % from 50 % to 100 %
  supply tie "Tie" in ties pack 100
  supply dome "Dome" in domes reused
  part layer "Layer"
  stage wound of layer {
    lasts 4 hours
    no wait
    room bench
    do "Ring the bark" at start { rate 40 per hour  crew cutters  use 1 tie each  tagged cutting
      record ringed in plants }
  }
  stage rooting of layer {
    lasts 18 to 24 days usually 20 days
    room tunnel
    loses 1 - take
    keep humidity 95 % until day 3
    taper humidity 95 % to 75 % from day 4 to day 14
    do "Cover" on day 1 { use 1 dome per 10 }
    do "Look" every 2 days from day 2 { time 15 min  crew cutters }
  }
  stage potting of layer {
    lasts 1 day
    do "Pot" on day 1 within 4 days { rate 60 per hour  crew cutters }
  }
  require potting.end <= 2027-09-01 else "Too late in the year."
})";

}  // namespace budwood::plan::test
