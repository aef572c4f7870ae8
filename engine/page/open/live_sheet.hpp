#pragma once

#include <string>
#include <vector>

#include "plan/trials/what_if.hpp"
#include "sheet/site/site_sheets.hpp"

namespace budwood::plan {
struct Plan;
}

namespace budwood::page {

/// The values of all batches of a plan, with what was changed since it was made: they answer in
/// microseconds, where a plan anew takes longer.
class LiveSheet {
 public:
  explicit LiveSheet(const plan::Plan& plan);

  const sheet::SiteSheets& sheets() const { return sheets_; }
  /// The batch of a row, by its place in Plan::batches.
  std::size_t batch_of(sheet::BatchKey key) const { return batches_[key.sheet][key.row]; }
  /// In which unit a cell is shown.
  const units::Unit& unit(std::size_t sheet, sheet::CellId cell) const {
    return units_[sheet][cell];
  }

  /// The values that some changes would give, all else as it is now. What cannot be told so (see
  /// `plan::edit_of`) is left to planning anew. `problem`: why a change cannot be made; then there
  /// are no values.
  struct Outcome {
    std::string problem;
    std::vector<sheet::Changes::Value> values;
    bool complete = true;  ///< false: some changes are only seen when all is planned anew
  };
  Outcome make(const plan::Plan& plan, const std::vector<plan::Change>& changes);
  /// The same without keeping them.
  Outcome attempt(const plan::Plan& plan, const std::vector<plan::Change>& changes);

 private:
  sheet::SiteSheets sheets_;
  std::vector<std::vector<std::size_t>> batches_;  ///< by sheet and row
  std::vector<std::vector<units::Unit>> units_;    ///< by sheet and cell
};

}  // namespace budwood::page
