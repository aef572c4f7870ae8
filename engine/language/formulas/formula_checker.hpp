#pragma once

#include <optional>
#include <string>

#include "language/formulas/scope.hpp"
#include "language/model.hpp"
#include "language/tree/syntax.hpp"

namespace budwood::language {

class RuleScope;

/// The lamps that `photon_flux` knows, in the order of climate::lamps().
const std::vector<std::string>& lamp_names();

/// Whether a name is a function of the language.
bool is_function(const std::string& name);

/// Resolves the names of formulas and checks their units; what passes is added to the protocol's
/// nodes in base units.
class FormulaChecker {
 public:
  FormulaChecker(Protocol& protocol, Scope& scope, text::Diagnostics& diagnostics)
      : protocol_(protocol), scope_(scope), diagnostics_(diagnostics) {}

  /// The stage in which following formulas stand, so that a bare `plants` is that stage's.
  void enter_stage(std::int32_t stage) { stage_ = stage; }

  /// A formula of any type. `no_formula` when it holds a mistake, which has been reported.
  FormulaId check(const syntax::Formula& formula);

  /// A formula that must be of the wanted type; `what` starts the message otherwise ("`lasts`
  /// wants a length of time"). A plain written number takes `borrowed` as its unit, so that the 4
  /// in `4 to 7 days` is days.
  FormulaId check(const syntax::Formula& formula, const Type& wanted, const std::string& what,
                  const std::optional<units::Unit>& borrowed = std::nullopt);

  /// The pieces of a message with values in braces.
  std::vector<Requirement::Piece> message(const syntax::Message& written);

  /// From now on formulas may speak of what the variables of a rule stand for.
  void use_rules(RuleScope* rules) { rules_ = rules; }
  /// `both` or `either` of two conditions, the first of which may be left out.
  FormulaId join(Operation operation, FormulaId a, FormulaId b);
  /// Holds where the guard does not.
  FormulaId implies(FormulaId guard, FormulaId condition);

  /// A constant, for defaults.
  FormulaId constant(double value, const Type& type, const text::Span& span);

  /// The unit of a written text; reports one that does not exist.
  std::optional<units::Unit> unit(const syntax::UnitText& text);
  /// Units that count what the protocol's own supplies are counted in.
  void know_noun(const std::string& noun) { nouns_.push_back(noun); }

  /// The unit of the trade of what is worked out from the climate: a sum of light and a photon flux
  /// have one dimension. Nothing where the type says it.
  std::optional<units::Unit> climate_unit(FormulaId id) const;

  const Type& type_of(FormulaId id) const { return protocol_.node(id).type; }

 private:
  FormulaId add(Node node);
  std::optional<units::Unit> unit_to_show(FormulaId id) const;
  bool sums_light(FormulaId id) const;
  FormulaId apply(Operation operation, const Type& type, const text::Span& span,
                  std::initializer_list<FormulaId> children);
  FormulaId number(const syntax::Formula& formula);
  void note_unit(FormulaId id, const units::Unit& unit);
  FormulaId name(const syntax::Formula& formula);
  FormulaId member(const syntax::Formula& formula);
  FormulaId property(const syntax::Formula& formula, std::int32_t stage, const syntax::Name& word,
                     bool more);
  FormulaId cell(std::int32_t stage, Property property, const text::Span& span);
  // reading_checker.cpp
  FormulaId reading(const syntax::Formula& formula, std::int32_t stage, const MeasureFacts& measure,
                    std::size_t next);
  FormulaId add(Reading reading, const text::Span& span);
  FormulaId call(const syntax::Formula& formula);
  // climate_functions.cpp
  std::optional<FormulaId> climate_function(const syntax::Formula& formula,
                                            const std::vector<FormulaId>& arguments);
  FormulaId lamp_flux(const syntax::Formula& formula);
  FormulaId degree_days(const syntax::Formula& formula, const std::vector<FormulaId>& arguments);
  FormulaId dilution(const syntax::Formula& formula, const std::vector<FormulaId>& arguments);
  FormulaId dissolve(const syntax::Formula& formula, const std::vector<FormulaId>& arguments);
  FormulaId built_in(const syntax::Formula& formula, const std::vector<FormulaId>& arguments);
  const Table* table_by_word(const syntax::Formula& formula) const;
  FormulaId look_up_word(const syntax::Formula& formula, const Table& table);
  FormulaId look_up(const syntax::Formula& formula, const Declared& table,
                    const std::vector<FormulaId>& arguments);
  FormulaId operate(const syntax::Formula& formula);
  FormulaId sum(const syntax::Formula& formula, FormulaId a, FormulaId b);
  FormulaId date_sum(const syntax::Formula& formula, FormulaId a, FormulaId b);
  FormulaId product(const syntax::Formula& formula, FormulaId a, FormulaId b);
  FormulaId power(const syntax::Formula& formula, FormulaId a, FormulaId b);
  FormulaId compare(Operation operation, const text::Span& span, FormulaId a, FormulaId b);
  FormulaId between(const syntax::Formula& formula);
  FormulaId logic(const syntax::Formula& formula, const std::vector<FormulaId>& children);
  FormulaId choose(const syntax::Formula& formula, const std::vector<FormulaId>& children);
  FormulaId mismatch(const text::Span& span, const std::string& message,
                     const std::string& advice = {});
  // rule_formulas.cpp
  bool is_variable(const syntax::Name& name) const;
  std::optional<double> decided(Operation operation,
                                std::initializer_list<FormulaId> children) const;
  FormulaId truth(bool value, const text::Span& span);
  FormulaId variable_member(const syntax::Formula& formula);
  /// The text that a path stands for, such as the title of a stage; nothing when it is a value.
  std::optional<std::string> plain_text(const syntax::Formula& path);
  FormulaId has(const syntax::Formula& formula);
  FormulaId choose_of(const syntax::Formula& formula);
  FormulaId meets(const syntax::Formula& formula, bool every);
  FormulaId condition(const syntax::Formula& formula, const std::string& what);
  FormulaId add_one(FormulaId total, FormulaId one);
  FormulaId one_condition(Operation operation, FormulaId of);
  std::string unit_advice(const std::string& unit);
  bool accepts(const syntax::Formula& formula, std::size_t index, FormulaId argument,
               const Type& wanted);

  Protocol& protocol_;
  Scope& scope_;
  text::Diagnostics& diagnostics_;
  RuleScope* rules_ = nullptr;  ///< nullptr outside rules
  std::int32_t stage_ = Node::of_batch;
  std::vector<std::string> nouns_;
  int betweens_ = 0;  ///< `between`s around the current formula
};

}  // namespace budwood::language
