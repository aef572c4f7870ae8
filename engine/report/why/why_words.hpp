#pragma once

#include <iosfwd>
#include <optional>
#include <string>

#include "plan/plan.hpp"
#include "report/formats/table.hpp"
#include "report/why/cell_role.hpp"

/// What the parts of an answer to "why" share.
namespace budwood::report {

/// The batch that is asked about, with its row of values.
struct Asked {
  Asked(const plan::Plan& the_plan, const plan::BatchPlan& the_batch)
      : plan(the_plan),
        batch(the_batch),
        row(the_plan.row_of(the_batch)),
        t(row.layout()),
        roles(roles_of(t)) {}

  const plan::Plan& plan;
  const plan::BatchPlan& batch;
  const sheet::Row row;
  const sheet::Template& t;
  std::vector<CellRole> roles;

  const book::Batch& facts() const { return plan.facts_of(batch); }
  const std::string& name() const { return facts().id.value; }
  double number(sheet::CellId cell) const { return row.value(cell); }
  /// What the first instructions of a cell's program give, or all of them.
  double partial(sheet::CellId cell, std::size_t instructions) const {
    return row.answer(t.program(cell).first(instructions));
  }
  double expected(sheet::CellId cell) const { return row.answer(t.program(cell)); }
  /// "Fri 2027-03-12", "9.5 h", "702"; "-" for no value.
  std::string value(sheet::CellId cell) const { return text(cell, number(cell)); }
  /// A value that a cell has, or would have.
  std::string text(sheet::CellId cell, double value) const;
  /// The supply whose amount a cell is.
  const language::Supply& supply_of(const CellRole& role) const;
  /// A stage as it is called in the protocol: "`rooting`".
  std::string stage(language::StageId stage) const;
  /// The same, with the protocol on which this one is based where it stands in that.
  std::string at(const text::Span& span) const;
  /// Who told what stands there, and when, as far as it is of the record: " by Ana on Thu 8 April
  /// 2027"; "" of other places.
  std::string told_by(const text::Span& span) const;
  /// How a date came to be a fact: ", as recorded by Ana on ...", or that it follows from work that
  /// was done.
  std::string as_recorded(const text::Span& span) const;
  /// The stage that a cell belongs to by its name; none for cells of the batch and for names that
  /// the grower has given.
  language::StageId stage_of(sheet::CellId cell) const;
};

/// " (rooting.bud:12)", without the folder, and with what more is to be said of the place; ""
/// without a file.
std::string at(const text::Span& span, const std::string& more = "");

/// A value of a formula, as people write it; without a unit in the usual one of the system.
std::string value_text(double value, const language::Type& type, units::System system,
                       const std::optional<units::Unit>& unit = std::nullopt);

/// Days in running text, told beside a day whose year is known: "Sun 14 March", "Mon 4 January
/// 2027".
class DayWords {
 public:
  explicit DayWords(calendar::Day known) : year_(calendar::date_of(known).year) {}

  std::string operator()(calendar::Day day) const;
  /// Without the name of the day, which is about to be said: "14 March".
  std::string bare(calendar::Day day) const;
  /// With its year in any case: "Fri 12 March 2027".
  static std::string whole(calendar::Day day);

 private:
  int year_;
};

/// Writes paragraphs, indented by depth; later lines of one stand a little further in.
class Paragraphs {
 public:
  Paragraphs(std::ostream& out, const Style& style) : out_(out), style_(style) {}
  void write(const std::string& text, int depth = 0);
  void fold(std::size_t steps) { folded_ += steps; }
  /// Says how much would be told besides: "... 4 more steps; --all shows them."
  void end(const std::string& noun);

 private:
  std::ostream& out_;
  const Style& style_;
  std::size_t folded_ = 0;
};

}  // namespace budwood::report
