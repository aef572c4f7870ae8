#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <tuple>
#include <vector>

#include "calendar/calendar.hpp"
#include "plan/orders/settings.hpp"
#include "plan/rooms/room_closures.hpp"
#include "text/text.hpp"
#include "units/units.hpp"

namespace budwood::plan {

struct Plan;

/// What became of an order, seen from the day from which the plan goes on.
enum class OrderState : std::uint8_t {
  open,
  overdue,   ///< its day has passed, and nobody noted that it was done or left out
  done,      ///< `date` is when
  left_out,  ///< it will not be done
};
/// "left out".
std::string_view word(OrderState state);

/// Batch, stage, work, occurrence and part.
using OrderKey =
    std::tuple<std::uint32_t, std::int32_t, std::int32_t, std::uint16_t, std::uint16_t>;

/// One dated piece of work for one batch.
struct WorkOrder {
  calendar::Day date = 0;
  calendar::Day due = 0;    ///< when the protocol wants it; `date` is later when nobody works
  std::uint32_t batch = 0;  ///< in Plan::batches
  language::StageId stage;
  language::WorkId work;
  std::uint16_t occurrence = 0;  ///< from 1
  /// Work that is more than a crew does in a day is spread over several: this is day `part` of
  /// `parts`, from 0, with an equal share of everything.
  std::uint16_t part = 0;
  std::uint16_t parts = 1;
  ClosureId held_by;  ///< the last closure that it had to wait for
  OrderState state = OrderState::open;
  bool on_duty = false;  ///< done by whoever has duty, on a day on which the site does not work

  /// What tells it from all others, wherever it stands.
  OrderKey key() const { return {batch, stage, work, occurrence, part}; }
  bool done() const { return state == OrderState::done; }
  /// Whether nothing remains to be done of it.
  bool settled() const { return done() || state == OrderState::left_out; }
};

/// What falls to a part of `total` pieces or plants, so that all parts together have them all.
double share_of(const WorkOrder& order, double total);

/// What an order takes of one of the supplies that its work uses, base units: as often as light
/// asks for it, once where it is not known how much comes.
double use_of(const Plan& plan, const WorkOrder& order, const sheet::Row& row,
              const sheet::UseCells& use);

/// The plants that a work is about: those of its picking, else all of its stage.
double plants_at(const sheet::Row& row, language::StageId stage, language::WorkId work);

/// People's time for an order, seconds; 0 when its work names no labour, a NaN when that has no
/// value.
double person_seconds(const Plan& plan, const WorkOrder& order);

/// Who does it: the crew that the protocol names, or the one that has duty; "" for anyone.
const std::string& crew_of(const Plan& plan, const WorkOrder& order);

/// An amount of a supply on an order.
struct SupplyAmount {
  std::string supply;
  std::string title;
  double amount = 0;  ///< base units
  units::Unit unit;   ///< for showing
  bool reused = false;
  std::string lot;
};

/// Everything that a work order tells people.
struct OrderDetail {
  /// batch/stage/work/occurrence, from the second day of spread work on with ".2"; stays when the
  /// plan moves
  std::string id;
  std::string batch;
  std::string cultivar;  ///< "" when the batch is of one kind
  std::string stage;
  std::string stage_title;
  calendar::Day date = 0;
  calendar::Day due = 0;
  OrderState state = OrderState::open;
  std::string title;
  std::string hours;  ///< "at 12:00", "in the evening, overnight"; "" when nothing is said
  double plants = 0;
  bool cards = false;  ///< these are cards: it is a round through a room
  double person_seconds = 0;
  double people = 0;  ///< 0 when the protocol does not say
  std::string crew;
  std::string room;
  std::vector<SupplyAmount> supplies;
  std::vector<std::string> tools;
  std::vector<DaySetting> settings;  ///< of the stage on that day
  std::vector<std::string> cautions;
  std::vector<std::string> records;  ///< "rooted (plants)"
  std::vector<std::string> notes;
  text::Span line;
};

OrderDetail describe(const Plan& plan, const WorkOrder& order);

/// The last day on which the protocol still allows the order, given when its stage is.
calendar::Day last_day_of(const Plan& plan, const WorkOrder& order);

/// Whether it is a round of repeated work of which the time is over: nobody makes up for it.
bool is_missed(const Plan& plan, const WorkOrder& order);

/// Its id alone.
std::string order_id(const Plan& plan, const WorkOrder& order);
/// The same without the batch: what it is called within it.
std::string order_name(const Plan& plan, const WorkOrder& order);

}  // namespace budwood::plan
