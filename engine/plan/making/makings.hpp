/// What is made here: mixes, dips, stock solutions.
///
/// Orders say what they use; a recipe says what that is made of. What does not keep is made on the
/// day on which it is used, in whole vessels, and what is over is thrown out. What keeps is made
/// once for all uses within that time. What says nothing of keeping is made for each day of use,
/// and what is over goes to the next. A making is an order of its own, for as many batches as use
/// of it; what it takes and costs goes to their orders in the shares in which they use of it.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "calendar/calendar.hpp"
#include "language/model.hpp"
#include "plan/orders/order.hpp"

namespace budwood::plan {

struct Labour;
struct Needs;
struct Plan;

/// The recipe by which a supply is made in the whole book.
struct BookRecipe {
  const language::Protocol* protocol = nullptr;  ///< that has it
  const language::Recipe* recipe = nullptr;

  const language::Supply& supply() const { return protocol->supplies[recipe->supply]; }
  const language::Supply& part(std::size_t i) const {
    return protocol->supplies[recipe->of[i].supply];
  }
};

/// An order, or a making of something else, that uses what is made.
struct MadeFor {
  std::uint32_t order = 0;  ///< in Plan::orders
  calendar::Day day = 0;    ///< on which it is used
  double amount = 0;        ///< base units
  std::int32_t into = -1;   ///< in Plan::makings, what it goes into; -1: it is used as it is
};

struct Making {
  std::uint32_t recipe = 0;  ///< in Plan::recipes
  calendar::Day date = 0;
  double needed = 0;          ///< base units
  double amount = 0;          ///< that is made: whole vessels
  int portions = 1;           ///< made fresh so many times on its day
  double seconds = 0;         ///< people's time
  std::vector<double> of;     ///< base units, as Recipe::of; what is spoilt is in it
  std::vector<MadeFor> uses;  ///< by day
  bool left_keeps = false;    ///< what is over is used later
};

/// The recipes of what the protocols of a plan use, each before those of what it is made of. Where
/// two protocols make one supply in different ways, the first counts and it is reported; so are
/// recipes that are made of each other in a circle, which are left out.
std::vector<BookRecipe> recipes_of(const Plan& plan, text::Diagnostics& diagnostics);

/// What has to be made for some needs. Takes what it is made of, and the time of people, into them.
std::vector<Making> make_mixes(const Plan& plan, Needs& needs);

/// The time of people for a making, in the shares of those who use of it. `index`: its place in
/// Plan::makings. None when it takes no time.
std::vector<Labour> labour_of(const Making& making, std::int32_t index);

/// Everything that an order to make something tells people.
struct MakingDetail {
  std::string id;  ///< "potting_mix/make/2027-03-04"
  std::string title;
  calendar::Day date = 0;
  SupplyAmount made;
  double needed = 0;  ///< base units
  double person_seconds = 0;
  double people = 0;  ///< 0 when the recipe does not say
  std::string crew;
  std::vector<SupplyAmount> supplies;
  std::vector<std::string> batches;  ///< that use of it, as in the plan
  std::vector<std::string> uses;     ///< "40 L for A1/potting/1/1 on Mon 2027-03-08"
  std::vector<std::string> tools, cautions, notes;
  text::Span line;
};
MakingDetail describe(const Plan& plan, const Making& making);
std::string making_id(const Plan& plan, const Making& making);

/// When what an order uses is made, for each thing that is: "Potting mix is made on Mon 2027-03-04
/// (potting_mix/make/2027-03-04)."
std::vector<std::string> made_notes(const Plan& plan, const WorkOrder& order);

}  // namespace budwood::plan
