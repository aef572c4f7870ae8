#pragma once

#include <functional>

#include "language/limits.hpp"
#include "sheet/template/template.hpp"

namespace budwood::sheet {

/// A program in the making.
class ProgramText {
 public:
  ProgramText& constant(double value);
  ProgramText& cell(CellId id);
  ProgramText& operation(Operation operation);
  ProgramText& code(Instruction::Code code, std::uint32_t index = 0);
  ProgramText& start(std::uint32_t losses);

  const std::vector<Instruction>& steps() const { return steps_; }

 private:
  std::vector<Instruction> steps_;
};

/// Adds the cells of a protocol to a template, concept by concept. Cells may refer to cells whose
/// programs come later; `set_program` fills them in.
class TemplateBuilder {
 public:
  explicit TemplateBuilder(Template& target) : t_(target), p_(target.protocol) {}

  void build();

 private:
  CellId add_cell(std::string name, Cell::Kind kind, const language::Type& type,
                  const text::Span& span);
  void label(CellId cell, std::string text) { t_.cells[cell].label = std::move(text); }
  void written_as(CellId cell, language::FormulaId formula) { t_.cells[cell].formula = formula; }
  void show_in(CellId cell, const units::Unit& unit) { t_.cells[cell].unit = unit; }
  CellId add_days(std::string name, const ProgramText& program, const text::Span& span);
  CellId add_formula(std::string name, language::FormulaId formula, const text::Span& span);
  void expect_low(const std::string& name, language::FormulaId formula, language::Limit limit,
                  const std::string& where, const text::Span& span);
  CellId add_program(std::string name, const language::Type& type, const text::Span& span,
                     const ProgramText& program);
  void set_program(CellId cell, const ProgramText& program);
  void append(ProgramText& program, language::FormulaId formula) const;

  void declare_stages();
  void add_inputs();
  void add_lets();
  CellId add_heat(std::int32_t stage);
  void add_series_heat(std::int32_t stage);
  void add_gate_limit(std::int32_t stage);
  void add_chilling(std::int32_t stage);
  CellId add_kept_chilling(std::int32_t stage);
  struct ColdCells {
    CellId lower = no_cell, best = no_cell, upper = no_cell, target = no_cell;
  };
  void expect_cold(const ColdCells& cells, const text::Span& span);
  void add_wait(std::int32_t stage);
  void add_lengths(std::int32_t stage);
  void add_requirements();
  void add_message(const language::Requirement& requirement);

  // counts_builder.cpp
  void add_counts();
  void add_survival(std::int32_t stage);
  void add_yield(std::int32_t stage);
  // picks_builder.cpp
  void add_kept(std::int32_t stage);
  CellId add_portions(const std::string& name, const std::string& what, std::span<const CellId> of,
                      const text::Span& span);
  void add_picked(std::int32_t stage, CellId from);
  ProgramText brought(std::int32_t stage) const;
  void scale_by_standing(ProgramText& program, StageId stage, const language::Space& space) const;
  CellId plants_of(const language::UsePlace& place) const;
  // counts_builder.cpp
  Evidence add_evidence(std::int32_t stage);
  bool starts_chain(std::int32_t stage) const;
  void find_chains();
  void add_needed(Chain& chain);
  void add_assurances();
  void add_start(const Chain& chain);
  void add_dwindling(const Chain& chain);
  std::vector<StageId> takers_of(std::int32_t stage) const;

  // work_builder.cpp
  void add_works(std::int32_t stage);
  void add_space(StageId stage, std::size_t level);
  void add_wait_of_plants(StageId stage, ProgramText& days) const;
  void add_labour(const language::Work& work, const std::string& name,
                  const language::UsePlace& place, WorkCells& cells);
  void add_use(const language::Use& use, const std::string& work, const language::UsePlace& place);
  CellId add_group(const language::Share& share, const std::string& name, const std::string& what,
                   const std::string& where, const text::Span& span);
  void add_amounts(ProgramText& program, const std::vector<language::UsePlace>& uses) const;
  void multiply_by(ProgramText& program, const language::Share& share,
                   const language::UsePlace& place, CellId per, bool whole) const;
  void add_settings();
  void declare_settings(std::int32_t stage);
  void add_hours();

  // dates_builder.cpp
  void add_dates();
  void add_date_links(std::int32_t stage);
  void add_take_link(std::int32_t from, std::int32_t to);
  std::vector<std::int32_t> waiting_order() const;

  // Expectations
  /// What the check of the protocol asks of a written value is asked of one that is worked out.
  /// `where` follows the rule in the message: " in `rooting`".
  void expect(CellId cell, const language::Limit& limit, const std::string& where,
              const text::Span& span);
  void expect_at_least(CellId cell, double low, bool above, std::string message,
                       const text::Span& span);
  void expect_between(CellId cell, double low, double high, bool below, std::string message,
                      const text::Span& span);
  void expect_order(CellId low, CellId high, std::string message, const text::Span& span);

  StageCells& cells_of(std::int32_t stage) { return t_.stages[static_cast<std::size_t>(stage)]; }
  const language::Stage& stage(std::int32_t index) const {
    return p_.stages[static_cast<std::size_t>(index)];
  }
  std::int32_t stage_count() const { return static_cast<std::int32_t>(p_.stages.size()); }

  Template& t_;
  const language::Protocol& p_;
  std::vector<std::pair<CellId, language::FormulaId>> to_compile_;
  /// Programs of work, which look at what other work uses: set when all of it has its cells.
  std::vector<std::function<void()>> later_;
};

}  // namespace budwood::sheet
