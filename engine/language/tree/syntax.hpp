#pragma once

#include "language/bases/layer.hpp"
#include "language/tree/change_syntax.hpp"

/// The syntax tree: what was written, in the order in which it was written, nothing resolved.
namespace budwood::language::syntax {

using ProtocolItem = std::variant<Edition, Crop, SourceNote, Note, Input, Let, Table, Supply,
                                  Recipe, Part, Observe, Stage, Repeat, Requirement, Waive>;

struct Protocol {
  Name name;
  std::optional<Base> base;
  std::optional<Text> title;
  std::vector<ProtocolItem> items;
  std::vector<Change> changes;  ///< of the base, in the order written
  /// Other ways to do part of it, each with what it changes of this one. They are no part of what
  /// this one means, so that a variant more makes no new edition.
  std::vector<Protocol> variants;
  std::vector<Layer> layers;  ///< itself, then what it is based on, the nearest first
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
  std::vector<Table> tables;  ///< that protocols share
};

}  // namespace budwood::language::syntax
