#pragma once

#include <string>
#include <vector>

#include "plan/marks.hpp"
#include "plan/plan.hpp"
#include "report/differences/difference.hpp"

/// Which cells of a plan are shown.
namespace budwood::report {

/// Which batches and cells to show; what is not set lets the usual ones through.
struct SheetView {
  std::vector<std::string> batches;   ///< ids
  std::vector<std::string> patterns;  ///< names of cells; `*` is any letters, `?` one
};

/// A batch or a pattern that fits nothing in the book, in words; "" when all do.
std::string nothing_matches(const plan::Plan& plan, const SheetView& view);

/// Whether a name fits a pattern, from end to end.
bool fits_pattern(std::string_view name, std::string_view pattern);

/// The cells of a batch that belong together.
struct CellGroup {
  std::string stage;  ///< "" for those of the whole batch
  std::string title;
  std::vector<sheet::CellId> cells;
};

/// Batches of one protocol, and the cells that are shown of them.
struct SheetPart {
  std::size_t sheet = 0;                        ///< in Plan::sheets
  std::vector<const plan::BatchPlan*> batches;  ///< as in the plan
  std::vector<CellGroup> groups;                ///< the batch, its inputs and lets, then by stage
  std::vector<units::Unit> units;               ///< by cell: for programs
};
/// Parts without cells or batches are left out.
std::vector<SheetPart> sheet_parts(const plan::Plan& plan, const SheetView& view);

/// The value of a cell as it is shown; `unit` is used where it is an amount.
Reading cell_reading(const sheet::Row& row, sheet::CellId cell, const units::Unit& unit);
/// The same for a value that the cell could have.
Reading cell_reading(const sheet::Template& t, sheet::CellId cell, const units::Unit& unit,
                     double value);
/// The value of a cell for programs: `shown` is left out but of texts.
Reading bare_reading(const sheet::Row& row, sheet::CellId cell, const units::Unit& unit);

/// The unit of a cell for programs, the same for all its rows.
units::Unit cell_unit(const sheet::Sheet& sheet, sheet::CellId cell);

/// "recorded", "pinned", "batch", "site"; "" for what is worked out.
std::string_view mark_word(plan::Mark mark);
/// The sign that stands behind a value of that kind; "" for what is worked out.
std::string_view mark_sign(plan::Mark mark);
/// What it says of the value: "fixed by hand"; "" for what is worked out.
std::string_view mark_meaning(plan::Mark mark);
/// The marks of which a legend tells: learned values only where a book has some.
std::vector<plan::Mark> marks_in(const plan::Plan& plan);

}  // namespace budwood::report
