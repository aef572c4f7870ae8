#pragma once

#include <cstddef>
#include <functional>
#include <iosfwd>

namespace budwood::report {

/// Writes the rows from one to another, the last left out.
using WriteRows = std::function<void(std::ostream& out, std::size_t from, std::size_t to)>;

/// Writes rows in their order, hundreds of thousands of them on several cores. `write` must look at
/// nothing that another row changes. Stops where nothing more can be written. `rows_a_piece`: so
/// many take some milliseconds, to which the start of a thread is nothing.
void write_in_pieces(std::ostream& out, std::size_t rows, const WriteRows& write,
                     std::size_t rows_a_piece = 1000);

}  // namespace budwood::report
