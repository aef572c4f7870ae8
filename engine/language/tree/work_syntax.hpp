#pragma once

#include <variant>

#include "language/statements.hpp"
#include "language/tree/formula_syntax.hpp"

/// `do` blocks and what stands in them. How a statement is described, statement_parts.hpp tells.
namespace budwood::language::syntax {

/// Said of a protocol, a stage or a work.
struct Note {
  static constexpr const Statement& statement = language::statement("note");
  static constexpr bool adds = true;
  Text text;
  std::string about() const { return text.value; }
  static void fields(auto& self, const auto& visit) { visit(self.text); }
};

/// When work is done within its day, and what it follows there.
struct Hours {
  std::optional<int> minute;  ///< `at 12:00`
  std::optional<Name> part;   ///< `in the morning`
  bool first = false;
  std::vector<Text> after;  ///< titles of works
  bool overnight = false;
  Span span;  ///< of the first of them; none when nothing is said

  bool said() const { return minute || part || first || !after.empty() || overnight; }
  static void fields(auto& self, const auto& visit) {
    visit(self.minute);
    visit(self.part);
    visit(self.first);
    visit(self.after);
    visit(self.overnight);
  }
};

/// When work falls in its stage.
struct Timing {
  enum class Kind { start, days, repeat, between };
  Kind kind = Kind::start;
  std::vector<DayRef> days;         ///< for `on`
  std::optional<Formula> interval;  ///< for `every`; `daily` is every 1 day
  std::optional<DayRef> from, to;   ///< for `every`, `daily` and `between`
  std::optional<Formula> within;
  Hours hours;
  Span span;
  static void fields(auto& self, const auto& visit) {
    visit(self.days);
    visit(self.interval);
    visit(self.from);
    visit(self.to);
    visit(self.within);
    visit(self.hours);
  }
};

struct Rate {
  static constexpr const Statement& statement = language::statement("rate");
  Formula rate;
  Span span;
  static void fields(auto& self, const auto& visit) { visit(self.rate); }
};

/// For how much something is said: once, for each plant, or for so many of something.
struct Share {
  std::optional<Formula> per;  ///< for so many plants, for each of a supply, for an area
  bool each = false;
  std::optional<Name> load;  ///< `per` is how many of this make a load: plants, or a supply
};

struct Time {
  static constexpr const Statement& statement = language::statement("time");
  Formula time;
  Share share;
  Span span;
  static void fields(auto& self, const auto& visit) {
    visit(self.time);
    visit(self.share.each);
    if (self.share.per) visit(self.share.per, Refers::supply);
    if (self.share.load) visit(self.share.load, Refers::supply);
  }
};

struct Setup {
  static constexpr const Statement& statement = language::statement("setup");
  Formula time;
  Span span;
  static void fields(auto& self, const auto& visit) { visit(self.time); }
};

struct Crew {
  static constexpr const Statement& statement = language::statement("crew");
  Name name;
  static void fields(auto& self, const auto& visit) { visit(self.name, Refers::crew); }
};

struct People {
  static constexpr const Statement& statement = language::statement("people");
  Formula number;
  Span span;
  static void fields(auto& self, const auto& visit) { visit(self.number); }
};

struct Use {
  static constexpr const Statement& statement = language::statement("use");
  Name supply;
  std::optional<Formula> amount;
  Share share;
  std::optional<Formula> light;           ///< each time that so much has come
  std::optional<Name> until, until_edge;  ///< a stage and "end"
  Span span;
  std::string about() const { return supply.text; }
  static void fields(auto& self, const auto& visit) {
    visit(self.supply, Refers::supply);
    visit(self.amount);
    visit(self.share.each);
    visit(self.share.per, Refers::supply);
    if (self.share.load) visit(self.share.load, Refers::supply);
    if (self.light) visit(self.light);
    visit(self.until, Refers::stage);
    visit(self.until_edge);
  }
};

struct Tool {
  static constexpr const Statement& statement = language::statement("tool");
  static constexpr bool adds = true;
  Text text;
  static void fields(auto& self, const auto& visit) { visit(self.text); }
};

struct Tag {
  static constexpr const Statement& statement = language::statement("tagged");
  static constexpr bool adds = true;
  static constexpr bool independent = true;
  Name name;
  static void fields(auto& self, const auto& visit) { visit(self.name); }
};

struct Caution {
  static constexpr const Statement& statement = language::statement("caution");
  static constexpr bool adds = true;
  Text text;
  static void fields(auto& self, const auto& visit) { visit(self.text); }
};

struct Record {
  static constexpr const Statement& statement = language::statement("record");
  static constexpr bool adds = true;
  static constexpr bool independent = true;
  Name name;
  UnitText unit;
  static void fields(auto& self, const auto& visit) {
    visit(self.name, Refers::observation);
    visit(self.unit);
  }
};

/// Nobody enters the room for so long after the work.
struct NoEntry {
  static constexpr const Statement& statement = language::statement("no entry");
  Formula time;
  Span span;
  static void fields(auto& self, const auto& visit) { visit(self.time); }
};

using WorkItem =
    std::variant<Rate, Time, Setup, Crew, People, Use, Tool, Tag, Caution, Record, Note, NoEntry>;

struct Work {
  static constexpr const Statement& statement = language::statement("do");
  static constexpr std::string_view subject = "work";
  Text title;
  Timing timing;
  std::vector<WorkItem> items;
  Span span;
  std::string about() const { return title.value; }
  static void fields(auto& self, const auto& visit) {
    visit(self.title);
    visit(self.timing);
    visit(self.items);
  }
};

/// Plants are carried to the room of their stage on its first day.
struct Move {
  static constexpr const Statement& statement = language::statement("move");
  std::vector<WorkItem> items;
  Span span;
  static void fields(auto& self, const auto& visit) { visit(self.items); }
};

}  // namespace budwood::language::syntax
