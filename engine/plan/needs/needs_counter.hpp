/// Private to this module.
#pragma once

#include <map>
#include <span>
#include <unordered_map>
#include <vector>

#include "plan/needs/needs.hpp"
#include "plan/plan.hpp"
#include "sheet/site/site_sheets.hpp"

namespace budwood::plan {

/// Goes through orders and notes what each of them takes. What does not depend on them is looked up
/// once for a plan.
class NeedsCounter {
 public:
  explicit NeedsCounter(const Plan& plan);

  /// What some orders of the plan take, ascending; supplies and crews that none of them asks for
  /// are left out, and totals are not made yet. `values` takes the place of the sheet of a batch:
  /// the same rows with other values.
  Needs count(std::span<const std::uint32_t> orders, const sheet::Sheet* values = nullptr) const;

  /// Puts in what recipes may ask for and no order does.
  void add_for_recipes(Needs& needs) const;

 private:
  /// A use of a protocol's work, with everything looked up that does not depend on the batch.
  struct UsePlace {
    std::size_t supply = 0;  ///< in the needs
    sheet::UseCells cells;
    double scrap = 0;
    units::Unit unit;  ///< in which it is measured
    bool counted = false;
    bool reused = false;
    sheet::Loan loan;
  };
  struct WorkSpot {
    std::size_t crew = 0;  ///< in the needs
    sheet::CellId time = sheet::no_cell;
    std::vector<UsePlace> uses;
  };
  /// The works of one protocol, by stage.
  using WorkTable = language::List<language::List<WorkSpot, language::Work>, language::Stage>;
  /// How many good pieces batches have taken so far, by batch and supply.
  using SoFar = std::unordered_map<std::uint64_t, double>;

  void name_supplies();
  void price_made();
  void name_crews();
  WorkTable table_of(const sheet::Sheet& sheet) const;
  UsePlace place_of(const language::Use& use, const sheet::UseCells& cells,
                    const sheet::Template& t) const;
  void count(std::uint32_t index, const sheet::Sheet* values, Needs& needs, SoFar& so_far) const;
  static double with_spare(const UsePlace& use, double good, std::uint32_t batch, SoFar& so_far);

  const Plan& plan_;
  Needs named_;  ///< all that could be needed, nothing taken
  std::map<std::string, std::size_t> supplies_;
  std::map<std::string, std::size_t> crews_;
  std::vector<WorkTable> tables_;  ///< as Plan::sheets
};

}  // namespace budwood::plan
