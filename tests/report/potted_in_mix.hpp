#pragma once

#include "sample_plan.hpp"

namespace budwood::report::test {

inline const char* const potted_in_mix = R"(protocol potted "Potted" {
  supply peat "Peat-free base" in L pack 70 L
  supply lime "Ground lime" in kg hazard dust
  supply mix "Potting mix" in L
  recipe mix "Mix for potting" makes 100 L made 3 days before {
    use 60 L peat
    use 300 g lime
    time 30 min
    crew potters
    tool "Mixer"
    caution "Hands out of the running mixer."
    note "Moist, not wet."
  }
  part plant
  stage potting of plant {
    lasts 1 day
    do "Pot" on day 1 { rate 50 per hour  crew potters  use 1 L mix each }
  }
  stage growing of plant { lasts 13 days }
}
)";

/// 80 plants that are potted on Monday, 12 April; the mix is made on Friday.
struct PottedInMix : SamplePlan {
  PottedInMix() : SamplePlan(potted_in_mix) { add_batch("A1", 80, "2027-04-26"); }
};

}  // namespace budwood::report::test
