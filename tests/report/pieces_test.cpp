#include "report/formats/pieces.hpp"

#include <doctest/doctest.h>

#include <atomic>
#include <sstream>

using namespace budwood::report;

TEST_CASE("rows that are written in pieces stand in their order") {
  for (const std::size_t rows : {0, 1, 999, 1000, 1001, 40'500}) {
    const auto write = [](std::ostream& out, std::size_t from, std::size_t to) {
      for (std::size_t i = from; i < to; ++i) out << i << '\n';
    };
    std::ostringstream loop;
    write(loop, 0, rows);
    std::ostringstream pieces;
    write_in_pieces(pieces, rows, write);
    CHECK(pieces.str() == loop.str());
  }
}

TEST_CASE("where nothing more can be written, no more is made") {
  std::ostringstream out;
  out.setstate(std::ios::failbit);
  std::atomic<std::size_t> made = 0;
  write_in_pieces(out, 1'000'000,
                  [&](std::ostream&, std::size_t from, std::size_t to) { made += to - from; });
  CHECK(made == 0);
}
