#pragma once

#include "report/differences/comparison.hpp"
#include "report/differences/settings_difference.hpp"
#include "report/formats/filter.hpp"

/// How work and settings differ between two plans. Private to this module.
namespace budwood::report {

/// An order in both plans; nullptr where it is not done.
struct OrderPair {
  const plan::WorkOrder* before = nullptr;
  const plan::WorkOrder* after = nullptr;
};

/// One work of a batch with what differs of it.
struct WorkDifference {
  language::StageId stage;
  language::WorkId work;
  std::vector<OrderPair> orders;  ///< all that pass the filter, by occurrence
};

struct BatchDifference {
  BatchPair batch;
  Differences values;                 ///< about "batch": ready, first day, plants
  std::vector<WorkDifference> works;  ///< as in the protocol
  SettingDifferences settings;
};

struct PlanDifference {
  std::vector<BatchDifference> batches;  ///< that differ, as in the book
  std::size_t same = 0;                  ///< batches that do not
  Differences messages;                  ///< about "conflict" and "note": new and gone
  Differences makings;                   ///< about "making": what is made on other days
};
PlanDifference plan_difference(const Comparison& both, const Filter& filter);

/// The same without work and settings, for plans in which batches follow different protocols.
PlanDifference value_difference(const Comparison& both);

/// What conflicts and notes are new or gone, as a table; nothing when there are none.
void write_messages(std::ostream& out, const Differences& messages, const Style& style);

/// Every value of every order that differs, about "order": its date, plants, hours and supplies.
Differences order_rows(const Comparison& both, const BatchDifference& batch);

/// What a work needs each time it is done; nothing on a side where the batch is not planned.
struct WorkNeeds {
  double plants = 0;
  double person_seconds = 0;
  std::vector<double> supplies;  ///< base units, as in the protocol
};
WorkNeeds needs_of(const plan::Plan& plan, const plan::WorkOrder& order);

/// "Plug tray, 104 cells": the title of the supply that a use takes, or its name.
const language::Supply& supply_of(const language::Protocol& protocol, const language::Use& use);

}  // namespace budwood::report
