#pragma once

#include <map>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "language/tree/syntax.hpp"

namespace budwood::language {

/// What a name stands for, and where it was declared. Inputs, lets, tables and stages share their
/// names, because formulas refer to all of them; supplies and parts have names of their own.
struct Declared {
  enum class Kind { input, let, table, stage, supply, part, observation };
  Kind kind = Kind::input;
  std::int32_t index = 0;
  text::Span span;
};

/// The names of one protocol.
class Scope {
 public:
  /// Reports a name that is taken.
  void declare(const syntax::Name& name, Declared::Kind kind, std::int32_t index,
               text::Diagnostics& diagnostics);
  /// Uses of names that could not be read are not reported again.
  void forgive(const std::vector<std::string>& names);

  /// Looks a name up and marks it as used. A name that is not there is reported (unless forgiven),
  /// with the nearest one of the same kinds or among the `others`.
  std::optional<Declared> find(const syntax::Name& name,
                               std::initializer_list<Declared::Kind> kinds, const std::string& what,
                               text::Diagnostics& diagnostics,
                               const std::vector<std::string>& others = {});

  /// What a name in a formula stands for, without marking it as used; nullptr when it is unknown.
  const Declared* peek(const std::string& name) const;
  /// A name that need not be declared; marked as used when it is.
  std::optional<Declared> use_if_declared(const std::string& name, Declared::Kind kind);

  /// Declared and never looked up, in the order of their places.
  std::vector<std::pair<std::string, Declared>> unused() const;

 private:
  static int space_of(Declared::Kind kind);

  std::map<std::pair<int, std::string>, Declared> names_;
  std::set<std::pair<int, std::string>> used_;
  std::set<std::string> forgiven_;
};

/// The word for a kind of name in messages: "an input", "a stage".
std::string describe(Declared::Kind kind);

}  // namespace budwood::language
