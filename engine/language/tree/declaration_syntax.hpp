#pragma once

#include "language/tree/stage_syntax.hpp"

/// What a protocol declares beside its stages. How a statement is described, statement_parts.hpp
/// tells.
namespace budwood::language::syntax {

struct Crop {
  static constexpr const Statement& statement = language::statement("crop");
  Text text;
  static void fields(auto& self, const auto& visit) { visit(self.text); }
};

struct Edition {
  static constexpr const Statement& statement = language::statement("edition");
  int number = 1;
  Span span;
  static void fields(auto& self, const auto& visit) { visit(self.number); }
};

/// How far batches differ in a share, and in how many of them it was counted.
struct Between {
  std::optional<double> batches;
  std::optional<Formula> spread;
  static void fields(auto& self, const auto& visit) {
    visit(self.batches);
    visit(self.spread);
  }
};

struct Input {
  static constexpr const Statement& statement = language::statement("input");
  static constexpr bool independent = true;
  Name name;
  Formula usual;
  std::optional<Formula> lowest, highest;
  /// Counted: so many of so many.
  std::optional<double> good, seen;
  std::optional<Between> between;
  Span evidence;
  std::optional<Text> title;
  std::optional<Text> source;
  std::string about() const { return name.text; }
  static void fields(auto& self, const auto& visit) {
    visit(self.name);
    visit(self.usual);
    visit(self.lowest);
    visit(self.highest);
    visit(self.good);
    visit(self.seen);
    visit(self.title);
    visit(self.between);
    if (self.source) visit(self.source);  // without one the form is that of older editions
  }
};

struct Let {
  static constexpr const Statement& statement = language::statement("let");
  static constexpr bool independent = true;
  Name name;
  Formula value;
  std::optional<Text> title;
  std::string about() const { return name.text; }
  static void fields(auto& self, const auto& visit) {
    visit(self.name);
    visit(self.value);
    visit(self.title);
  }
};

struct TablePoint {
  double at = 0;
  Name word;  ///< instead of a number on the left
  double value = 0;
  Span span;
  static void fields(auto& self, const auto& visit) {
    visit(self.at);
    visit(self.value);
  }
};
struct Table {
  static constexpr const Statement& statement = language::statement("table");
  static constexpr bool independent = true;
  Name name;
  std::optional<Text> title;
  Name argument;  ///< only says what is looked up
  UnitText argument_unit, value_unit;
  std::vector<TablePoint> points;
  std::optional<Text> source;
  std::string about() const { return name.text; }
  static void fields(auto& self, const auto& visit) {
    visit(self.name);
    visit(self.title);
    visit(self.argument);
    visit(self.argument_unit);
    visit(self.value_unit);
    visit(self.points);
    visit(self.source);
  }
};

/// What one of a supply takes up: an area, or a length and a width.
struct Footprint {
  Formula size;
  std::optional<Formula> across;
  Span span;
  static void fields(auto& self, const auto& visit) {
    visit(self.size);
    visit(self.across);
  }
};

struct Hazard {
  Name name;
  static void fields(auto& self, const auto& visit) { visit(self.name); }
};
struct Supply {
  static constexpr const Statement& statement = language::statement("supply");
  static constexpr bool independent = true;
  Name name;
  std::optional<Text> title;
  UnitText unit;
  std::optional<Formula> pack, scrap;
  std::vector<Hazard> hazards;
  bool reused = false;
  std::optional<Footprint> footprint;
  std::string about() const { return name.text; }
  static void fields(auto& self, const auto& visit) {
    visit(self.name);
    visit(self.title);
    visit(self.unit);
    visit(self.pack);
    visit(self.scrap);
    visit(self.reused);
    visit(self.hazards);
    // Absent they leave no trace: fingerprints are older than they are.
    if (self.footprint) visit(self.footprint);
  }
};

/// What is made here of other supplies, and how.
struct Recipe {
  static constexpr const Statement& statement = language::statement("recipe");
  static constexpr bool independent = true;
  Name name;  ///< of the supply that it makes
  std::optional<Text> title;
  Formula makes;
  std::optional<Formula> keeps, vessel, before, ec, ph;
  std::vector<WorkItem> items;
  Span span;                ///< of its head
  bool has_unread = false;  ///< something in it could not be read; what is missing may be that
  std::string about() const { return name.text; }
  static void fields(auto& self, const auto& visit) {
    visit(self.name, Refers::supply);
    visit(self.title);
    visit(self.makes);
    visit(self.keeps);
    visit(self.vessel);
    visit(self.before);
    // Absent they leave no trace: fingerprints are older than they are.
    if (self.ec) visit(self.ec);
    if (self.ph) visit(self.ph);
    visit(self.items);
  }
};

struct Part {
  static constexpr const Statement& statement = language::statement("part");
  static constexpr bool independent = true;
  Name name;
  std::optional<Text> title;
  std::string about() const { return name.text; }
  static void fields(auto& self, const auto& visit) {
    visit(self.name);
    visit(self.title);
  }
};

/// What people look at and write down.
struct Observe {
  static constexpr const Statement& statement = language::statement("observe");
  static constexpr bool independent = true;
  Name name;
  UnitText unit;
  std::optional<Text> title;
  std::string about() const { return name.text; }
  static void fields(auto& self, const auto& visit) {
    visit(self.name);
    visit(self.unit);
    visit(self.title);
  }
};

}  // namespace budwood::language::syntax
