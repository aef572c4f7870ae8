#pragma once

#include <cstdint>
#include <memory>
#include <string>

#include "app/arguments.hpp"
#include "app/planned_book.hpp"
#include "plan/level/level.hpp"

namespace budwood::app {

/// `plan --level`, and how long and from what day on.
struct LevelArguments {
  bool level = false;
  bool keep = false;
  std::string time;  ///< "10 s"
  std::string frozen;
  std::int64_t rounds = 0;
  std::int64_t seed = 1;

  void add_to(CLI::App& command, const std::string& description);
  void add_keep(CLI::App& command);
};

/// What is wrong with the words; "" when nothing is.
std::string misuse_of(const LevelArguments& arguments);

/// A book levelled and planned anew. Stays where it is made.
struct LevelledBook {
  LevelledBook(const PlannedBook& planned, const LevelArguments& arguments,
               text::Diagnostics& diagnostics);
  LevelledBook(const LevelledBook&) = delete;
  LevelledBook& operator=(const LevelledBook&) = delete;

  plan::Levelling found;
  plan::Plan plan;
};

/// Levels a book, writes what moves, and keeps the dates when asked to. A picture shows the season
/// as it then is.
int run_level(const LevelArguments& arguments, const ResultArguments& result, PlannedBook& planned);

}  // namespace budwood::app
