/// The plan: a book worked out into dated work orders and what they need.
///
///   Book --make_plan--> Plan
///
/// Orders are kept small (a season holds hundreds of thousands); `describe` spells one out.
#pragma once

#include <algorithm>
#include <map>
#include <memory>
#include <string>
#include <vector>

#include "book/batches/batch.hpp"
#include "book/book.hpp"
#include "plan/making/makings.hpp"
#include "plan/orders/contingencies.hpp"
#include "plan/orders/order.hpp"
#include "plan/rooms/room_closures.hpp"
#include "plan/settings/room_settings.hpp"
#include "plan/stock/finished.hpp"
#include "plan/stock/lots.hpp"
#include "plan/stock/mothers.hpp"
#include "sheet/dates/dates.hpp"
#include "sheet/row.hpp"
#include "sheet/site/site_sheets.hpp"

namespace budwood::plan {

/// One batch of the book and the row of the sheet that holds its values.
struct BatchPlan {
  std::size_t batch = 0;  ///< in Book::batches
  std::size_t sheet = 0;  ///< in Plan::sheets
  std::size_t row = 0;
  bool dated = false;     ///< it has dates; without them it has no orders
  bool levelled = false;  ///< it stands on the dates that levelling chose
  double from_stock =
      0;               ///< plants that it takes of what is ready already, instead of raising them
  bool raised = true;  ///< false: all of them; it is planned like one without dates
  /// Plants that are ready already and that it leaves: with fewer to raise it would be ready on
  /// another day.
  double stock_left = 0;
  /// The day on which it was given up, or on which its last plants were gone: from then on it is
  /// history.
  std::optional<calendar::Day> over;

  /// Where its row is when the sheets of the plan are edited together.
  sheet::BatchKey key() const {
    return {static_cast<std::uint32_t>(sheet), static_cast<std::uint32_t>(row)};
  }
};

/// A single change that would help where something does not fit.
struct Repair {
  std::string text = {};    ///< in words
  std::string change = {};  ///< the same for `what_if`: "B.ready=2027-05-14"; "" when it is none
};

/// Something that keeps a plan from being carried out as it stands.
struct Conflict {
  std::string batch;                ///< the batch's id
  std::vector<std::string> others;  ///< batches that it conflicts with
  std::string code;
  std::string message;
  std::vector<sheet::DateConflict::Line> facts;
  text::Span span;              ///< the batch, or the rule
  std::vector<Repair> repairs;  ///< each would remove it
  language::StageId stage{};    ///< of the batch, where it is of one stage alone
};

/// Whether a batch has a part in a conflict.
inline bool concerns(const Conflict& conflict, const std::string& batch) {
  return conflict.batch == batch ||
         std::find(conflict.others.begin(), conflict.others.end(), batch) != conflict.others.end();
}
/// Names another batch that has a part in a conflict, once.
inline void add_other(Conflict& conflict, const std::string& batch) {
  if (!concerns(conflict, batch)) conflict.others.push_back(batch);
}

/// An assumption that the planner made, or advice that is not met.
struct Note {
  std::string batch;
  std::string message;
  text::Span span;
};

struct Plan {
  const book::Book* book = nullptr;
  std::vector<sheet::Sheet> sheets;  ///< one a protocol that batches use; another one for
                                     ///< batches with work that only what was seen asks for
  std::vector<BatchPlan> batches;    ///< as in the book
  std::vector<WorkOrder> orders;     ///< by date, batch, stage, work, occurrence
  /// Who tells what to do `if`; by batch, stage, work, occurrence, then as written.
  std::vector<CarriedContingency> contingencies;
  std::vector<LotTaking> lots;                            ///< by day
  std::vector<std::vector<std::uint32_t>> lots_of_batch;  ///< in `lots`; none without lots
  std::vector<FinishedStock> finished;
  MotherUse mothers;
  std::vector<BookRecipe> recipes;  ///< each before those of what it is made of
  std::vector<Making> makings;      ///< by day; on one day what goes into another is before it
  std::map<OrderKey, std::vector<std::uint32_t>> makings_of_order;  ///< in `makings`
  RoomClosures closures;                                            ///< when nobody enters a room
  RoomSettings settings;                                            ///< what is set where
  std::vector<Conflict> conflicts;
  std::vector<Note> notes;
  /// Trials whose trays were noted for other arms than those that the lot gives them to now.
  std::vector<std::string> changed_trials;

  const sheet::Sheet& sheet_of(const BatchPlan& batch) const { return sheets[batch.sheet]; }
  sheet::Row row_of(const BatchPlan& batch) const { return {sheet_of(batch), batch.row}; }
  const language::Protocol& protocol_of(const BatchPlan& batch) const {
    return sheets[batch.sheet].layout().protocol;
  }
  const book::Batch& facts_of(const BatchPlan& batch) const { return book->batches[batch.batch]; }
};

/// The day on which the first stage of a batch that has dates starts.
calendar::Day first_start(const Plan& plan, const BatchPlan& batch);
/// The place of a batch in Plan::batches, also of a copy: they stand as in the book.
inline std::uint32_t number_of(const Plan& plan, const BatchPlan& batch) {
  const auto found =
      std::lower_bound(plan.batches.begin(), plan.batches.end(), batch.batch,
                       [](const BatchPlan& one, std::size_t wanted) { return one.batch < wanted; });
  return static_cast<std::uint32_t>(found - plan.batches.begin());
}

/// Plans every batch of a book. What the book says of protocols (names, inputs, stages, units) is
/// checked against them; mistakes are reported, and batches with mistakes are left out.
Plan make_plan(const book::Book& book, text::Diagnostics& diagnostics);

}  // namespace budwood::plan
