/// What is on hand by the record. Private to this module.
#pragma once

#include <string>
#include <unordered_map>
#include <vector>

#include "plan/needs/needs.hpp"

namespace budwood::plan {

/// What the record of a book says of stock, looked through once.
class RecordedStock {
 public:
  explicit RecordedStock(const Plan& plan);

  /// What is on hand of a supply now, base units: as last counted, or else as the site says, and
  /// what came in since less what was thrown out and used since. `used` are the takings for work
  /// that is done; where the record tells what was really used for it, that counts. What was used
  /// on the day of the count was used before it.
  double on_hand(const SupplyNeed& need, const std::vector<Taking>& used) const;

 private:
  std::vector<const record::Entry*> stock_of(const std::string& supply) const;
  const record::Entry* noted_for(const Taking& taking) const;

  const Plan& plan_;
  std::unordered_map<std::string, std::vector<const record::Entry*>> stock_;  ///< by supply
  /// By batch and order: work that is done and for which somebody noted what was used.
  std::unordered_map<std::string, const record::Entry*> used_;
};

}  // namespace budwood::plan
