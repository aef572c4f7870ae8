#include "report/formats/pieces.hpp"

#include <algorithm>
#include <ostream>
#include <sstream>
#include <vector>

#include "threads/threads.hpp"

namespace budwood::report {

namespace {

/// So many are held before they are written: no more than some megabytes whatever a plan holds.
constexpr std::size_t pieces_held = 16;

}  // namespace

void write_in_pieces(std::ostream& out, std::size_t rows, const WriteRows& write,
                     std::size_t rows_a_piece) {
  const threads::Pieces pieces{rows, rows_a_piece};
  for (std::size_t first = 0; first < pieces.number() && out; first += pieces_held) {
    std::vector<std::string> texts(std::min(pieces_held, pieces.number() - first));
    threads::each_piece(texts.size(), [&](std::size_t i) {
      std::ostringstream text;
      write(text, pieces.begin(first + i), pieces.end(first + i));
      texts[i] = std::move(text).str();
    });
    for (const std::string& text : texts) out << text;
  }
}

}  // namespace budwood::report
