/// Plants that are ready already, and batches that take them instead of raising as many.
///
/// They are what the site says it has (`finished`), and what is over of batches whose protocol the
/// site keeps a surplus of (`surplus`): before they are counted, so many as come as surely as the
/// batch is planned. Batches take in the order in which they are ready, those plants first that
/// serve for the shortest time.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "book/stock/stock.hpp"
#include "calendar/calendar.hpp"
#include "text/text.hpp"

namespace budwood::plan {

struct BatchPlan;
struct Plan;

struct FinishedStock {
  std::string name;  ///< the site's, or that of the batch of which they are over
  const book::Finished* facts = nullptr;  ///< nullptr: they are over of a batch
  std::string of;                         ///< their protocol
  std::string cultivar;                   ///< "": none
  calendar::Day from = calendar::first_day;
  calendar::Day until = calendar::last_day;  ///< the last day on which they serve
  double plants = 0;                         ///< whole
  struct Part {
    std::uint32_t batch = 0;  ///< in Plan::batches
    double plants = 0;
  };
  std::vector<Part> parts;  ///< by the day on which the batch is ready
  double left() const;
};

/// Has the batches of a plan take from what is there. The sheets are worked out; those of batches
/// that take plan with fewer plants. Names that nothing has are reported.
void take_finished(Plan& plan, text::Diagnostics& diagnostics);

/// The day on which all plants of a batch are ready, raised or there already. Nothing without
/// dates.
std::optional<calendar::Day> ready_on(const Plan& plan, const BatchPlan& batch);

/// Says of batches what they take, and what is over of them.
void note_finished(Plan& plan);

/// Plants and who takes of them, one after the other.
struct FinishedRow {
  const FinishedStock* stock = nullptr;
  const FinishedStock::Part* part = nullptr;  ///< nullptr: nobody takes of them
  double left = 0;                            ///< after it
};
std::vector<FinishedRow> finished_rows(const Plan& plan);

/// What a batch takes, and of what: "58 from `pansies_east` and 12 from PA29-1".
std::string taken_text(const Plan& plan, std::uint32_t batch);
/// The first day on which all that a batch takes is there.
calendar::Day taken_from(const Plan& plan, std::uint32_t batch);

}  // namespace budwood::plan
