#pragma once

#include <optional>
#include <string>
#include <vector>

#include "plan/plan.hpp"

namespace budwood::report {

/// Which work orders to show; what is not set lets all through.
struct Filter {
  std::optional<std::string> batch;  ///< its id
  std::optional<std::string> room;
  std::optional<std::string> crew;
  std::optional<calendar::Day> from;
  std::optional<calendar::Day> to;  ///< included

  /// Whether it holds back orders of a batch that it lets through.
  bool narrows_orders() const { return room || crew || from || to; }
};

bool passes(const plan::Plan& plan, const plan::BatchPlan& batch, const Filter& filter);
bool passes(const plan::Plan& plan, const plan::WorkOrder& order, const Filter& filter);

/// The places in Plan::orders of those that pass, in their order.
std::vector<std::size_t> select(const plan::Plan& plan, const Filter& filter);

/// A name in a filter that stands nowhere in the book or its protocols, in words, with what may
/// have been meant; "" when there is none.
std::string unknown_name(const plan::Plan& plan, const Filter& filter);

}  // namespace budwood::report
