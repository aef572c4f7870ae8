#include "library.hpp"

/// The grafts of the library against published figures.
using namespace budwood;
using namespace budwood::library::test;

TEST_CASE("Approach graft: the scion is sown before the stock") {
  // Hassell & Memmott, watermelon grafting methods, Clemson, after Lee & Oda 2003: five days, give
  // or take one.
  const Raised graft("approach_graft");
  CHECK(within(graft.start("sow_stock") - graft.start("sow_scion"), 4, 6));
}
