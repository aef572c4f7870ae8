#pragma once

#include <sstream>
#include <string>

#include "book/book.hpp"
#include "book/site/site.hpp"
#include "plan/plan.hpp"
#include "sample_plan.hpp"

namespace budwood::report::test {

inline const char* const plugs = R"(protocol plugs "Plugs" {
  part plant
  stage germinate of plant "Germinating" {
    lasts 4 days
    room chamber
    space ceil(plants / 50) trays
  }
  stage grow of plant "Growing on" {
    lasts 7 days
    room bench
    do "Pot" on last day { rate 100 per hour  crew potters }
  }
}
)";

/// 200 and 300 plants of which the second comes while the first stands there, in a chamber of 7
/// trays that is cleaned for two days; one potter for two hours a day.
class Loaded {
 public:
  Loaded() : sample_(plugs) {
    book::Site& site = sample_.book().site;
    book::Room chamber;
    chamber.holds = book::Written{{}, "7 trays", *units::parse_quantity("7 trays"), true};
    chamber.turnover = 2;
    site.rooms["chamber"] = chamber;
    site.rooms["bench"] = {};
    site.crews["potters"] = {1, 2 * 3600, {}, {}};
    sample_.add_batch("A", 200, "2027-05-07");
    sample_.add_batch("B", 300, "2027-05-11");
  }

  const plan::Plan& plan() { return sample_.plan(); }
  book::Book& book() { return sample_.book(); }

 private:
  SamplePlan sample_;
};

}  // namespace budwood::report::test
