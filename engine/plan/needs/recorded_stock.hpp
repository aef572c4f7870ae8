/// What is on hand by the record. Private to this module.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <unordered_map>
#include <unordered_set>
#include <utility>
#include <vector>

#include "plan/needs/needs.hpp"

namespace budwood::plan {

/// What the record of a book says of stock, looked through once.
class RecordedStock {
 public:
  explicit RecordedStock(const Plan& plan);

  /// Sets what is on hand of a supply now, base units: as last counted, or else as the site says,
  /// and what came in since less what was thrown out and used since. `done` are the takings for
  /// work that is done: they count as planned where nobody noted what of this supply was really
  /// used. What was used on the day of the count was used before it. Of what comes back nothing is
  /// used. Where it does not keep for ever: the parts of it, and when each expires. What came in
  /// last is there longest; what was counted is taken to have come on the day of the count.
  void set_on_hand(std::span<const Taking> done, SupplyNeed& need) const;

  /// What was made of what is made here, and when: all that came in, and what orders that are done
  /// have used beyond that and what was there.
  std::vector<std::pair<calendar::Day, double>> made_of(const SupplyNeed& need,
                                                        std::span<const Taking> done) const;

  /// What was noted as used for a taking, base units; nothing when nobody noted it.
  std::optional<double> noted(const Taking& taking, const SupplyNeed& need) const;

  /// What was noted of a supply for a stage of a batch.
  struct UsedInStage {
    bool any_done = false;         ///< some work of the stage that uses it is done
    std::optional<double> amount;  ///< base units, as noted; none: nobody noted any
    /// The plants that this was for; none: all of them, as far as anybody said.
    std::optional<double> plants;
  };
  UsedInStage used_in(const book::Batch& batch, const language::Stage& stage,
                      const language::Protocol& protocol, const language::Supply& supply) const;

 private:
  struct Use {
    const record::Entry* entry = nullptr;
    double amount = 0;  ///< as noted
    std::string_view unit;
  };
  bool is_noted(const Taking& taking, const std::string& supply) const;
  std::span<const record::Entry* const> entries_of(const std::string& supply) const;
  /// The last count of a supply that fits it; nullptr when there is none.
  const record::Entry* last_count(const SupplyNeed& need) const;
  double balance(const SupplyNeed& need, std::span<const Taking> done) const;
  std::vector<OnHand> parts_of(const SupplyNeed& need) const;

  const Plan& plan_;
  std::unordered_map<std::string, std::vector<const record::Entry*>> stock_;  ///< by supply
  std::unordered_map<std::string, std::vector<Use>> used_;                    ///< by supply
  /// "BM27-1/grafting/2/1 tape": what of was noted for which work.
  std::unordered_set<std::string> noted_;
};

}  // namespace budwood::plan
