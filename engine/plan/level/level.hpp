/// Levelling: batches move within what they allow, so that rooms and crews do.
///
///   Plan --level--> Levelling, with a book that has the new dates
#pragma once

#include <cstdint>
#include <functional>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "book/book.hpp"
#include "calendar/calendar.hpp"
#include "levelling/levelling.hpp"

namespace budwood::plan {

struct Plan;

struct LevelOptions {
  /// What falls before this day stays where it is, as does what is done or was recorded.
  std::optional<calendar::Day> frozen;
  std::set<std::string> stay;   ///< batches that do not move
  std::uint64_t rounds = 2000;  ///< of improvement, at most
  double seconds = 0;           ///< of improvement, at most; 0: as long as the rounds take
  std::uint64_t seed = 1;
  /// Told now and then; false ends the improvement, and the best so far is kept.
  std::function<bool(const levelling::Progress&)> go_on;
};

/// A batch that does not stay where it was.
struct BatchMove {
  std::string batch;
  calendar::Day ready_before = 0, ready_after = 0;
  calendar::Day start_before = 0, start_after = 0;  ///< of its first stage
  int stages = 0;                                   ///< that start on another day
  int orders = 0;  ///< that fall on another day although their stage stays
  std::string because;
};

/// A batch for which there is not enough within what it allows.
struct Unresolved {
  std::string batch;
  std::vector<std::string> short_of;  ///< "mist_frame: 12 plants more than it holds ..."
  std::vector<std::string> reliefs;   ///< what would each do, the smallest change first
};

/// One change that would give batches a place, or make them less late.
struct Help {
  /// More of a room on all days from the first to the last, base units; or hours of a crew on some
  /// of them, seconds altogether.
  struct More {
    std::string name;
    bool room = false;
    bool duty = false;  ///< of whoever has duty
    double amount = 0;
    calendar::Day first = 0, last = 0;
  };
  std::vector<More> more;  ///< none: a batch is to be ready later
  std::string change;      ///< "3 h overtime of crew `propagation` on Fri 2027-03-12"
  /// Money; nothing when the book does not say all of it. Rooms have no price: more of them is to
  /// be hired.
  std::optional<double> price;
  std::vector<std::string> places;  ///< batches that find a place then
  std::vector<std::string> sooner;  ///< batches that are less late then
  long long days_sooner = 0;        ///< theirs together, times priority
};

struct Levelling {
  book::Book book;  ///< with the dates that were chosen
  std::vector<BatchMove> moves;
  std::vector<Unresolved> unresolved;
  /// What would help most over the season, first what helps most batches; each was tried.
  std::vector<Help> helps;
  /// Batches that cannot all find a place, whatever else is done with the season; proven.
  std::vector<std::vector<std::string>> proven_too_much;
  std::vector<std::string> held;  ///< batches whose dates levelling cannot work out
  int batches = 0;
  std::uint64_t rounds = 0;
  long long late_days = 0;        ///< days after the asked dates, times priority
  long long least_late_days = 0;  ///< proven: no levelled plan has less
  long long moved_days = 0;       ///< of stages and orders, from today's plan
};

/// Levels a plan. The batches of the result that moved have `book::Batch::levelled`; planned anew
/// they stand on the new dates.
Levelling level(const Plan& today, const LevelOptions& options);

}  // namespace budwood::plan
