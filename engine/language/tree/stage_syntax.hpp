#pragma once

#include "language/tree/work_syntax.hpp"

/// Stages and what stands in them. How a statement is described, statement_parts.hpp tells.
namespace budwood::language::syntax {

enum class Half { both, day, night };
/// How a value is meant: as it stands, anywhere from it to `high`, or as an end of what is allowed.
enum class Bound { exact, range, at_least, at_most };

struct After {
  static constexpr const Statement& statement = language::statement("after");
  Name stage;
  std::optional<Range> by;
  Span span;
  std::string about() const { return stage.text; }
  static void fields(auto& self, const auto& visit) {
    visit(self.stage, Refers::stage);
    visit(self.by);
  }
};

/// Plants come from a stage of another part.
struct Takes {
  static constexpr const Statement& statement = language::statement("takes");
  Name stage;
  Span span;
  static void fields(auto& self, const auto& visit) { visit(self.stage, Refers::stage); }
};

/// The start lies between the ends of the range from a date of another stage.
struct StartsWithin {
  static constexpr const Statement& statement = language::statement("starts within");
  static constexpr bool independent = true;
  Range range;
  Name stage;
  Name edge;  ///< "start" or "end"
  Span span;
  std::string about() const { return stage.text + "." + edge.text; }
  static void fields(auto& self, const auto& visit) {
    visit(self.range);
    visit(self.stage, Refers::stage);
    visit(self.edge);
  }
};

struct SeasonDay {
  int day = 1;
  Name month;
  Span span;
  static void fields(auto& self, const auto& visit) {
    visit(self.day);
    visit(self.month);
  }
};
struct Season {
  static constexpr const Statement& statement = language::statement("season");
  SeasonDay first, last;
  Span span;
  static void fields(auto& self, const auto& visit) {
    visit(self.first);
    visit(self.last);
  }
};

/// A condition that must be seen before the stage may end.
struct Gate {
  static constexpr const Statement& statement = language::statement("until");
  Formula condition;
  std::optional<Formula> at_most;
  Written written;
  Span span;
  static void fields(auto& self, const auto& visit) {
    visit(self.condition, Refers::observation);
    visit(self.at_most);
    visit(self.written, Refers::observation);
  }
};

struct Room {
  static constexpr const Statement& statement = language::statement("room");
  Name name;
  static void fields(auto& self, const auto& visit) { visit(self.name, Refers::room); }
};

/// What is taken up on some of the days: so much in all, of a supply, or for each plant.
struct SpaceLevel {
  Formula amount;
  std::optional<Formula> across;  ///< `15 cm by 15 cm`: for each plant
  UnitText unit;                  ///< may name a supply
  Days days;
  Span span;
  static void fields(auto& self, const auto& visit) {
    visit(self.amount, Refers::supply);
    visit(self.unit, Refers::supply);
    if (self.across) visit(self.across);
    if (self.days.said() && !self.days.from_the_first()) visit(self.days);
  }
};
struct Space {
  static constexpr const Statement& statement = language::statement("space");
  std::vector<SpaceLevel> levels;
  Span span;
  static void fields(auto& self, const auto& visit) {
    // The first one stands open, as it did when there was one only: fingerprints are older.
    for (auto& level : self.levels) {
      if (&level == &self.levels.front()) {
        SpaceLevel::fields(level, visit);
      } else {
        visit(level);
      }
    }
  }
};

/// How degree-days are counted.
struct Heat {
  Formula base;
  std::optional<Formula> upper;
  std::optional<Name> method;
  Span span;
  static void fields(auto& self, const auto& visit) {
    visit(self.base);
    visit(self.upper);
    visit(self.method);
  }
};
struct Lasts {
  static constexpr const Statement& statement = language::statement("lasts");
  Range range;
  std::optional<Formula> usually;
  std::optional<Heat> heat;
  Span span;
  static void fields(auto& self, const auto& visit) {
    visit(self.range);
    visit(self.usually);
    visit(self.heat);
  }
};

/// `may wait N days`; without a number it is `no wait`.
struct Wait {
  static constexpr std::string_view subject = "wait";
  std::optional<Formula> most;
  Span span;
  const Statement& described() const {
    return most ? language::statement("may wait") : language::statement("no wait");
  }
  static std::string_view form_word() { return "wait"; }
  static void fields(auto& self, const auto& visit) { visit(self.most); }
};

/// Plants stay until they are wanted, and some are lost for it.
struct Hold {
  static constexpr const Statement& statement = language::statement("holds");
  Formula most;
  std::optional<Formula> at;    ///< the air meanwhile
  std::optional<Formula> loss;  ///< a share for a time
  Span span;
  static void fields(auto& self, const auto& visit) {
    visit(self.most);
    visit(self.loss);
    // Absent it leaves no trace: fingerprints are older than it.
    if (self.at) visit(self.at);
  }
};

struct Loses {
  static constexpr const Statement& statement = language::statement("loses");
  Formula share;
  Span span;
  static void fields(auto& self, const auto& visit) { visit(self.share); }
};

struct Yields {
  static constexpr const Statement& statement = language::statement("yields");
  Formula number;
  Span span;
  static void fields(auto& self, const auto& visit) { visit(self.number); }
};

/// Plants become ready in portions.
struct Pick {
  Formula share;
  DayRef day;
  Span span;
  static void fields(auto& self, const auto& visit) {
    visit(self.share);
    visit(self.day);
  }
};
struct Picks {
  static constexpr const Statement& statement = language::statement("picks");
  std::vector<Pick> picks;
  Span span;
  static void fields(auto& self, const auto& visit) { visit(self.picks); }
};

/// Plants are sorted, and what becomes of them.
struct Grade {
  Name name;
  Formula share;
  std::optional<Text> way;
  Span span;
  static void fields(auto& self, const auto& visit) {
    visit(self.name);
    visit(self.share);
    visit(self.way);
  }
};
struct Grades {
  static constexpr const Statement& statement = language::statement("grades");
  std::vector<Grade> grades;
  Span span;
  static void fields(auto& self, const auto& visit) { visit(self.grades); }
};

/// What is more than needed is thrown out.
struct Discard {
  static constexpr const Statement& statement = language::statement("discard");
  Name what;
  Span span;
  static void fields(auto& self, const auto& visit) { visit(self.what); }
};

/// The plants stand under a cover, which has an air of its own.
struct Cover {
  static constexpr const Statement& statement = language::statement("under cover");
  Name what;  ///< the word behind `under`
  Span span;
  static void fields(auto&, const auto&) {}
};

/// As many plants as fill whole trays (or what else the supply is).
struct Whole {
  static constexpr const Statement& statement = language::statement("in whole");
  Name supply;
  Span span;
  static void fields(auto& self, const auto& visit) { visit(self.supply, Refers::supply); }
};

struct Minimum {
  static constexpr const Statement& statement = language::statement("minimum");
  Formula plants;
  Span span;
  static void fields(auto& self, const auto& visit) { visit(self.plants); }
};

/// `keep` when `last` is absent, else `taper`; `irrigate` with `light`. A `keep` of several levels
/// is several of these.
struct Setting {
  static constexpr std::string_view subject = "keep";
  Name name;
  Formula first;
  std::optional<Formula> last;
  std::optional<Formula> high;  ///< of a range
  Bound bound = Bound::exact;
  std::optional<int> steps;  ///< of a taper; none: every day a little
  std::optional<Formula> hours;
  std::optional<Formula> light;  ///< water each time that so much has come
  Half half = Half::both;
  Days days;
  Span span;
  const Statement& described() const {
    if (light) return language::statement("irrigate");
    return last ? language::statement("taper") : language::statement("keep");
  }
  std::string about() const { return name.text; }
  std::string thread() const { return "setting " + name.text; }
  static void fields(auto& self, const auto& visit) {
    if (self.light) {  // `irrigate` says what it sets, and no more of it
      visit(self.first);
      visit(self.light);
      visit(self.days);
      return;
    }
    visit(self.name);
    visit(self.bound);
    visit(self.first);
    visit(self.last);
    visit(self.high);
    visit(self.hours);
    visit(self.half);
    visit(self.days);
    visit(self.steps);
  }
};

/// Mist pulses; a taper may leave out the pulse, which then stays as it was.
struct Mist {
  static constexpr std::string_view subject = "mist";
  bool taper = false;
  std::optional<Formula> pulse, pulse_last;
  std::optional<Formula> every, every_last;
  std::optional<int> from_minute, to_minute;  ///< minutes after midnight
  std::optional<int> steps;
  Days days;
  Span span;
  const Statement& described() const {
    return taper ? language::statement("taper") : language::statement("mist");
  }
  std::string_view form_word() const { return taper ? "taper_mist" : "mist"; }
  std::string thread() const { return "mist"; }
  static void fields(auto& self, const auto& visit) {
    visit(self.pulse);
    visit(self.pulse_last);
    visit(self.every);
    visit(self.every_last);
    visit(self.from_minute);
    visit(self.to_minute);
    visit(self.days);
    visit(self.steps);
  }
};

/// Where something is from; said of a protocol or a stage.
struct SourceNote {
  static constexpr const Statement& statement = language::statement("source");
  static constexpr bool adds = true;
  Text text;
  std::string about() const { return text.value; }
  static void fields(auto& self, const auto& visit) { visit(self.text); }
};

struct Requirement {
  static constexpr bool independent = true;
  bool advice = false;
  Formula condition;
  Message message;
  Span span;
  const Statement& described() const {
    return advice ? language::statement("advise") : language::statement("require");
  }
  std::string about() const { return message.text(); }
  static void fields(auto& self, const auto& visit) {
    visit(self.condition);
    visit(self.message);
  }
};

/// What to do when something is seen, or not yet seen, on a day.
struct Conditional {
  static constexpr const Statement& statement = language::statement("if");
  Formula condition;
  Written written;
  DayRef day;
  std::vector<Text> warnings;
  std::vector<Work> works;
  bool has_unread = false;  ///< a statement in it could not be read
  Span span;
  std::string about() const { return written.value; }
  static void fields(auto& self, const auto& visit) {
    visit(self.condition, Refers::observation);
    visit(self.written, Refers::observation);
    visit(self.day);
    visit(self.warnings);
    visit(self.works);
  }
};

/// A rule that is knowingly not kept, with the reason.
struct Waive {
  static constexpr const Statement& statement = language::statement("waive");
  static constexpr bool independent = true;
  std::optional<Name> set;
  Name rule;
  Text reason;
  Span span;
  std::string about() const { return rule.text; }
  static void fields(auto& self, const auto& visit) {
    visit(self.set);
    visit(self.rule);
    visit(self.reason);
  }
};

using StageItem =
    std::variant<After, Takes, StartsWithin, Season, Gate, Room, Space, Lasts, Wait, Hold, Loses,
                 Yields, Picks, Grades, Discard, Cover, Whole, Minimum, Setting, Mist, Work, Move,
                 Note, SourceNote, Requirement, Conditional, Waive>;

struct Stage {
  static constexpr const Statement& statement = language::statement("stage");
  Name name;
  std::optional<Text> title;
  Name part;                 ///< the part that stands in the stage
  std::vector<Name> joined;  ///< for a join: the two parts that become `part`
  std::vector<StageItem> items;
  bool has_unread = false;        ///< a statement could not be read; what is missing may be that
  bool has_unread_after = false;  ///< it was an `after`
  Span head;
  std::string thread() const { return "part " + part.text; }
  static void fields(auto& self, const auto& visit) {
    visit(self.name);
    visit(self.title);
    visit(self.part, Refers::part);
    visit(self.joined, Refers::part);
    visit(self.items);
  }
};

/// Stages that are gone through several times.
struct Repeat {
  static constexpr const Statement& statement = language::statement("repeat");
  int times = 1;
  std::vector<Stage> stages;
  Span span;
  static void fields(auto& self, const auto& visit) {
    visit(self.times);
    visit(self.stages);
  }
};

}  // namespace budwood::language::syntax
