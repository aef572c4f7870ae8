#include "drawing/wrap.hpp"

#include <doctest/doctest.h>

namespace budwood::drawing {

TEST_CASE("lines of columns: the space between two words counts") {
  using Lines = std::vector<std::string>;
  CHECK(wrap("cut clean", 9) == Lines{"cut clean"});
  CHECK(wrap("cut clean", 8) == Lines{"cut", "clean"});
  CHECK(wrap("cut\n\nclean ", 20) == Lines{"cut", "", "clean"});
  CHECK(wrap("", 8) == Lines{""});
}

TEST_CASE("lines of columns: a word that is too long goes on, after a joint where it has one") {
  using Lines = std::vector<std::string>;
  CHECK(wrap("take root_stock_27", 10) == Lines{"take", "root_", "stock_27"});
  CHECK(wrap("abcdefgh", 3) == Lines{"abc", "def", "gh"});
}

}  // namespace budwood::drawing
