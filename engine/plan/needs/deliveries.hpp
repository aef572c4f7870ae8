/// When how much is bought of whom: the cheapest deliveries that bring a supply in time.
///
/// Each delivery comes on a day on which something would be missing, because nothing is gained by
/// an earlier one. It brings as much as serves a run of uses, its supplier's least amount, or as
/// much as has a lower price; what is over serves the next uses while it keeps. All such splits are
/// tried (of supplies of hundreds of days the cheapest to each), from the first use to the last,
/// and of two ways to the same state the cheaper goes on: a shortest path (Wagner and Whitin,
/// Management Science 5, 1958, for one supplier without packs, breaks and limits of keeping). Of
/// ways that cost the same, that with fewer deliveries is taken.
///
/// Private to this module.
#pragma once

#include <optional>
#include <vector>

#include "calendar/calendar.hpp"
#include "plan/needs/needs.hpp"

namespace budwood::plan {

/// What is needed up to and on a day.
struct NeededBy {
  calendar::Day day = 0;
  double total = 0;  ///< base units; more than that of the day before
};

struct BuyingProblem {
  std::vector<NeededBy> uses;  ///< ascending
  std::vector<Offer> offers;   ///< one or more
  /// On which day each offer comes that is ordered now; none: in time, whenever that is.
  std::vector<std::optional<calendar::Day>> earliest;
  std::optional<int> keeps;
  double storage = 0;    ///< money for a base unit and day, between coming and use
  bool counted = false;  ///< whole pieces are bought
};

struct Bought {
  std::size_t offer = 0;
  std::size_t first = 0, last = 0;  ///< in BuyingProblem::uses, which it serves
  double before = 0;                ///< base units that others have served when it comes
  double amount = 0;                ///< base units
  double least = 0;                 ///< that serves the same uses, or that the supplier gives
  double over = 0;                  ///< that serves none
  bool spoils = false;              ///< what is over does not keep until the next use
};

/// Deliveries for all uses, by day; none for no uses.
std::vector<Bought> cheapest_deliveries(const BuyingProblem& problem);

/// What a delivery of so much costs; without a price only what the delivery itself does.
double delivery_cost(const Offer& offer, double amount);

}  // namespace budwood::plan
