#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "language/id.hpp"
#include "text/text.hpp"

/// The work of a stage, as the protocol model has it: when, by whom, with what.
namespace budwood::language {

/// Day 1 is the first day of a stage. `last` is its last day.
struct StageDay {
  bool last = false;
  int day = 1;
  text::Span span;
};

/// For how much an amount or a time is: once when nothing is said.
struct Share {
  bool each = false;           ///< for each plant
  FormulaId per = no_formula;  ///< for so many plants, or of `supply` where it is a load
  SupplyId supply;             ///< for each of this supply that was used before
  bool load = false;           ///< for every load of `per` that is begun
  bool area = false;           ///< for each square metre that the stage takes up

  /// Whether it depends on the number of plants.
  bool grows() const { return each || area || per != no_formula || supply.known(); }
};

struct Use {
  SupplyId supply;
  FormulaId amount = no_formula;  ///< base units
  Share share;
  /// So much is used each time that so many moles of light have come to a square metre of plants.
  FormulaId light = no_formula;
  /// Of what comes back: it is out until this stage ends; none: until the batch is ready.
  StageId until;
  text::Span span;
};

struct Record {
  std::string name;
  std::string unit;  ///< "" when it is not a number
  text::Span span{};
};

/// When work is done within its day, and what it follows there.
struct Hours {
  std::string at;   ///< "at 12:00", "in the morning"; "" when nothing is said
  int minute = -1;  ///< of the day, for the order; -1: nothing is said
  bool first = false;
  std::vector<WorkId> after;        ///< works of its stage that it is never done before
  std::vector<std::string> titles;  ///< of these
  bool overnight = false;           ///< what comes after it is for the following day
};
/// "in the evening, overnight"; "" when nothing is said.
std::string words(const Hours& hours);

struct Timing {
  enum class Kind : std::uint8_t { start, days, repeat };
  Kind kind = Kind::start;
  std::vector<StageDay> days;
  bool any_day = false;  ///< `between`: any day from the one in `days` up to `to` will do
  int interval = 1;      ///< days from one to the next
  StageDay from, to{true, 1, {}};
  bool comes = false;  ///< where the stage is over before its day, it is done on the last one
  int within = 0;      ///< days by which it may fall later
  bool must = true;    ///< a turn that finds no working day is a conflict; else it is left out
  Hours hours;
  text::Span span;
};

struct Work {
  std::string title;
  bool moves = false;  ///< plants are carried to the room of the stage: `move`
  int spaces = 0;  ///< plants are spaced to what Stage::space says from its day on; 0: other work
  int picks = 0;   ///< the picking of Stage::picks that it does, from 1; 0: other work
  Timing timing;
  std::uint16_t place = 0;      ///< its turn among works of its stage that fall on one day
  FormulaId rate = no_formula;  ///< plants a second for one person
  FormulaId time = no_formula;  ///< seconds
  Share time_share;
  FormulaId setup = no_formula;  ///< seconds, for one person, before the first plant
  FormulaId people = no_formula;
  FormulaId no_entry = no_formula;  ///< seconds for which nobody enters the room afterwards
  std::string crew;
  text::Span crew_span;
  std::vector<Use> uses;
  std::vector<std::string> tools, tags, cautions, notes;
  bool own_caution = false;          ///< a caution was written, besides the usual ones
  std::vector<std::string> hazards;  ///< that it meets
  std::vector<Record> records;
  text::Span span;
};

/// The work of carrying plants to the room of a stage on its first day, without time or crew.
Work move_work(const text::Span& span);

/// The first and the last day of its stage on which work may fall due, a number past all days for
/// the last day of the stage.
std::pair<int, int> days_of(const Work& work);

/// Whether it may fall due on this day of its stage.
bool may_be_due_on(const Work& work, int day);

/// Whether there is more of it to do, take or count with more plants.
bool grows_with_plants(const Work& work);

/// Whether a work is tagged so.
bool has_tag(const Work& work, std::string_view tag);

/// Work without which plants suffer: tagged `watch`, `water` or `settings`. Somebody on duty does
/// it on closed days.
bool looks_after_plants(const Work& work);

/// Whether a work goes on while plants wait for the next stage: it looks after them, repeats, and
/// no day is named as its last.
bool goes_on_in_wait(const Work& work);

/// Work at which people only look and write down what they see: it records, uses up nothing and has
/// no tag. A look says nothing of the day on which its stage may start, so it gives way to closed
/// days, except on day 1, where it goes with the start itself.
bool is_look(const Work& work);

}  // namespace budwood::language
