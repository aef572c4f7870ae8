/// How values of a protocol are told when two protocols are compared. Private to this module.
///
/// The exact form is in base units and decides whether anything changed, so 14 days and 2 weeks
/// are no change; what is shown stays in the grower's units.
#pragma once

#include <map>
#include <string>

#include "language/model.hpp"

namespace budwood::share {

/// A protocol and what its stages are called where another protocol is held against it.
struct Told {
  const language::Protocol& protocol;
  /// By stage: the name that stands for it in what is compared; its own where there is none.
  std::map<std::string, std::string> stages = {};

  const std::string& stage(std::int32_t index) const;
};

/// A piece of a protocol in two forms: for people, and exact, so that two pieces that mean the same
/// are equal however they were written.
class Said {
 public:
  /// The same in both.
  Said& add(const std::string& words);
  /// What is written in more than one way, and what it means.
  Said& add(const std::string& shown, const std::string& exact);
  Said& quoted(const std::string& text) { return add("\"" + text + "\""); }
  Said& ticked(const std::string& name) { return add("`" + name + "`"); }
  /// What was told elsewhere.
  Said& append(const Said& more);
  Said& number(double number);
  /// A value in base units, shown in a unit.
  Said& value(double base, const units::Unit& unit);
  Said& formula(const Told& told, language::FormulaId id);
  /// In a unit where it is a number.
  Said& formula(const Told& told, language::FormulaId id, const units::Unit& unit);
  /// "8 to 10 days"; one value where both ends are the same.
  Said& range(const Told& told, language::FormulaId low, language::FormulaId high);
  /// "day 3", "the last day".
  Said& day(const language::StageDay& day);
  /// `stages[index]`, by the name that stands for it.
  Said& stage(const Told& told, std::int32_t index);

  const std::string& shown() const { return shown_; }
  const std::string& exact() const { return exact_; }
  bool empty() const { return exact_.empty(); }

 private:
  std::string shown_, exact_;
};

}  // namespace budwood::share
