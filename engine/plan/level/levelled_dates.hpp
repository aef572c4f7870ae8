/// Private to this module: how plans obey what levelling chose and what is done.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "book/batches/batch.hpp"
#include "plan/orders/order.hpp"
#include "sheet/site/site.hpp"
#include "sheet/template/template.hpp"

namespace budwood::plan {

/// Facts with what levelling chose for the batch: when it is ready, and the dates of stages that
/// nobody fixed. Nothing when these do not belong to the protocol any more.
std::optional<sheet::BatchFacts> levelled_facts(const book::Batch& batch, const sheet::Template& t,
                                                sheet::BatchFacts facts);

/// The days of single orders that a batch fixes, by their names within it.
class OrderDays {
 public:
  /// Work that is done or left out, then what levelling chose if `levelled`.
  OrderDays(const book::Batch& batch, bool levelled);

  bool empty() const { return days_.empty() && left_out_.empty(); }
  /// Moves an order to its day, and says what became of it.
  void apply(const std::string& name, WorkOrder& order);
  struct Unknown {
    const book::OrderDay* order = nullptr;
    bool done = false;  ///< else left out
  };
  /// Those that are done or left out and that no order answers to.
  std::vector<Unknown> unknown() const;

 private:
  struct Fixed {
    const book::OrderDay* order = nullptr;
    bool done = false;
    bool used = false;
  };
  struct LeftOut {
    const book::OrderDay* what = nullptr;
    bool used = false;
  };
  std::map<std::string, Fixed> days_;
  std::vector<LeftOut> left_out_;
};

}  // namespace budwood::plan
