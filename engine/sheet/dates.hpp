#pragma once

#include "network/network.hpp"
#include "sheet/floats.hpp"
#include "sheet/series_lengths.hpp"
#include "sheet/site.hpp"
#include "sheet/start_days.hpp"
#include "sheet/working_day_wait.hpp"

namespace budwood::sheet {

/// Why a batch has no plan: facts in words, each with the line that says it, and by how many days
/// they miss each other.
struct DateConflict {
  struct Line {
    std::string text;
    text::Span span;
  };
  std::vector<Line> lines;
  int misses = 0;
  std::vector<std::string> repairs;  ///< single changes that would each give a plan
};

/// Day numbers of one stage. The range of its end is what nature's lengths allow when first stages
/// start as planned and every other one as soon as what it waits for is over and people work; a
/// pinned date stays.
struct StageDates {
  Day start = 0, end = 0;
  Day earliest = 0, latest = 0;
  int float_days = 0;  ///< see Floats
};

/// One step of why a date of a batch is not later: the cell, its day, and the facts that hold it
/// there, in words.
struct DateReason {
  CellId cell = no_cell;
  Day day = 0;
  std::vector<DateConflict::Line> facts;
};

/// Works out the dates of one batch after the other over the time network of a template.
class DatePlanner {
 public:
  DatePlanner(const Template& t, const Site& site);

  /// Plans the batch in row `row` of the columns. Nothing when its dates contradict each other;
  /// then `conflict` says why. A row whose lengths have no value has no plan and no conflict.
  bool plan(const BatchFacts& batch, const Columns& columns,
            std::size_t row);

  const std::vector<StageDates>& stages() const { return stages_; }
  Day ready() const { return ready_; }
  const std::optional<DateConflict>& conflict() const { return conflict_; }

  /// Why a date of the batch that was planned last is where it is, step by step up to a date that
  /// the batch sets.
  std::vector<DateReason> reasons(network::PointId point, const BatchFacts& batch) const;

 private:
  bool set_bounds(const BatchFacts& batch, const Columns& columns,
                  std::size_t row);
  bool set_series_length(const DateLink& link, network::LinkId id,
                         const Columns& columns, std::size_t row);
  DayWindow window_of(const BatchFacts& batch) const;
  void set_pins(const BatchFacts& batch);
  bool solve(const BatchFacts& batch);
  bool solve_ranges(const BatchFacts& batch, const Columns& columns,
                    std::size_t row);
  StageDates start_range(const BatchFacts& batch, std::int32_t stage) const;
  std::optional<Day> range_end(std::int32_t stage, CellId length, Day start,
                               const Columns& columns, std::size_t row);
  DateConflict describe(const network::Conflict& conflict, const BatchFacts& batch) const;
  DateConflict::Line describe(const network::Fact& fact, const BatchFacts& batch) const;
  DateConflict::Line describe_date(const network::Fact& fact, const BatchFacts& batch) const;
  DateConflict::Line describe_closed_day(std::int32_t stage, Day start) const;
  std::size_t time_rank(const network::Fact& fact) const;
  std::vector<std::string> repair_lines(const network::Conflict& conflict,
                                        const BatchFacts& batch) const;
  std::string repair_line(const network::Repair& repair, const BatchFacts& batch) const;
  std::string repair_link(const network::Repair& repair) const;
  std::string repair_season(std::int32_t stage, Day start) const;
  std::string repair_closed_days(const network::Repair& repair) const;
  std::string stage_text(std::int32_t stage) const;
  std::string season_text(std::int32_t stage, Day start) const;
  bool is_edge(const network::Fact& fact, const BatchFacts& batch) const;
  // date_reasons.cpp
  CellId cell_at(network::PointId point) const;
  DateConflict::Line describe_hold(const network::Binding& step,
                                   std::optional<network::PointId> through,
                                   const BatchFacts& batch) const;
  DateConflict::Line describe_link(const DateLink& link, bool high) const;

  const Template& t_;
  const Site& site_;
  WorkingDayWait working_day_wait_;
  SeriesLengths series_lengths_;
  calendar::DaySet after_working_day_;  ///< days whose eve is a working day
  /// The first links are those of the layout, in its order; limits for waits come after them.
  network::Network network_;
  std::vector<std::uint32_t> limited_links_;  ///< by limit: the layout's link that it belongs to
  network::Solver solver_;
  Floats floats_;
  std::vector<Day> days_;
  std::vector<StageDates> stages_;
  Day ready_ = 0;
  std::optional<DateConflict> conflict_;
  StartDays start_days_;
};

/// The number of days in a cell, or `otherwise` where there is no cell; nothing when it has no
/// usable value.
std::optional<int> days_in(const Columns& columns, CellId cell,
                           std::size_t row, int otherwise);

/// The day on which work due on `due` is done: that day, or with a crew the first working day
/// within its limits and before `stage_end`; nothing when there is none.
std::optional<Day> work_day(const language::Work& work, Day due, Day last_stage_day,
                            const calendar::WorkingDays& working);

}  // namespace budwood::sheet
