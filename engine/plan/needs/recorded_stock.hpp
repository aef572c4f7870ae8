/// What is on hand by the record. Private to this module.
#pragma once

#include <span>
#include <string>
#include <string_view>
#include <unordered_map>
#include <unordered_set>
#include <vector>

#include "plan/needs/needs.hpp"

namespace budwood::plan {

/// What the record of a book says of stock, looked through once.
class RecordedStock {
 public:
  explicit RecordedStock(const Plan& plan);

  /// What is on hand of a supply now, base units: as last counted, or else as the site says, and
  /// what came in since less what was thrown out and used since. `done` are the takings for work
  /// that is done: they count as planned where nobody noted what of this supply was really used.
  /// What was used on the day of the count was used before it. Of what comes back nothing is used.
  double on_hand(const SupplyNeed& need, std::span<const Taking> done) const;

 private:
  struct Use {
    const record::Entry* entry = nullptr;
    double amount = 0;  ///< as noted
    std::string_view unit;
  };
  bool is_noted(const Taking& taking, const std::string& supply) const;

  const Plan& plan_;
  std::unordered_map<std::string, std::vector<const record::Entry*>> stock_;  ///< by supply
  std::unordered_map<std::string, std::vector<Use>> used_;                    ///< by supply
  /// "BM27-1/grafting/2/1 tape": what of was noted for which work.
  std::unordered_set<std::string> noted_;
};

}  // namespace budwood::plan
