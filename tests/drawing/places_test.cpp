#include "drawing/places.hpp"

#include <doctest/doctest.h>

namespace budwood::drawing {

TEST_CASE("a place is taken once") {
  Places places;
  CHECK(places.take({0, 0, 10, 10}));
  CHECK_FALSE(places.take({9, 9, 10, 10}));
  CHECK(places.take({10, 0, 10, 10}));
  CHECK(places.take({9, 10, 1, 1}));
}

TEST_CASE("the place of text follows its anchor") {
  const double width = text_width("12 May", {10});
  CHECK(place_of({50, 20}, "12 May", {10}).x == 50);
  CHECK(place_of({50, 20}, "12 May", {10, false, TextStyle::Anchor::end}).right() ==
        doctest::Approx(50));
  CHECK(place_of({50, 20}, "12 May", {10, false, TextStyle::Anchor::middle}).x ==
        doctest::Approx(50 - width / 2));
}

TEST_CASE("labels are spread as little as they must") {
  CHECK(spread({10, 40}, 8, 0, 100) == std::vector<double>{10, 40});
  CHECK(spread({40, 10}, 8, 0, 100) == std::vector<double>{40, 10});
  CHECK(spread({10, 10, 10}, 8, 0, 100) == std::vector<double>{10, 18, 26});
  CHECK(spread({99, 98}, 8, 0, 100) == std::vector<double>{100, 92});
  // Without room for all of them they still stand apart.
  CHECK(spread({5, 5, 5}, 8, 0, 10) == std::vector<double>{0, 8, 16});
}

}  // namespace budwood::drawing
