/// What a plan uses up, borrows and pays. What is spoilt of a counted supply is rounded up once
/// a batch and goes with the order that first needs the spare, so that orders, days, weeks and
/// batches add up to the same. What is spoilt of a borrowed supply never comes back; that is
/// all a batch pays for it.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "book/book.hpp"
#include "calendar/calendar.hpp"
#include "text/text.hpp"
#include "units/units.hpp"

namespace budwood::plan {

struct Plan;

/// What is taken of a supply for one work order.
struct Taking {
  std::uint32_t order = 0;  ///< in Plan::orders
  std::uint16_t use = 0;    ///< in the work of the order
  calendar::Day day = 0;
  calendar::Day back = 0;  ///< of a reused supply: the first day on which it is free again
  double amount = 0;       ///< base units; what is spoilt is in it
  double spoilt = 0;       ///< of that, what is spoilt and never comes back
  double made = 0;         ///< of that, what is made for it and not taken of what is on hand
  /// In Plan::makings, what it is taken for; `use` is then in the recipe, and the order that for
  /// which that is made. -1: for the order itself.
  std::int32_t making = -1;
  static constexpr std::int32_t made_before = -2;  ///< for what was made for orders that are done
};

/// The terms of one supplier for a supply; amounts in base units.
struct Offer {
  std::string supplier;          ///< "" when the site names none
  double pack = 0;               ///< 0: bought by the unit
  std::optional<double> price;   ///< money for a base unit, below the first break
  std::optional<int> lead_days;  ///< from order to delivery
  double minimum = 0;            ///< the least of one delivery
  double fee = 0;                ///< money for each delivery, however much it brings
  struct Break {
    double from = 0;
    double price = 0;  ///< of a base unit of all of the delivery
  };
  std::vector<Break> breaks;  ///< ascending, each cheaper than the one before

  /// The price of a base unit where so much is bought at once.
  std::optional<double> price_of(double amount) const;
};

/// A part of what is on hand.
struct OnHand {
  double amount = 0;                    ///< base units
  std::optional<calendar::Day> use_by;  ///< the last day on which it may be used
};

/// What the site says of a supply, or else the protocol.
struct SupplyTerms {
  double on_hand = 0;           ///< base units
  double pack = 0;              ///< base units; 0: bought by the unit
  std::optional<double> price;  ///< money for a base unit; of several offers the lowest
  std::optional<double> scrap;  ///< the site's; without it that of each protocol counts
  std::vector<OnHand> parts;    ///< of what is on hand, where some expires; else none
  std::vector<Offer> offers;    ///< one or more, as the site has them
  std::optional<int> keeps;     ///< days from its coming to its use; none: as long as one likes
  double storage = 0;           ///< money for a base unit and day that it lies here
  text::Span span;              ///< of the site's line; no place when it says nothing
};

/// What a batch misses of a supply when it is not there.
struct Shortage {
  std::uint32_t batch = 0;  ///< in Plan::batches
  calendar::Day day = 0;    ///< when it misses some first
};

/// What comes at once of a supply that is bought.
struct Delivery {
  std::string supplier;        ///< "" when the site names none
  double amount = 0;           ///< base units; whole packs, and whole pieces of what is counted
  double pack = 0;             ///< base units; 0: bought by the unit
  double packs = 0;            ///< 0 when it is bought by the unit
  std::optional<double> cost;  ///< money, with what the delivery itself costs; none without a price
  Shortage first;              ///< what would be missing first; it has to be there on that day
  calendar::Day last = 0;      ///< the last day on which some of it is used
  std::optional<calendar::Day> order_by;  ///< a working day; none without a lead time
  bool late = false;                      ///< that day has passed
  std::optional<calendar::Day> comes;     ///< when late: on which day it comes if ordered now
  std::vector<Shortage> shortages;        ///< when late: each batch that misses some until then
  double over = 0;                        ///< base units of it that are never used, or not in time
  bool spoils = false;                    ///< what is over does not keep until somebody needs it
  double least = 0;  ///< base units that would do as long; less where more costs less
  std::optional<double> least_cost;  ///< money for that; with `least` less than what is bought
  calendar::Day arrives() const { return comes.value_or(first.day); }
};

/// What has to be bought of a supply so that the whole book has enough.
struct Purchase {
  std::vector<Delivery> deliveries;  ///< one or more, by day
  double amount = 0;                 ///< base units, of all deliveries
  double packs = 0;  ///< the same; 0 when it is bought by the unit, or in packs that differ
  std::optional<double> cost;             ///< money; none where a price is not known
  Shortage first;                         ///< of the first delivery
  std::optional<calendar::Day> order_by;  ///< the first one
  bool late = false;                      ///< one of them is
  std::optional<calendar::Day> comes;     ///< of the first late one
  std::vector<Shortage> shortages;        ///< of all late ones, each batch once
};

/// What a batch has of a reused supply on the day on which most is out.
struct PeakShare {
  std::uint32_t batch = 0;
  double amount = 0;  ///< base units
};

/// A total over all orders.
struct SupplyNeed {
  std::string supply;
  std::string title;
  units::Unit unit;
  bool reused = false;
  /// Base units. What is used up: all of it. What is reused: the most that is out at once, with
  /// what was spoilt until then.
  double amount = 0;
  double spoilt = 0;  ///< in all
  double pack = 0;    ///< base units; 0: bought by the unit
  double packs = 0;   ///< whole packs that cover the amount; 0 when it has no packs
  SupplyTerms terms;
  std::vector<Taking> takings;       ///< as their orders
  calendar::Day peak_day = 0;        ///< of a reused supply: the first day on which most is out
  std::vector<PeakShare> peak;       ///< and the batches that have it then
  std::optional<Purchase> purchase;  ///< none when enough is on hand, or when it is made here
  std::vector<OnHand> expires;       ///< of what is on hand, what nobody uses in time
  /// What is made of it here, as a recipe says; none: it is bought.
  struct Made {
    double amount = 0;  ///< base units
    int times = 0;
  };
  std::optional<Made> made;
};

/// People's time for one work order.
struct Labour {
  std::uint32_t order = 0;  ///< in Plan::orders
  double seconds = 0;
  calendar::Day day = 0;
  std::int32_t making =
      -1;  ///< in Plan::makings, where it is the order's share of making something
};

/// A day on which a crew is wanted for longer than it is there.
struct CrewOverload {
  calendar::Day day = 0;
  double seconds = 0;                  ///< wanted
  double there = 0;                    ///< seconds; 0 on a day on which nobody of it works
  std::vector<std::uint32_t> batches;  ///< that want it, in Plan::batches
};

struct CrewNeed {
  std::string crew;  ///< "" for work without a crew
  double seconds = 0;
  const book::Crew* facts = nullptr;    ///< what the site says of it; nullptr when it says nothing
  std::optional<double> cost;           ///< money for a person-hour
  std::vector<Labour> labour;           ///< as their orders
  std::vector<CrewOverload> overloads;  ///< by day
};

struct Needs {
  std::vector<SupplyNeed> supplies;  ///< by name
  std::vector<CrewNeed> crews;       ///< by name
};

/// What the orders of a plan need in all, and what has to be bought for it.
///
/// Of a supply of which a share s is spoilt, amount / (1 - s) is taken. What is counted is taken
/// whole: the total of a batch is rounded up once, and the spare goes with the first order that
/// needs a part of it. A reused supply is out from its use to the end of the stage that the use
/// names, else up to the day on which its batch is ready; at least for that day. What is
/// spoilt of it never comes back.
///
/// Stock on hand goes out first, in the order of the work, what expires first before all other.
/// Delivery has to be on the day on which something would be missing; `order_by` is the lead time
/// before that, on a working day. With `today` a purchase that had to be ordered before is late.
/// Into which deliveries it is split, and of whom, `plan/needs/deliveries.hpp` tells.
///
/// What a recipe makes is not bought: its ingredients are needed, on the day on which it is made.
Needs total_needs(const Plan& plan, std::optional<calendar::Day> today = std::nullopt);

/// The need of a supply; nullptr when there is none.
SupplyNeed* find_supply(Needs& needs, const std::string& supply);

/// What the orders of a plan take that are not done, with what is on hand; before anything is made
/// or added up. Also what recipes may ask for, so that some of it may be taken by nothing.
Needs needs_ahead(const Plan& plan);

/// The time that a crew has on a day, in seconds of its people; nothing when the site does not say.
std::optional<double> crew_time(const Plan& plan, const CrewNeed& need, calendar::Day day);

/// Reports what a site says of supplies that does not fit the protocols of its book: names that
/// none of them has, units, packs. `total_needs` does without what is reported here.
void check_site_supplies(const Plan& plan, text::Diagnostics& diagnostics);

/// Warns of purchases that are late, with the batches that go short and from when.
void report_late(const Plan& plan, const Needs& needs, calendar::Day today,
                 text::Diagnostics& diagnostics);

/// What needs can be added up by.
enum class Grouping : std::uint8_t { all, batch, day, week };

/// An amount of a supply or of a crew's time in a group.
struct GroupShare {
  std::uint32_t index = 0;  ///< in Needs::supplies or Needs::crews
  double amount = 0;        ///< base units, seconds
};
struct NeedsGroup {
  std::uint32_t batch = 0;           ///< by batch: in Plan::batches
  calendar::Day first = 0;           ///< by day that day, by week its Monday
  std::vector<GroupShare> supplies;  ///< by name; what is taken out
  std::vector<GroupShare> crews;     ///< by name
};
/// Needs by batch (as in the plan), by day or by ISO week; groups without needs are left out. A
/// batch counts the most that it has out at once of a reused supply, a day or week what is taken
/// out in it. `grouping` is not `all`.
std::vector<NeedsGroup> group_needs(const Plan& plan, const Needs& needs, Grouping grouping);

}  // namespace budwood::plan
