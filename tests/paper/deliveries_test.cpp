#include <doctest/doctest.h>

#include <sstream>

#include "../report/potted_in_mix.hpp"
#include "paper/paper.hpp"

using namespace budwood;
using budwood::report::test::PottedInMix;

TEST_CASE("a shopping list has a line for each delivery, with two boxes to tick") {
  PottedInMix book;
  const plan::Needs needs = plan::total_needs(book.plan());
  std::ostringstream out;
  const std::size_t lines = paper::write_deliveries(out, book.plan(), needs, paper::PageSize::a4);
  CHECK(lines > 0);
  const std::string page = out.str();
  std::size_t boxes = 0;
  for (std::size_t at = page.find("\"box small\""); at != std::string::npos;
       at = page.find("\"box small\"", at + 1)) {
    ++boxes;
  }
  CHECK(boxes == 2 * lines);
  CHECK(page.find("nobody named") != std::string::npos);
}

TEST_CASE("a shopping list without lines says so") {
  PottedInMix book;
  std::ostringstream out;
  CHECK(paper::write_deliveries(out, book.plan(), {}, paper::PageSize::a4) == 0);
  CHECK(out.str().find("Nothing has to be bought.") != std::string::npos);
}
