#include "reading.hpp"

/// What a share rests on: counts in batches, and how far these differ.
using namespace reading;

namespace {

std::string with_input(const std::string& input) {
  return "protocol p \"P\" {\n  " + input +
         "\n  part plant\n  stage grow of plant { lasts 9 days  loses 1 - take }\n}\n";
}

using Codes = std::vector<std::string>;

}  // namespace

TEST_CASE("a share says how far batches differ, in points around it") {
  const Reading reading(with_input(
      "input take = 80 % seen 412 of 520 in 6 batches spread 5.65685 % from 40 % to 100 %"));
  const language::Input& take = reading.protocol().inputs.front();
  CHECK(take.good == 412);
  CHECK(take.seen == 520);
  CHECK(take.batches == 6);
  // spread^2 / (p q) = 0.0032 / 0.16
  CHECK(take.likeness == doctest::Approx(0.02).epsilon(1e-4));
  CHECK(language::spread_of(0.8, take.likeness) == doctest::Approx(0.0565685));
  CHECK(reading.found().empty());
}

TEST_CASE("a spread stands without a count, and a count without a spread") {
  CHECK(Reading(with_input("input take = 80 % spread 5 %")).protocol().inputs.front().likeness > 0);
  CHECK(Reading(with_input("input take = 80 % spread 0 %")).protocol().inputs.front().likeness ==
        0);
  const Reading counted(with_input("input take = 80 % seen 80 of 100 in 2 batches"));
  CHECK(counted.protocol().inputs.front().batches == 2);
  CHECK(counted.protocol().inputs.front().likeness == 0);
}

TEST_CASE("where batches differ the share need not be that of all plants together") {
  CHECK(Reading(with_input("input take = 80 % seen 392 of 520 in 6 batches spread 5 %"))
            .found()
            .empty());
  CHECK(Reading(with_input("input take = 80 % seen 392 of 520 in 6 batches")).found() ==
        Codes{"evidence-differs 2:21"});
}

TEST_CASE("spreads and batches that cannot be") {
  CHECK(Reading(with_input("input take = 80 % spread 40 %")).errors() == Codes{"out-of-range"});
  CHECK(Reading(with_input("input take = 100 % spread 2 %")).errors() == Codes{"out-of-range"});
  CHECK(Reading(with_input("input take = 80 % spread 3 days")).errors() == Codes{"unit-mismatch"});
  CHECK(Reading(with_input("input take = 80 % seen 8 of 10 in 11 batches")).errors() ==
        Codes{"out-of-range"});
  CHECK(Reading(with_input("input take = 80 % seen 8 of 10 in 0 batches")).errors() ==
        Codes{"out-of-range"});
  CHECK(Reading(with_input("input take = 80 %\n  input length = 5 days spread 2 %")).errors() ==
        Codes{"unit-mismatch"});
}

TEST_CASE("a fingerprint knows a spread, and is as before without one") {
  const auto print = [](const std::string& input) {
    return Reading(with_input(input)).protocol().fingerprint;
  };
  CHECK(print("input take = 80 % seen 80 of 100 in 2 batches") !=
        print("input take = 80 % seen 80 of 100"));
  CHECK(print("input take = 80 % spread 5 %") != print("input take = 80 % spread 4 %"));
}
