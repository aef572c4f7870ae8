/// Private to this module.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "plan/needs/recorded_stock.hpp"
#include "plan/plan.hpp"
#include "plan/stock/lots.hpp"

namespace budwood::plan {

/// A lot while batches take from it.
struct OpenLot {
  std::string name;
  const book::Lot* facts = nullptr;
  const language::Supply* supply = nullptr;
  double count = 0, left = 0;  ///< base units
};

/// Supplies of which the site has lots, by name: the lots in the order in which they are taken,
/// those that expire first before others; of these the one that was tested first. Lots whose supply
/// no protocol of the plan has are left out, and so is a count that does not fit the supply.
std::map<std::string, std::vector<OpenLot>> open_lots(const Plan& plan);

/// What keeps a lot from being taken.
enum class LotFault : std::uint8_t {
  none,
  expired,       ///< on the day on which it would be taken
  out_of_range,  ///< its test gives what the input does not allow
};

/// A lot that was passed over.
struct PassedOver {
  std::size_t taking = 0;  ///< in Plan::lots
  std::string lot;
  LotFault fault = LotFault::none;
  double left = 0;  ///< base units, at that time
};

/// Lets batches take from lots, and the lots say what comes up.
class LotTaker {
 public:
  explicit LotTaker(Plan& plan);

  void run();
  /// What the last round passed over, each lot once for each fault.
  const std::vector<PassedOver>& passed_over() const { return passed_over_; }

 private:
  /// What does not change while starts are tried.
  struct Slot {
    double each = 0;      ///< base units of the supply for a plant that is started, none spoilt
    double spoilt = 0;    ///< share
    bool counted = true;  ///< taken whole
    std::optional<double> noted;  ///< base units in all, by the record
    sheet::CellId plants = sheet::no_cell, input = sheet::no_cell;
    sheet::Evidence evidence;
  };
  void find_slots(std::uint32_t batch);
  void add_slot(std::uint32_t batch, language::StageId stage, language::SupplyId supply);
  void choose_input(LotTaking& taking, Slot& slot) const;
  void round(bool tests_count);
  void settle(std::size_t index, bool tests_count);
  std::vector<LotShare> shares_for(std::size_t index, double plants);
  double rate_of(const OpenLot& lot, const LotTaking& taking) const;
  LotFault fault_of(const OpenLot& lot, std::size_t index) const;
  bool set_input(std::size_t index, const std::vector<LotShare>& shares);
  double plants_of(std::size_t index) const;
  void take(std::size_t index, std::vector<LotShare> shares);

  Plan& plan_;
  RecordedStock record_;
  std::map<std::string, std::vector<OpenLot>> lots_;  ///< by supply
  std::vector<Slot> slots_;                           ///< as Plan::lots
  std::vector<PassedOver> passed_over_;
};

/// Reports what is wrong with lots, once batches have taken from them.
void report_lots(const Plan& plan, const std::vector<PassedOver>& passed_over,
                 text::Diagnostics& diagnostics);

/// The days for which a test is taken as it is; common practice, no published source: a test a
/// year.
inline constexpr int usual_test_holds = 365;
int test_holds(const book::Site& site, const std::string& supply);

}  // namespace budwood::plan
