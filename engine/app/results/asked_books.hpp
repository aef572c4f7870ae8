#pragma once

#include <memory>
#include <string>
#include <vector>

#include "app/console.hpp"
#include "app/planned_book.hpp"
#include "results/summary.hpp"

/// Several books of which something is asked at once: `results`, `learn`.
namespace budwood::app {

/// Books read and planned, and what is asked of them.
struct AskedBooks {
  std::vector<std::unique_ptr<PlannedBook>> planned;
  std::vector<results::Asked> asked;
  bool all_read = true;
  std::string problem;  ///< why they cannot be asked together; "" when they can
};

/// The current folder when none is named. A book that cannot be read is left out.
AskedBooks read_books(std::vector<std::string> folders);
/// Tells everything there is to say of them; gives the status to leave with.
int finish_all(const AskedBooks& books, bool done);
/// Tells why they cannot be asked together; gives the status to leave with.
int refuse(const AskedBooks& books);
/// That nothing was noted, and how to note it.
void note_nothing(AskedBooks& books);

}  // namespace budwood::app
