#pragma once

#include "language/tree/declaration_syntax.hpp"

/// What a protocol changes of the one that it is based on.
namespace budwood::language::syntax {

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

}  // namespace budwood::language::syntax
