#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "language/formulas/operation.hpp"
#include "text/text.hpp"

/// Names, texts, formulas and what else statements are made of.
namespace budwood::language {

/// What a name in a statement stands for. Inputs, lets, tables and stages share their names, so in
/// a formula any of them is a `value`. `nothing`: it is declared here, or no name of the protocol.
enum class Refers { nothing, stage, part, supply, value, observation, room, crew };

}  // namespace budwood::language

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

/// A condition as it stands in the source, on one line. What it means is told elsewhere.
struct Written {
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
    static void fields(auto& self, const auto& visit) { visit(self.path); }
  };
  std::vector<Value> values;
  std::string rest;  ///< the plain text behind the last value
  Span span;

  /// All of it, as it was written.
  std::string text() const;
  static void fields(auto& self, const auto& visit) { visit(self.values); }
};

/// `low` or `low to high`.
struct Range {
  Formula low;
  std::optional<Formula> high;
  Span span;
  static void fields(auto& self, const auto& visit) {
    visit(self.low);
    visit(self.high);
  }
};

/// On which days of a stage something holds; without ends it is the whole stage.
struct Days {
  std::optional<DayRef> from;
  std::optional<DayRef> to;
  std::optional<Formula> over;  ///< a number of days from the first on
  Span span;

  bool said() const { return from || to || over; }
  /// `from day 1`, which says no more than nothing.
  bool from_the_first() const { return from && !from->last && from->day == 1 && !to && !over; }
  static void fields(auto& self, const auto& visit) {
    visit(self.from);
    visit(self.to);
    visit(self.over);
  }
};

}  // namespace budwood::language::syntax
