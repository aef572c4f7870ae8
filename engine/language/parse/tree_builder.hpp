#pragma once

#include "BudwoodParser.h"
#include "language/parse/token_places.hpp"
#include "language/tree/entry_syntax.hpp"
#include "language/tree/syntax.hpp"

namespace budwood::language {

/// Turns the parser's tree into the syntax tree. Statements that hold a syntax error are left out;
/// what the grammar cannot say (limits of numbers, times of day) is reported here.
class TreeBuilder {
 public:
  /// `has_mistakes`: whether any syntax error was reported, so that statements may be broken.
  TreeBuilder(const TokenPlaces& places, text::Diagnostics& diagnostics, bool has_mistakes)
      : places_(places), diagnostics_(diagnostics), has_mistakes_(has_mistakes) {}

  syntax::File file(grammar::BudwoodParser::FileContext* context);
  syntax::EntryLine entry(grammar::BudwoodParser::EntryContext* context);

 private:
  using P = grammar::BudwoodParser;

  // Protocols and their statements: tree_builder.cpp
  syntax::Protocol protocol(P::ProtocolContext* context);
  void protocol_item(P::ProtocolItemContext* context, syntax::Protocol& protocol);
  void change_item(P::ProtocolItemContext* context, syntax::Protocol& protocol);
  /// What `input` and `set` say alike.
  template <class Context>
  syntax::Input input(Context* context);
  syntax::Table table(P::TableContext* context);
  syntax::Supply supply(P::SupplyContext* context);
  syntax::Recipe recipe(P::RecipeContext* context);
  syntax::Observe observe(P::ObserveContext* context);
  syntax::Repeat repeat(P::RepeatContext* context);
  syntax::Requirement requirement(P::RequirementContext* context);
  syntax::Waive waive(P::WaiveContext* context);

  // Rule sets: rules_builder.cpp
  syntax::Rules rules(P::RulesContext* context);
  syntax::Rule rule(P::OneRuleContext* context);
  syntax::ForEach for_each(P::ForEachContext* context);
  syntax::Selection selection(P::SelectionContext* context);
  syntax::Path path(P::PathContext* context);
  syntax::Formula quantified(P::PrimaryContext* context);

  // What a protocol changes of its base: change_builder.cpp
  syntax::SetInput set_input(P::SetInputContext* context);
  syntax::Change change(P::ChangeContext* context);
  syntax::StageChange stage_change(P::StageChangeContext* context);
  syntax::WorkChange work_change(P::WorkChangeContext* context);
  syntax::Addition addition(P::AdditionContext* context);
  syntax::Drop drop(P::DropContext* context);
  syntax::Rename rename(P::RenameContext* context);
  syntax::Protocol variant(P::VariantContext* context);

  // Stages: stage_builder.cpp
  syntax::Stage stage(P::StageHeadContext* head, P::StageBodyContext* body);
  std::vector<syntax::StageItem> stage_items(P::StageItemContext* item);
  void stage_item(P::StageItemContext* context, syntax::Stage& stage);
  syntax::Space space(P::SpaceContext* context);
  syntax::Picks picks(P::PicksContext* context);
  syntax::Grades grades(P::GradesContext* context);
  syntax::Lasts lasts(P::LastsContext* context);
  syntax::Season season(P::SeasonContext* context);
  syntax::Gate gate(P::GateContext* context);
  std::vector<syntax::Setting> keep(P::KeepContext* context);
  syntax::Conditional conditional(P::ConditionalContext* context);
  std::optional<int> steps(P::StepsContext* context);
  void hours(P::HoursContext* context, syntax::Mist& mist);
  syntax::StageItem taper(P::TaperContext* context);
  syntax::Mist mist(P::MistContext* context);
  std::optional<syntax::Formula> light_start(P::FormulaContext* sum,
                                             antlr4::tree::TerminalNode* what);
  std::optional<syntax::Setting> irrigate(P::IrrigateContext* context);
  syntax::Days days(P::DaysContext* context);
  syntax::DayRef day_ref(P::DayRefContext* context);
  syntax::Half half(P::HalfContext* context);
  std::optional<int> minute_of_day(antlr4::tree::TerminalNode* time);

  // Entries of the record: entry_builder.cpp
  void happened(P::HappenedContext* context, syntax::EntryLine& line);
  void detail(P::DetailContext* context, syntax::EntryLine& line);
  void set_once(bool is_set, const text::Span& span, const char* what);
  syntax::Text place(antlr4::tree::TerminalNode* node);
  syntax::Text words_or_text(antlr4::ParserRuleContext* context,
                             antlr4::tree::TerminalNode* quoted);
  syntax::EntryNumber entry_number(const std::vector<antlr4::tree::TerminalNode*>& nodes,
                                   antlr4::ParserRuleContext* whole);
  syntax::EntryNumber compound_number(antlr4::tree::TerminalNode* node);
  syntax::EntryNumber measured(P::MeasuredContext* context);
  syntax::EntryUse entry_use(P::UsedAmountContext* context);
  syntax::UnitText entry_unit(P::EntryUnitContext* context);
  std::optional<syntax::EntryNumber> time_spent(P::TimeSpentContext* context);

  // Works: work_builder.cpp
  syntax::Work work(P::WorkContext* context);
  std::vector<syntax::WorkItem> work_items(P::WorkBodyContext* body);
  void work_item(P::WorkItemContext* context, std::vector<syntax::WorkItem>& items);
  syntax::Timing timing(P::TimingContext* context);
  void repeat_span(P::RepeatSpanContext* context, syntax::Timing& timing);
  void hours(const std::vector<P::HourContext*>& said, syntax::Timing& timing);
  syntax::Use use(P::UseContext* context);
  syntax::Time time(P::DurationContext* context);
  syntax::Share share(P::ShareContext* context);

  // Formulas and words: formula_builder.cpp
  syntax::Formula formula(P::FormulaContext* context);
  syntax::Formula below(antlr4::ParserRuleContext* context);
  syntax::Formula step_down(antlr4::ParserRuleContext* context);
  syntax::Formula disjunction(P::FormulaContext* context);
  syntax::Formula conjunction(P::ConjunctionContext* context);
  syntax::Formula negation(P::NegationContext* context);
  syntax::Formula comparison(P::ComparisonContext* context);
  syntax::Formula sum(P::SumContext* context);
  syntax::Formula product(P::ProductContext* context);
  syntax::Formula factor(P::FactorContext* context);
  syntax::Formula power(P::PowerContext* context);
  syntax::Formula primary(P::PrimaryContext* context);
  syntax::Formula quantity(P::QuantityContext* context);
  syntax::Formula compound(antlr4::tree::TerminalNode* node);
  syntax::Formula date(antlr4::tree::TerminalNode* node);
  syntax::Formula apply(Operation operation, std::vector<syntax::Formula> arguments,
                        const text::Span& span);
  syntax::Formula join(Operation operation, syntax::Formula left, syntax::Formula right);
  syntax::Range range(P::RangeContext* context);
  syntax::Name name(P::NameContext* context);
  syntax::Name name(antlr4::tree::TerminalNode* node);
  syntax::Name name(P::MemberContext* context);
  syntax::Written written(antlr4::ParserRuleContext* context);
  syntax::Text text_of(antlr4::tree::TerminalNode* string);
  // message_builder.cpp
  syntax::Message message(antlr4::tree::TerminalNode* string);
  std::optional<syntax::Text> optional_text(antlr4::tree::TerminalNode* string);
  syntax::UnitText unit(antlr4::ParserRuleContext* context);
  std::string word(const std::string& text, const text::Span& span);
  double number(antlr4::tree::TerminalNode* node);
  double number(const std::string& text, const text::Span& span);
  int whole_number(antlr4::tree::TerminalNode* node, int lowest, int highest,
                   const std::string& what);

  /// Whether a syntax error stands anywhere in the statement.
  bool broken(antlr4::ParserRuleContext* context) const;
  bool passed_over(antlr4::ParserRuleContext* block) const;
  void forgive_passed_over(P::ProtocolBodyContext* body, syntax::Protocol& protocol);

  const TokenPlaces& places_;
  text::Diagnostics& diagnostics_;
  bool has_mistakes_;
  bool unread_ = false;  ///< something of the protocol was left out
};

template <class Context>
syntax::Input TreeBuilder::input(Context* context) {
  syntax::Input input;
  input.name = name(context->name());
  const std::vector<P::FormulaContext*> values = context->formula();
  input.usual = formula(values[0]);
  if (values.size() == 3) {
    input.lowest = formula(values[1]);
    input.highest = formula(values[2]);
  }
  syntax::Between between;
  if (P::EvidenceContext* count = context->evidence()) {
    input.good = number(count->NUMBER(0));
    input.seen = number(count->NUMBER(1));
    if (count->BATCHES() != nullptr) between.batches = number(count->NUMBER(2));
    input.evidence = places_.span(count->SEEN()->getSymbol(), count->getStop());
  }
  if (context->spread() != nullptr) between.spread = formula(context->spread()->formula());
  if (between.batches || between.spread) input.between = std::move(between);
  input.title = optional_text(context->STRING());
  if (context->figureSource() != nullptr) {
    input.source = optional_text(context->figureSource()->STRING());
  }
  return input;
}

}  // namespace budwood::language
