#pragma once

#include <map>
#include <set>

#include "language/formulas/formula_checker.hpp"
#include "language/limits.hpp"
#include "language/tree/statement_parts.hpp"

namespace budwood::language {

/// Where statements that may stand once stand first in a block, by their words.
using Seen = std::map<std::string_view, text::Span>;

/// Checks what stands inside stages and turns it into the model.
class StageChecker {
 public:
  StageChecker(Protocol& protocol, Scope& scope, FormulaChecker& formulas,
               text::Diagnostics& diagnostics)
      : protocol_(protocol), scope_(scope), formulas_(formulas), diagnostics_(diagnostics) {}

  /// Fills protocol.stages[index], whose name, title and part are set already.
  void check(const syntax::Stage& written, StageId index);
  /// What a recipe says; nothing where it cannot be followed. recipe_checker.cpp
  std::optional<Recipe> recipe(const syntax::Recipe& written, SupplyId makes);
  /// Once it is known who takes whose plants: what is lost while a stage holds them.
  /// stage_count_checker.cpp
  void resolve_hold(const syntax::Stage& written, StageId id);
  /// Once it is known who takes whose plants: whether picked plants have somewhere to be.
  void check_picks(StageId id);
  /// Once all stages are known: observations that conditions ask for and nobody records.
  void report_unwatched();

 private:
  Stage& stage() { return protocol_.stages[static_cast<std::size_t>(index_)]; }

  void item(const syntax::After& after);
  void item(const syntax::Room& room);
  // space_checker.cpp
  void item(const syntax::Space& space);
  std::optional<Space> level(const syntax::SpaceLevel& written);
  std::optional<Space> counted(const syntax::SpaceLevel& written);
  std::optional<Space> of_supply(const syntax::SpaceLevel& written);
  std::optional<Space> each(const syntax::SpaceLevel& written);
  bool put_days(const syntax::Space& written);
  void resolve_spacing();
  void resolve_areas();
  void resolve_area(const Work& work);
  // stage_time_checker.cpp
  void item(const syntax::StartsWithin& within);
  void item(const syntax::Season& season);
  void item(const syntax::Lasts& lasts);
  void item(const syntax::Gate& gate);
  void heat(const syntax::Heat& written);
  void resolve_heat();
  /// How a condition on observations is written in a statement.
  struct ConditionForm {
    std::string what;      ///< "A gate"
    std::string keyword;   ///< "until"
    std::string tail;      ///< what follows the condition: ", at most 21 days"
    bool negated = false;  ///< it may ask whether something is not seen
  };
  // sight_checker.cpp
  Sights observed(const syntax::Formula& condition, const ConditionForm& form,
                  std::vector<ObservationId>& observations);
  std::optional<Sight> sight(const syntax::Formula& condition, const ConditionForm& form,
                             std::vector<ObservationId>& observations);
  std::optional<ObservationId> observation(const syntax::Name& name,
                                           std::vector<ObservationId>& observations);
  Measuring measuring(const syntax::Formula& written, const Observation& held,
                      std::vector<ObservationId>& observations);
  void watched(const std::vector<ObservationId>& observations, const text::Span& span,
               const std::string& question, const std::string& when);
  void chilling_gate(const syntax::Formula& condition, Gate& gate);
  void resolve_gate();
  void resolve_cold();

  void item(const syntax::Wait& wait);
  void item(const syntax::Hold& hold);
  // stage_count_checker.cpp
  void item(const syntax::Loses& loses);
  void item(const syntax::Takes& takes);
  void item(const syntax::Yields& yields);
  void item(const syntax::Discard& discard);
  void item(const syntax::Picks& written);
  void item(const syntax::Grades& written);
  std::optional<Grade::Way> way_of(const syntax::Grade& written);
  /// The rate of work that follows of itself, plants an hour for one person. space_checker.cpp
  FormulaId usual_rate(double an_hour, const text::Span& span);
  void resolve_picks();
  void resolve_picking(int number);
  void space_after_picking(int number);
  void item(const syntax::Cover& cover);
  void item(const syntax::Whole& whole);
  void item(const syntax::Minimum& minimum);
  void resolve_whole();
  // climate_checker.cpp
  void item(const syntax::Setting& setting);
  void item(const syntax::Mist& mist);
  const Mist* tapered_mist(const syntax::Mist& written);
  void irrigate(const syntax::Setting& written);
  FormulaId light_start(const syntax::Formula& written);
  void resolve_day_length();
  // conditional_checker.cpp
  void item(const syntax::Conditional& conditional);
  void resolve_contingencies();
  void item(const syntax::Waive& waive);
  void item(const syntax::Work& work);
  void item(const syntax::Move& move);
  void item(const syntax::Note& note);
  void item(const syntax::SourceNote& note);
  void item(const syntax::Requirement& requirement);

  // work_checker.cpp
  Work content(const syntax::Work& written);
  // work_hours_checker.cpp
  Hours hours(const syntax::Hours& written);
  void resolve_order_of_work(const syntax::Stage& written);
  std::optional<WorkId> work_before(WorkId id, const syntax::Text& title);
  bool comes_before(const Work& before, const Work& work, const text::Span& span);
  void put_in_order(const std::vector<std::pair<std::size_t, std::size_t>>& arcs);
  void fill(Work& work, const std::vector<syntax::WorkItem>& items);
  void resolve_closures();
  Timing timing(const syntax::Timing& written);
  Timing any_day(const syntax::Timing& written, Timing timing);
  void work_item(const syntax::Rate& rate, Work& work);
  void work_item(const syntax::Time& time, Work& work);
  void work_item(const syntax::Setup& setup, Work& work);
  void work_item(const syntax::People& people, Work& work);
  void work_item(const syntax::Crew& crew, Work& work);
  void work_item(const syntax::Use& written, Work& work);
  void work_item(const syntax::Tool& tool, Work& work);
  void work_item(const syntax::Tag& tag, Work& work);
  void work_item(const syntax::Caution& caution, Work& work);
  void work_item(const syntax::Record& record, Work& work);
  void work_item(const syntax::Note& note, Work& work);
  void work_item(const syntax::NoEntry& closure, Work& work);
  std::optional<Use> use(const syntax::Use& written);
  bool share(const syntax::Share& written, const text::Span& span, Share& out);
  bool use_by_light(const syntax::Formula& written, const Supply& supply, Use& use);
  bool use_until(const syntax::Use& written, const Supply& supply, Use& use);
  void cautions(Work& work);
  // recipe_checker.cpp
  std::optional<double> made_amount(const syntax::Formula& written, const Supply& supply,
                                    const std::string& what);
  bool keeping(const syntax::Recipe& written, Recipe& recipe);
  bool measured(const syntax::Recipe& written, Recipe& recipe);
  bool vessels(const syntax::Recipe& written, Recipe& recipe);
  bool making(const syntax::Recipe& written, Recipe& recipe);
  bool ingredients(const Work& work, Recipe& recipe);
  std::optional<double> plain_value(FormulaId id, const Limit& limit);
  std::optional<int> whole_days(const syntax::Formula& written, const std::string& what,
                                int lowest);

  /// Days of a stage on which something holds. False when they are upside down.
  bool days(const syntax::Days& written, StageDay& from, StageDay& to, FormulaId& over);
  bool in_order(const StageDay& from, const StageDay& to);

  /// Observations that somebody has to look at.
  struct Watch {
    StageId stage;
    std::vector<ObservationId> observations;
    text::Span span;
    std::string question;  ///< "whether the gate is met"
    std::string when;      ///< "every 3 days"
  };
  std::vector<Watch> watches_;

  Protocol& protocol_;
  Scope& scope_;
  FormulaChecker& formulas_;
  text::Diagnostics& diagnostics_;
  StageId index_;
  bool has_unread_ = false;    ///< what is missing may be what could not be read
  bool gate_is_open_ = false;  ///< it does not say how long it may take
  Seen seen_;
  std::vector<text::Span> closures_;  ///< the `no entry` statements of the stage
  std::vector<text::Span> areas_;     ///< what the stage says for each m2 that it takes up
};

StageDay stage_day(const syntax::DayRef& ref);
Waiver waiver(const syntax::Waive& written, StageId stage);

/// Reports a second statement of a kind that is allowed once; false when it is one.
bool only_once(Seen& seen, const Statement& statement, const text::Span& span,
               const std::string& where, text::Diagnostics& diagnostics);

/// The unit of the written number among these that has one, which the others borrow.
std::optional<units::Unit> unit_to_borrow(FormulaChecker& formulas,
                                          std::initializer_list<const syntax::Formula*> written);

}  // namespace budwood::language
