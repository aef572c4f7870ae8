#pragma once

#include <optional>
#include <string>
#include <vector>

#include "paper/paper.hpp"

namespace budwood::paper {

/// Orders that stand together, on one page or several of their own.
struct Group {
  std::string title;                          ///< "Monday 2027-03-15", "Crew grafting"
  std::string small;                          ///< beside it: "2027-W11"
  std::optional<std::size_t> batch;           ///< in Plan::batches, when it is one batch's
  bool one_day = false;                       ///< all are of one day, which the title tells
  bool says_days = false;                     ///< the words beside the title tell its days
  std::vector<report::SelectedOrder> orders;  ///< by date
};

/// Orders that are sorted by date, in groups; of a day what closes a room comes last.
std::vector<Group> groups_of(const plan::Plan& plan, std::vector<report::SelectedOrder> orders,
                             Grouping by);

/// The place of an order's batch in Plan::batches, and of its stage in the protocol. Of what is
/// made for several it is the first.
std::size_t batch_of(const plan::Plan& plan, const report::SelectedOrder& order);
std::size_t stage_of(const report::SelectedOrder& order);

/// "Monday 2027-03-15".
std::string day_title(calendar::Day day);

}  // namespace budwood::paper
