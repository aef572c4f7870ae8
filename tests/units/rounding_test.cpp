#include "units/rounding.hpp"

#include <doctest/doctest.h>

namespace budwood::units {

TEST_CASE("what is above a whole number by rounding alone is no more") {
  CHECK(round_up(35 * 0.2) == 7);
  CHECK(round_up(3 * 0.1 / 0.3) == 1);
  CHECK(round_down(0.29 * 100) == 29);
  CHECK(round_up(7.001) == 8);
  CHECK(round_down(6.999) == 6);
  CHECK(round_up(-0.5) == 0);
  CHECK(round_up(0) == 0);
}

TEST_CASE("whole numbers stay as they are, however large") {
  for (double n = 1; n <= 1e15; n *= 10) {
    CHECK(round_up(n) == n);
    CHECK(round_down(n) == n);
    CHECK(round_up(n + 1) == n + 1);
    CHECK(round_down(n - 1) == n - 1);
  }
}

TEST_CASE("slack grows with the values") {
  CHECK(slack(1, -1000) == slack(1000, 1));
  CHECK(slack(0, 0) == 0);
  CHECK(slack(2000, 0) > slack(1000, 0));
}

}  // namespace budwood::units
