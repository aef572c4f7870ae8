/// The dates of a batch. Its delivery is a point of the network that can only fall on a working
/// day, so a ready date on a Sunday plans to the working day before.
#pragma once

#include "network/network.hpp"
#include "sheet/dates/floats.hpp"
#include "sheet/dates/series_lengths.hpp"
#include "sheet/dates/start_days.hpp"
#include "sheet/dates/work_days.hpp"
#include "sheet/dates/working_day_wait.hpp"
#include "sheet/site/site.hpp"
#include "sheet/under_way/deviation.hpp"

namespace budwood::sheet {

/// Why a batch has no plan: facts in words, each with the line that says it, and by how many days
/// they miss each other.
struct DateConflict {
  struct Line {
    std::string text;
    text::Span span;
  };
  /// A single change that would give a plan.
  struct Repair {
    std::string text = {};  ///< in words
    std::string cell = {};  ///< the date of the batch that it sets: "ready", "rooting.end"; or ""
    Day day = 0;            ///< to which day
  };
  std::vector<Line> lines;
  int misses = 0;
  std::vector<Repair> repairs;
};

/// Day numbers of one stage. The range of its end is what nature's lengths allow: where all of them
/// are the shortest, and where all are the longest. First stages then start as planned, unless what
/// they are tied to moves them; every other one starts as soon as what it waits for is over and the
/// day allows it, in a slow year not before its planned day. A pinned date stays, and so does what
/// nothing uncertain comes before.
struct StageDates {
  Day start = 0, end = 0;
  Day earliest = 0, latest = 0;
  int float_days = 0;  ///< see Floats
};

/// Days on which a date cannot fall, one after the other and for the same reason.
struct ClosedDays {
  enum class Kind : std::uint8_t {
    work,       ///< work with a crew finds nobody
    season,     ///< the stage would start out of its season
    hand_over,  ///< nobody hands plants over
    move,       ///< plants come from another room, and nobody is there to carry them
  };
  Kind kind = Kind::work;
  Day first = 0, last = 0;
  StageId stage;
  std::string work;        ///< its title
  Day due = 0;             ///< of a start on `last`: the day on which the work is due
  int within = 0;          ///< days by which it may fall later and still be in the stage
  bool cut_short = false;  ///< it might fall later still, but the stage is over then
  text::Span span;
};

/// One step of why a date of a batch is not later: the cell, its day, and what holds it there.
struct DateReason {
  enum class Hold : std::uint8_t {
    length,    ///< of a stage
    follows,   ///< what follows a stage waits no longer than it may, nor comes before its end
    after,     ///< `after ... by` or `starts within`
    ready,     ///< the day by which the batch is to be ready
    started,   ///< it is as early as it can be after the day on which the batch starts
    pinned,    ///< a date that the batch sets
    calendar,  ///< no plan goes further
  };
  CellId cell = no_cell;
  Day day = 0;
  std::vector<DateConflict::Line> facts;  ///< in words
  Hold hold = Hold::calendar;
  Day bound = 0;  ///< what the hold alone would allow; the days from there back to `day` are closed
  bool by_end = false;      ///< a length holds the end of its stage; what follows its start
  std::optional<int> days;  ///< of a length or wait; nothing: temperatures or closed days decide
  StageId stage;            ///< whose line says so
  StageId other;            ///< the one that follows; none: delivery
  bool recorded = false;    ///< a pin: it has happened
  text::Span span;          ///< where the hold is written
  std::vector<ClosedDays> closed;  ///< the latest first
};

/// Works out the dates of one batch after the other over the time network of a template.
class DatePlanner {
 public:
  DatePlanner(const Template& t, const Site& site);

  /// Sets the network to what binds the dates of a batch: lengths, waits, days on which stages can
  /// start, dates that it fixes; not the day by which it is to be ready. False when a length has no
  /// value.
  bool bind(const BatchFacts& batch, const Columns& columns, std::size_t row);
  const network::Network& network() const { return network_; }

  /// Plans the batch in row `row` of the columns. Nothing when its dates contradict each other;
  /// then `conflict` says why. A row whose lengths have no value has no plan and no conflict.
  bool plan(const BatchFacts& batch, const Columns& columns, std::size_t row);

  const std::vector<StageDates>& stages() const { return stages_; }
  Day ready() const { return ready_; }
  const std::optional<DateConflict>& conflict() const { return conflict_; }
  /// What a batch under way does not keep; empty when it keeps all.
  const std::vector<Deviation>& deviations() const { return deviations_; }

  /// Why a date of the batch that was planned last is where it is, step by step up to a date that
  /// the batch sets.
  std::vector<DateReason> reasons(network::PointId point, const BatchFacts& batch) const;
  /// Why a date of a batch that was started, planned last, is not earlier: from it back to a date
  /// that the batch sets.
  std::vector<DateReason> reasons_not_earlier(network::PointId point,
                                              const BatchFacts& batch) const;

 private:
  bool set_bounds(const BatchFacts& batch, const Columns& columns, std::size_t row);
  bool set_series_length(const DateLink& link, network::LinkId id, const Columns& columns,
                         std::size_t row);
  DayWindow window_of(const BatchFacts& batch) const;
  void set_pins(const BatchFacts& batch);
  void free_recorded(const BatchFacts& batch);
  network::PointId finish() const {
    return static_cast<network::PointId>(network_.point_count() - 1);
  }
  const std::vector<StageId>& takes(std::int32_t stage) const {
    return t_.protocol.stages[static_cast<std::size_t>(stage)].takes;
  }
  bool solve(const BatchFacts& batch);
  // under_way/dates_under_way.cpp
  Day first_day_of_sources() const;
  void hold_to_today(const BatchFacts& batch);
  void find_begun_by_themselves(Day today);
  Day last_end_before(std::int32_t stage) const;
  bool solve_under_way(const BatchFacts& asked, const Columns& columns, std::size_t row);
  bool make_room(BatchFacts& batch);
  std::optional<int> turn_to_give_way(const network::Fact& fact, const network::Conflict& conflict,
                                      const BatchFacts& batch);
  const network::Fact* first_to_give_way(const network::Conflict& conflict,
                                         const BatchFacts& batch);
  bool began_on_any_day(network::PointId point, const BatchFacts& batch);
  void give_way(const network::Fact& fact, int days, BatchFacts& batch);
  void free_length(network::LinkId id);
  const calendar::DaySet* own_season(network::PointId start, const BatchFacts& batch);
  // under_way/stretch.cpp
  std::optional<DayWindow> reach_by_nature(std::int32_t stage, Day start, const Columns& columns,
                                           std::size_t row);
  void find_reaches(const Columns& columns, std::size_t row);
  bool can_stretch(const network::Fact& fact, const network::Conflict& conflict) const;
  void stretch(const network::Fact& fact, int days);
  void hold_stretched();
  void tell_deviations(const BatchFacts& asked, const Columns& columns, std::size_t row);
  void tell(Deviation::Kind kind, std::int32_t stage, bool happened, int days, std::string text,
            const text::Span& span);
  void tell_length(const DateLink& link, const Columns& columns, std::size_t row);
  void tell_start(std::int32_t stage);
  void tell_out_of_season(std::int32_t stage);
  void tell_nobody_there(const ClosedDays& closed);
  void tell_wait(const DateLink& link, const Columns& columns, std::size_t row);
  void tell_after(const DateLink& link, const Columns& columns, std::size_t row);
  void tell_wanted(const Pin& pin);
  void tell_missed_start(const BatchFacts& asked);
  // started.cpp
  bool solve_started(const BatchFacts& batch);
  bool begun(std::int32_t stage) const;
  std::optional<std::int32_t> first_stage(Day start);
  void hold_followers(std::int32_t first);
  std::optional<Day> first_start_from(Day day, const BatchFacts& batch);
  std::optional<Day> nearest_start(const BatchFacts& batch);
  void describe_start(const BatchFacts& batch);
  // date_ranges.cpp
  enum class Pace : std::uint8_t { quick, slow };
  bool solve_ranges(const Columns& columns, std::size_t row);
  void find_open(const Columns& columns, std::size_t row);
  bool is_uncertain(std::int32_t stage, const Columns& columns, std::size_t row) const;
  bool range_dates(Pace pace, const Columns& columns, std::size_t row);
  Day range_start(Pace pace, std::int32_t stage) const;
  std::optional<Day> range_end(Pace pace, std::int32_t stage, const Columns& columns,
                               std::size_t row);
  std::optional<Day> range_end_by_length(Pace pace, std::int32_t stage, const Columns& columns,
                                         std::size_t row);
  DateConflict describe(const network::Conflict& conflict, const BatchFacts& batch) const;
  DateConflict describe_never_over(std::int32_t stage) const;
  DateConflict::Line describe(const network::Fact& fact, const BatchFacts& batch) const;
  DateConflict::Line describe_date(const network::Fact& fact, const BatchFacts& batch) const;
  DateConflict::Line describe_closed_day(std::int32_t stage, Day start) const;
  std::optional<ClosedDays> closed_start(std::int32_t stage, Day start) const;
  std::size_t time_rank(const network::Fact& fact) const;
  std::vector<DateConflict::Repair> repairs_of(const network::Conflict& conflict,
                                               const BatchFacts& batch) const;
  DateConflict::Repair repair_of(const network::Repair& repair, const BatchFacts& batch) const;
  DateConflict::Repair repair_date(const network::Repair& repair, const BatchFacts& batch) const;
  std::string repair_link(const network::Repair& repair) const;
  std::string repair_wait(const network::Repair& repair) const;
  std::string repair_season(std::int32_t stage, Day start) const;
  std::string repair_closed_days(const network::Repair& repair) const;
  std::string stage_text(std::int32_t stage) const;
  std::string room_text(std::int32_t stage) const;
  network::LinkId length_link(std::int32_t stage) const;
  int length_from(std::int32_t stage, Day start) const;
  std::string season_text(std::int32_t stage, Day start) const;
  bool is_edge(const network::Fact& fact, const BatchFacts& batch) const;
  // date_reasons.cpp
  CellId cell_at(network::PointId point) const;
  void describe_step(DateReason& reason, const network::Binding& step,
                     const BatchFacts& batch) const;
  void describe_link_step(DateReason& reason, const network::Binding& step) const;
  bool is_held_early(const network::Binding& step, const BatchFacts& batch) const;
  static bool is_of_link(const network::Fact& fact);
  void describe_own_date(DateReason& reason, const network::Binding& step,
                         const BatchFacts& batch) const;
  std::vector<ClosedDays> closed_between(network::PointId point, Day after, Day last) const;
  DateConflict::Line describe_hold(const network::Binding& step,
                                   std::optional<network::PointId> through,
                                   const BatchFacts& batch) const;
  DateConflict::Line describe_link(const DateLink& link, bool high) const;

  const Template& t_;
  const Site& site_;
  WorkingDayWait working_day_wait_;
  SeriesLengths series_lengths_;
  /// The first links are those of the layout, in its order; limits for waits come after them.
  network::Network network_;
  std::vector<std::uint32_t> limited_links_;  ///< by limit: the layout's link that it belongs to
  network::Solver solver_;
  Floats floats_;
  std::vector<bool> recorded_;              ///< by point
  std::vector<std::optional<Day>> pinned_;  ///< by point: the day on which the batch fixes it
  std::optional<std::int32_t>
      never_over_;  ///< a stage that the temperatures never bring to its end
  std::vector<Day> days_;
  std::vector<bool> open_;       ///< by point: whether nature can move it
  std::vector<Day> range_days_;  ///< by point, while ranges are worked out
  std::vector<StageDates> stages_;
  Day ready_ = 0;
  std::optional<DateConflict> conflict_;
  std::vector<Deviation> deviations_;
  std::vector<bool> over_;  ///< by point: it has happened, whether anybody noted it or not
  /// When a stage that has begun may be over by nature.
  struct Reach {
    Day start = 0;  ///< as noted, or as early as it can have begun by itself
    DayWindow ends;
    bool noted = false;
  };
  std::vector<std::optional<Reach>> reaches_;    ///< by stage that is not noted to be over
  std::vector<bool> by_itself_;                  ///< by stage: it has begun without anybody
  std::vector<network::PointId> out_of_season_;  ///< starts that no longer wait for their season
  StartDays start_days_;
};

/// The number of days in a cell, or `otherwise` where there is no cell; nothing when it has no
/// usable value.
std::optional<int> days_in(const Columns& columns, CellId cell, std::size_t row, int otherwise);

}  // namespace budwood::sheet
