#pragma once

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "book/batches/trial.hpp"
#include "book/yaml/written.hpp"
#include "calendar/calendar.hpp"

namespace budwood::book {

inline constexpr std::size_t longest_batch_id = 40;  ///< letters, digits, - and _

/// One date of a stage that is fixed by hand, or on which it was seen to start or end:
/// `grafting.start: 2027-02-01`.
struct Pin {
  enum class Side : std::uint8_t { start, end };
  std::string stage;
  Side side = Side::start;
  calendar::Day day = 0;
  text::Span span;
  bool recorded = false;  ///< it has happened; else it is only wanted
};

/// How many plants were counted when a stage was over: `grafting.left: 380`.
struct Count {
  std::string stage;
  std::int64_t plants = 0;  ///< 0 to 10,000,000
  text::Span span;
};

/// How many plants of a grade were counted, of all pickings of its stage.
struct GradeCount {
  std::string stage, grade;
  std::int64_t plants = 0;
  text::Span span;
};

/// The day of one work order, named as plans name it without its batch: `grafting/2/1`.
struct OrderDay {
  std::string order;
  calendar::Day day = 0;
  text::Span span;
  std::optional<double> plants{};  ///< that were done, where somebody noted it
};

/// How many plants will be wanted, where nobody knows it yet; what each too many or too few costs.
struct Demand {
  Placed<std::int64_t> least, usual, most;  ///< ascending, 0 to 10,000,000
  Written too_many;  ///< money that is lost on a plant that nobody wants, 0 or more
  Written too_few;   ///< money that is lost on a plant that is wanted and not there, 0 or more
  text::Span span;
};

/// Plants of a batch that somebody gets on a day.
struct Promise {
  std::int64_t plants = 0;  ///< 1 to 10,000,000
  calendar::Day on = 0;
  std::string whose;  ///< "" when nobody is named
  text::Span span;
};

/// What levelling chose for a batch.
struct Levelled {
  calendar::Day ready = 0;
  std::vector<Pin> dates;
  std::vector<OrderDay> orders;
  text::Span span;
};

/// So many plants of one protocol, ready by (or started on) a date. Exactly one of `ready`,
/// `start` and `not_before` is there. What is written with `every` and `times` is so many batches.
struct Batch {
  Placed<std::string> id;        ///< letters, digits, - and _, at most 40; unique in its book
  Placed<std::string> protocol;  ///< its name, or that of a variant: "bench_graft.splice"
  std::optional<Placed<int>> edition;
  std::optional<Placed<int>> kept_edition;  ///< of editions.yaml; what the batch says comes first
  Placed<std::int64_t> plants;              ///< wanted at the end, 1 to 10,000,000
  /// One of several cultivars that are raised together; "" when the batch is of one kind.
  std::string cultivar;
  std::optional<Trial> trial;  ///< it is one arm of a trial
  std::string split_from;      ///< what all these cultivars, or arms, are called in the file
  bool lead =
      true;  ///< false: work that does not grow with the plants is done with another cultivar
  std::optional<Placed<calendar::Day>> ready;
  std::optional<Placed<calendar::Day>> start;       ///< its first stage starts on that very day
  std::optional<Placed<calendar::Day>> not_before;  ///< it starts then or later
  std::optional<Placed<double>> sure;               ///< how sure the number must be, 0 < sure < 1
  std::optional<Placed<double>> usual_sure;         ///< what would hold if it did not say
  std::optional<Placed<double>> spare;        ///< the share by which more is aimed at, 0 to under 1
  std::optional<Placed<double>> usual_spare;  ///< what would hold if it did not say
  std::optional<Placed<bool>> full_trays;     ///< what is grown in trays starts with full ones
  std::optional<Placed<bool>> usual_full_trays;     ///< what would hold if it did not say
  std::map<std::string, Placed<std::string>> lots;  ///< by supply: where it came from
  std::map<std::string, Written> set;               ///< by input: this batch's own value
  std::vector<Pin> pins;           ///< in the order written; what was recorded comes last
  std::vector<Count> counted;      ///< in the order written
  std::vector<GradeCount> graded;  ///< by stage and grade
  bool looked_at = false;          ///< its plants were: a sample, a tray, something that was seen
  /// Levelling may make it ready so many days earlier or later, 0 to 366.
  std::optional<Placed<int>> early, late;
  std::optional<Placed<int>> priority;  ///< 1 to 100; levelling moves batches with less first
  std::optional<Demand> demand;         ///< none: `plants` are wanted, for sure
  std::vector<Promise> promised;        ///< by day
  std::vector<OrderDay> done;           ///< work that is done, and when
  /// Work that will not be done, and when that was said: a stage, a work of it, or one order.
  std::vector<OrderDay> left_out;
  std::optional<Placed<calendar::Day>> stopped;  ///< the day on which it was given up
  std::string stopped_because;
  std::optional<Levelled> levelled;
  std::string note;
  text::Span span;
};

}  // namespace budwood::book
