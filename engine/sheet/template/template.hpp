/// A protocol compiled once: cells in the order of their evaluation, formulas as postfix
/// programs. Batches are rows, so no syntax tree is walked for a batch.
#pragma once

#include <string>
#include <vector>

#include "calendar/calendar.hpp"
#include "language/model.hpp"
#include "sheet/columns/program.hpp"

namespace budwood::sheet {

using language::StageId;

/// One named value of a batch: where it stands, what it rests on, and how it is worked out.
struct Cell {
  enum class Kind : std::uint8_t {
    input,    ///< given: by the batch, else the site, else the protocol
    ordered,  ///< the plants ordered
    sure,     ///< how sure the batch wants to be of them
    lead,     ///< 1; 0 when what does not grow with the plants is done with another batch
    formula,  ///< worked out by its program
    date,     ///< one of the dates, which are worked out together
  };
  std::string name;
  std::string label;  ///< for people, where the name says too little: "the loss of `healing`"
  Kind kind = Kind::formula;
  bool may_lack_value = false;  ///< of a rule: then it has nothing to say
  bool bounds_dates = false;    ///< the dates rest on it
  language::Type type;
  std::optional<units::Unit> unit;  ///< for showing, where the type does not say it
  /// The written formula that it comes from, if any; what the program does with its value then
  /// (rounding, times the plants) stands in no formula.
  language::FormulaId formula = language::no_formula;
  std::uint32_t first = 0;  ///< its program in Template::code
  std::uint32_t count = 0;
  std::vector<CellId> uses;     ///< the cells that the program reads
  std::vector<CellId> used_by;  ///< the cells whose programs read this one
  text::Span span;
};

/// What a cell is called in a sentence.
std::string describe(const Cell& cell);

struct UseCells {
  CellId amount = no_cell;  ///< each time the work is done, base units of the supply
  CellId light = no_cell;   ///< mol/m2 of light, each time that so much has come; no cell: once
};

struct WorkCells {
  CellId time = no_cell;      ///< person-seconds each time; no cell when the work names no labour
  CellId people = no_cell;    ///< no cell when it does not say
  CellId no_entry = no_cell;  ///< seconds for which the room is closed afterwards; no cell: open
  CellId times = no_cell;     ///< how often, turns that find no working day left out
  std::vector<UseCells> uses;
};

struct SettingCells {
  CellId first = no_cell, last = no_cell, high = no_cell, hours = no_cell, over = no_cell;
  CellId light = no_cell;
};

struct MistCells {
  CellId pulse = no_cell, pulse_last = no_cell, every = no_cell, every_last = no_cell;
  CellId over = no_cell;
};

/// The count that a share of plants rests on: `good` of `seen` came through, in so many `batches`
/// (0: nobody said), whose plants have a `likeness`: 0 where batches differ by luck alone. No
/// cells: on none.
struct Evidence {
  CellId good = no_cell, seen = no_cell, batches = no_cell, likeness = no_cell;
  language::InputId input;  ///< that alone says what the stage loses
  bool lost = true;         ///< the input is what is lost
};

struct StageCells {
  CellId shortest = no_cell, usual = no_cell, longest = no_cell;  ///< days
  /// Of a stage whose length follows the site's temperatures. With degree-days, `shortest`, `usual`
  /// and `longest` are kelvin seconds; with chilling they are days. Where the
  /// stage keeps its temperature, all three are days and these are no cells.
  CellId series_lower = no_cell, series_upper = no_cell;  ///< kelvin
  CellId series_best = no_cell;                           ///< kelvin, of vernalisation
  CellId series_target = no_cell;                         ///< of chilling
  CellId chilling = no_cell;                              ///< days that it takes at what is kept
  CellId gate_limit = no_cell;                            ///< days
  CellId wait = no_cell;                                  ///< days; no cell: see Stage::wait
  CellId held_air = no_cell;                              ///< kelvin; no cell: see Stage::held_air
  CellId start = no_cell, end = no_cell, days = no_cell;  ///< day numbers; days
  CellId earliest = no_cell, latest = no_cell;            ///< of the end, under nature's ranges
  CellId float_days = no_cell;                            ///< see Floats
  CellId plants = no_cell, left = no_cell;
  CellId loss = no_cell, survival = no_cell;  ///< shares; without a loss no cell, and 1
  CellId yield = no_cell;                     ///< no cell: 1
  CellId kept = no_cell;  ///< the share of what comes through that goes on; no cell: all
  std::vector<CellId> pick_shares, grade_shares;  ///< as written
  std::vector<CellId> picked;   ///< plants, as Stage::picks; what was counted can take its place
  std::vector<CellId> handled;  ///< the same in whole plants
  std::vector<CellId> grades;   ///< plants, as Stage::grades; what was counted can take its place
  Evidence evidence;            ///< of the survival
  CellId hours = no_cell;       ///< person-seconds
  std::vector<CellId> space;    ///< as Stage::space, in what is counted there
  language::List<WorkCells, language::Work> works;
  std::vector<SettingCells> settings;
  std::vector<MistCells> mists;
};

/// What a value must meet, whatever the inputs: checked once at the usual inputs and for each
/// batch.
struct Expectation {
  CellId cell = no_cell;
  double low = 0, high = 0;
  bool above_low = false;      ///< low itself is not allowed
  bool below_high = false;     ///< high itself is not allowed
  CellId not_below = no_cell;  ///< a cell that it must reach as well
  CellId plants = no_cell;     ///< where none of these are left, it is not judged
  std::string message;
  text::Span span;
};

/// A bound between two dates: low <= to - from <= high, in days.
struct DateLink {
  enum class Kind : std::uint8_t { length, wait, after, finish };
  Kind kind = Kind::length;
  std::uint32_t from = 0, to = 0;  ///< points: see DateLayout
  CellId low = no_cell, high = no_cell;
  int fixed_low = 0;  ///< when there is no cell
  int fixed_high = 0;
  bool bounded = true;          ///< false: no upper side
  bool to_working_day = false;  ///< the upper side is the next working day
  bool within = false;          ///< says nothing of what follows what
  bool by_series = false;       ///< a length that follows the site's temperatures
  std::int32_t stage = 0;       ///< the stage whose line says so
  text::Span span;
};

/// The time network of a protocol. Point 2 s is the start of stage s, 2 s + 1 its end, the last one
/// is the day on which the batch is ready.
struct DateLayout {
  std::vector<DateLink> links;
  std::vector<std::int32_t> order;  ///< stages, each after those it waits for
  std::vector<CellId> uses;         ///< the cells that bound the dates
  /// The dates themselves: start, end, earliest, latest and float of each stage, then the day on
  /// which the batch is ready.
  std::vector<CellId> cells;
  static std::uint32_t start_of(std::int32_t stage) {
    return 2 * static_cast<std::uint32_t>(stage);
  }
  static std::uint32_t end_of(std::int32_t stage) { return start_of(stage) + 1; }
};

/// Stages through which the same plants go without anything being added, divided or rounded: what
/// lies between two joins, and shorter where plants multiply, part, are thrown out or fill trays.
struct Chain {
  std::vector<StageId> stages;
  std::vector<StageId> next;  ///< the stages that take its plants; none: they are delivered
  CellId needed = no_cell;    ///< at its end, before they multiply
  CellId sure = no_cell;      ///< how sure it is made; where it alone loses plants, as the batch
};

/// How sure each chain is made where several lose plants is found by trying: counts/assurances.hpp.
struct Assurances {
  std::vector<CellId> levels;  ///< of the chains that lose plants, in their order
  std::vector<CellId> given;   ///< what trials start from
  std::vector<CellId> tried;   ///< in the order in which they are worked out; none: not tried
};

/// A protocol compiled: its cells in an order in which each comes after what it rests on.
/// Immutable; one template serves all batches.
struct Template {
  language::Protocol protocol;
  std::vector<Cell> cells;
  std::vector<Instruction> code;
  std::vector<WorkPlace> works;
  std::vector<CellId> order;  ///< `dates_turn` stands for all dates together
  static constexpr CellId dates_turn = no_cell - 1;
  std::vector<std::uint32_t> turn;  ///< by cell: its place in `order`; of dates that of them all
  std::vector<bool> countable;      ///< by cell: what was counted can take its place

  language::List<CellId, language::Input> inputs;  ///< as in the protocol, like the next two
  std::vector<CellId> lets, requirements;
  /// A program for each piece of each requirement's message; empty for plain text.
  std::vector<std::vector<std::vector<Instruction>>> messages;
  StageCellsList stages;
  std::vector<Chain> chains;  ///< in the order of their first stages
  Assurances assurances;
  CellId ordered = no_cell;
  CellId sure = no_cell;        ///< how sure the number must be; 0: as it comes out on average
  CellId spare = no_cell;       ///< the share by which more than ordered is aimed at
  CellId full_trays = no_cell;  ///< 1: what is grown in trays starts with full ones
  CellId lead = no_cell;
  CellId ready = no_cell;
  CellId hours = no_cell;
  DateLayout dates;
  std::vector<Expectation> expectations;

  const Cell& cell(CellId id) const { return cells[id]; }
  bool has(StageId id) const { return id.known() && id.place() < stages.size(); }
  bool can_be_counted(CellId id) const { return countable[id]; }
  std::span<const Instruction> program(CellId id) const {
    return std::span(code).subspan(cells[id].first, cells[id].count);
  }
  /// By name; no_cell when there is none.
  CellId find(std::string_view name) const;
};

}  // namespace budwood::sheet
