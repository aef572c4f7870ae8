#pragma once

#include <memory>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "language/bases/layer.hpp"
#include "language/formulas/operation.hpp"
#include "text/text.hpp"

/// The syntax tree: what was written, in the order in which it was written, nothing resolved.
namespace budwood::language::syntax {

using text::Span;

struct Name {
  std::string text;
  Span span;
};

/// Text in quotes, without them.
struct Text {
  std::string value;
  Span span;
};

/// A unit as written, "" when none was.
struct UnitText {
  std::string text;
  Span span;
};

/// `day 3` or `last day`.
struct DayRef {
  bool last = false;
  int day = 1;
  Span span;
};

/// A name and what stands behind its points: `w.stage`.
struct Path {
  Name name;
  std::vector<Name> members;
  Span span;
};

/// Which stages, work or parts of a protocol a rule speaks of.
struct Selection {
  enum class Kind { stage, work, part };
  struct Place {
    enum class Relation { in, before, after };
    Relation relation = Relation::in;
    Path path;
  };
  Kind kind = Kind::stage;
  std::optional<Name> variable;
  std::optional<Name> tag;
  std::vector<Place> places;
  Span span;
};

enum class Quantifier { some, none, count, every };

/// A formula. What the fields hold depends on the kind.
struct Formula {
  enum class Kind {
    number,     ///< `number` and `unit`
    date,       ///< `number` is the day
    name,       ///< `name`
    member,     ///< `name` . `members`, perhaps on a `day`
    call,       ///< `name` ( arguments )
    apply,      ///< `operation` on arguments
    between,    ///< whether the first argument lies between the other two
    has,        ///< whether `name` has the feature `members`, perhaps on a `day`
    choose_of,  ///< `quantifier` of a `selection`, whose arguments are [where] [meets]
  };
  Kind kind = Kind::number;
  Span span;   ///< without brackets around all of it
  Span whole;  ///< with them
  double number = 0;
  UnitText unit;
  Name name;
  std::vector<Name> members;
  std::optional<DayRef> day;
  Quantifier quantifier = Quantifier::some;
  std::shared_ptr<const Selection> selection;
  bool has_where = false;
  Operation operation = Operation::add;
  std::vector<Formula> arguments;
};

/// Text with values in braces: "It ends on {healing.end}."
struct Message {
  struct Value {
    std::string before;  ///< the plain text in front of it
    Formula path;        ///< names with points between them
  };
  std::vector<Value> values;
  std::string rest;  ///< the plain text behind the last value
  Span span;

  /// All of it, as it was written.
  std::string text() const;
};

/// `low` or `low to high`.
struct Range {
  Formula low;
  std::optional<Formula> high;
  Span span;
};

/// On which days of a stage something holds; without ends it is the whole stage.
struct Days {
  std::optional<DayRef> from;
  std::optional<DayRef> to;
  std::optional<Formula> over;  ///< a number of days from the first on
  Span span;
};

enum class Half { both, day, night };
/// How a value is meant: as it stands, anywhere from it to `high`, or as an end of what is allowed.
enum class Bound { exact, range, at_least, at_most };

struct Crop {
  Text text;
};
struct SourceNote {
  Text text;
};
struct Note {
  Text text;
};
struct Edition {
  int number = 1;
  Span span;
};

struct Input {
  Name name;
  Formula usual;
  std::optional<Formula> lowest, highest;
  /// Counted: so many of so many.
  std::optional<double> good, seen;
  Span evidence;
  std::optional<Text> title;
};

struct Let {
  Name name;
  Formula value;
  std::optional<Text> title;
};

struct TablePoint {
  double at = 0;
  double value = 0;
  Span span;
};
struct Table {
  Name name;
  std::optional<Text> title;
  Name argument;  ///< only says what is looked up
  UnitText argument_unit, value_unit;
  std::vector<TablePoint> points;
  std::optional<Text> source;
};

struct Supply {
  Name name;
  std::optional<Text> title;
  UnitText unit;
  std::optional<Formula> pack, scrap;
  std::vector<Name> hazards;
  bool reused = false;
};

struct Part {
  Name name;
  std::optional<Text> title;
};

/// What people look at and write down.
struct Observe {
  Name name;
  UnitText unit;
  std::optional<Text> title;
};

struct After {
  Name stage;
  std::optional<Range> by;
  Span span;
};
struct Room {
  Name name;
};
struct Space {
  Formula amount;
  UnitText unit;
  Span span;
};
/// How degree-days are counted.
struct Heat {
  Formula base;
  std::optional<Formula> upper;
  std::optional<Name> method;
  Span span;
};
struct Lasts {
  Range range;
  std::optional<Formula> usually;
  std::optional<Heat> heat;
  Span span;
};
/// `may wait N days`; without a number it is `no wait`.
struct Wait {
  std::optional<Formula> most;
  Span span;
};
/// The start lies between the ends of the range from a date of another stage.
struct StartsWithin {
  Range range;
  Name stage;
  Name edge;  ///< "start" or "end"
  Span span;
};
struct SeasonDay {
  int day = 1;
  Name month;
  Span span;
};
struct Season {
  SeasonDay first, last;
  Span span;
};
/// A condition that must be seen before the stage may end.
struct Gate {
  Formula condition;
  std::optional<Formula> at_most;
  Text written;  ///< as it stands in the source
  Span span;
};
struct Loses {
  Formula share;
  Span span;
};
/// Plants come from a stage of another part.
struct Takes {
  Name stage;
  Span span;
};
struct Yields {
  Formula number;
  Span span;
};
/// What is more than needed is thrown out.
struct Discard {
  Name what;
  Span span;
};
/// As many plants as fill whole trays (or what else the supply is).
struct Whole {
  Name supply;
  Span span;
};
struct Minimum {
  Formula plants;
  Span span;
};

/// `keep` when `last` is absent, else `taper`. A `keep` of several levels is several of these.
struct Setting {
  Name name;
  Formula first;
  std::optional<Formula> last;
  std::optional<Formula> high;  ///< of a range
  Bound bound = Bound::exact;
  std::optional<int> steps;  ///< of a taper; none: every day a little
  std::optional<Formula> hours;
  Half half = Half::both;
  Days days;
  Span span;
};

/// Mist pulses; a taper may leave out the pulse, which then stays as it was.
struct Mist {
  bool taper = false;
  std::optional<Formula> pulse, pulse_last;
  std::optional<Formula> every, every_last;
  std::optional<int> from_minute, to_minute;  ///< minutes after midnight
  std::optional<int> steps;
  Days days;
  Span span;
};

struct Requirement {
  bool advice = false;
  Formula condition;
  Message message;
  Span span;
};

/// When work falls in its stage.
struct Timing {
  enum class Kind { start, days, repeat };
  Kind kind = Kind::start;
  std::vector<DayRef> days;         ///< for `on`
  std::optional<Formula> interval;  ///< for `every`; `daily` is every 1 day
  std::optional<DayRef> from, to;   ///< for `every` and `daily`
  std::optional<Formula> within;
  Span span;
};

struct Use {
  Name supply;
  std::optional<Formula> amount;
  std::optional<Formula> per;  ///< one amount for so many plants; `each` is 1
  bool each = false;
  std::optional<Name> until, until_edge;  ///< a stage and "end"
  Span span;
};

struct Record {
  Name name;
  UnitText unit;
};

struct Duration {
  Formula time;
  bool each = false;
  Span span;
};

struct Rate {
  Formula rate;
  Span span;
};

/// Nobody enters the room for so long after the work.
struct NoEntry {
  Formula time;
  Span span;
};

struct People {
  Formula number;
  Span span;
};

struct Work {
  Text title;
  Timing timing;
  std::vector<Rate> rates;
  std::vector<Duration> durations;
  std::vector<Duration> setups;
  std::vector<Name> crews;
  std::vector<People> people;
  std::vector<Use> uses;
  std::vector<Text> tools;
  std::vector<Name> tags;
  std::vector<Text> cautions;
  std::vector<Record> records;
  std::vector<Text> notes;
  std::vector<NoEntry> closures;
  Span span;
};

/// What to do when something is seen, or not yet seen, on a day.
struct Conditional {
  Formula condition;
  Text written;  ///< the condition as it stands in the source
  DayRef day;
  std::vector<Text> warnings;
  std::vector<Work> works;
  bool has_unread = false;  ///< a statement in it could not be read
  Span span;
};

/// A rule that is knowingly not kept, with the reason.
struct Waive {
  std::optional<Name> set;
  Name rule;
  Text reason;
  Span span;
};

using StageItem = std::variant<After, Takes, StartsWithin, Season, Gate, Room, Space, Lasts, Wait,
                               Loses, Yields, Discard, Whole, Minimum, Setting, Mist, Work, Note,
                               SourceNote, Requirement, Conditional, Waive>;

struct Stage {
  Name name;
  std::optional<Text> title;
  Name part;                 ///< the part that stands in the stage
  std::vector<Name> joined;  ///< for a join: the two parts that become `part`
  std::vector<StageItem> items;
  bool has_unread = false;        ///< a statement could not be read; what is missing may be that
  bool has_unread_after = false;  ///< it was an `after`
  Span head;
};

/// Stages that are gone through several times.
struct Repeat {
  int times = 1;
  std::vector<Stage> stages;
  Span span;
};

// What a protocol changes of the one that it is based on.

/// Another usual value of an input; the range and the rest stay unless they are given.
struct SetInput {
  Input input;
  Span span;
};

/// What is taken out. What `name` holds depends on the kind of thing.
struct Drop {
  std::string kind;           ///< its words: "stage", "work", "keep", "may wait", ...
  Name name;                  ///< of what has a name
  Text text;                  ///< of what is known by its text: work, notes, requirements
  std::optional<Name> stage;  ///< of work that is dropped outside of its stage
  Span span;
};

/// Statements that take the place of those of their kind in a work.
struct WorkChange {
  Work work;             ///< its title tells which work is meant
  bool retimes = false;  ///< it says on which days
  Span span;
};

/// Statements that take the place of those of their kind in a stage.
struct StageChange {
  Name name;
  std::optional<Text> title;
  std::vector<std::variant<StageItem, WorkChange, Drop>> items;
  Span head;
};

/// So many cycles of the repeated block in which a stage stands.
struct CycleChange {
  Name stage;
  int times = 1;
  Span span;
};

/// A stage more, behind or in front of another one.
struct Addition {
  Stage stage;
  bool before = false;
  Name place;
  Span span;
};

struct Rename {
  std::string kind;  ///< "stage", "part", "supply", "input", ..., "work"
  Name from, to;
  std::optional<Text> title;
  Text old_text, new_text;  ///< of work
  std::optional<Name> stage;
  Span span;
};

using Change = std::variant<SetInput, StageChange, CycleChange, Addition, Drop, Rename>;

/// The protocol on which another one is based.
struct Base {
  Name name;
  int edition = 1;
  Span span;
};

using ProtocolItem = std::variant<Edition, Crop, SourceNote, Note, Input, Let, Table, Supply, Part,
                                  Observe, Stage, Repeat, Requirement, Waive>;

struct Protocol {
  Name name;
  std::optional<Base> base;
  std::optional<Text> title;
  std::vector<ProtocolItem> items;
  std::vector<Change> changes;  ///< of the base, in the order written
  std::vector<Layer> layers;    ///< itself, then what it is based on, the nearest first
  /// Names whose declaration could not be read; using them is not a second mistake.
  std::vector<std::string> unread_names;
  bool has_unread = false;  ///< something in it could not be read
};

/// Conditions for each of what it selects. For steps `from` and `to` name two stages, one of which
/// takes the plants of the other.
struct ForEach {
  bool steps = false;
  Name from, to;
  Selection selection;
  std::optional<Formula> where;
  std::vector<ForEach> inner;
  std::vector<Requirement> requirements;
  Span span;
};

struct Rule {
  Name name;
  std::optional<Text> title;
  std::vector<Text> sources, notes;
  std::vector<ForEach> loops;
  std::vector<Requirement> requirements;
  bool has_unread = false;  ///< something in it could not be read
};

struct Rules {
  Name name;
  std::optional<Text> title;
  std::optional<Edition> edition;
  std::vector<Text> sources, notes;
  std::vector<Rule> rules;
};

struct File {
  std::vector<Protocol> protocols;
  std::vector<Rules> rule_sets;
};

}  // namespace budwood::language::syntax
