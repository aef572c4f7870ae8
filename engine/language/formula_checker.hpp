#pragma once

#include <optional>
#include <string>

#include "language/model.hpp"
#include "language/scope.hpp"
#include "language/syntax.hpp"

namespace budwood::language {

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

  /// A constant, for defaults.
  FormulaId constant(double value, const Type& type, const text::Span& span);

  /// The unit of a written text; reports one that does not exist.
  std::optional<units::Unit> unit(const syntax::UnitText& text);
  /// Units that count what the protocol's own supplies are counted in.
  void know_noun(const std::string& noun) { nouns_.push_back(noun); }

  const Type& type_of(FormulaId id) const { return protocol_.node(id).type; }

 private:
  FormulaId add(Node node);
  FormulaId apply(Operation operation, const Type& type, const text::Span& span,
                  std::initializer_list<FormulaId> children);
  FormulaId number(const syntax::Formula& formula);
  FormulaId name(const syntax::Formula& formula);
  FormulaId member(const syntax::Formula& formula);
  FormulaId cell(std::int32_t stage, Property property, const text::Span& span);
  FormulaId call(const syntax::Formula& formula);
  FormulaId dilution(const syntax::Formula& formula, const std::vector<FormulaId>& arguments);
  FormulaId dissolve(const syntax::Formula& formula, const std::vector<FormulaId>& arguments);
  FormulaId built_in(const syntax::Formula& formula, const std::vector<FormulaId>& arguments);
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
  std::string unit_advice(const std::string& unit);
  bool accepts(const syntax::Formula& formula, std::size_t index, FormulaId argument,
               const Type& wanted);

  Protocol& protocol_;
  Scope& scope_;
  text::Diagnostics& diagnostics_;
  std::int32_t stage_ = Node::of_batch;
  std::vector<std::string> nouns_;
  int betweens_ = 0;  ///< `between`s around the current formula
};

}  // namespace budwood::language
