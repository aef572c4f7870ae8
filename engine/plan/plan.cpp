#include "plan/plan.hpp"

#include <algorithm>
#include <iterator>
#include <map>
#include <numeric>
#include <set>
#include <tuple>

#include "plan/advice.hpp"
#include "plan/arms.hpp"
#include "plan/batch_checker.hpp"
#include "plan/batch_expander.hpp"
#include "plan/demand/demand.hpp"
#include "plan/level/levelled_dates.hpp"
#include "plan/needs/needs.hpp"
#include "plan/orders/choose_days.hpp"
#include "plan/orders/order.hpp"
#include "plan/orders/setting_orders.hpp"
#include "plan/orders/settings.hpp"
#include "plan/orders/spread_days.hpp"
#include "plan/orders/turns.hpp"
#include "plan/rooms/check_abilities.hpp"
#include "plan/rooms/load.hpp"
#include "plan/rooms/room_climate.hpp"
#include "plan/rooms/room_closures.hpp"
#include "plan/today/conditional_work.hpp"
#include "plan/today/sights.hpp"
#include "plan/today/started.hpp"
#include "sheet/template/compile.hpp"
#include "sheet/template/trial.hpp"
#include "threads/threads.hpp"

namespace budwood::plan {

namespace {

using calendar::Day;

/// Whether somebody wrote what a supply is; else its title is made of its name.
bool has_title(const language::Supply& supply) {
  std::string words = supply.name;
  std::replace(words.begin(), words.end(), '_', ' ');
  return supply.title != words;
}

/// In what two supplies of one name differ, so that they cannot be one thing to buy; "" when they
/// can. A supply without a title goes with any.
std::string difference(const language::Supply& one, const language::Supply& other) {
  const auto quoted = [](const std::string& text) { return "\"" + text + "\""; };
  if (has_title(one) && has_title(other) && one.title != other.title) {
    return quoted(one.title) + " here and " + quoted(other.title) + " elsewhere";
  }
  if (one.unit.dimension != other.unit.dimension || one.unit.noun != other.unit.noun) {
    return "in " + one.unit.symbol + " here and in " + other.unit.symbol + " elsewhere";
  }
  if (one.reused != other.reused) {
    return one.reused ? "borrowed here and used up elsewhere"
                      : "used up here and borrowed elsewhere";
  }
  return {};
}

class Planner {
 public:
  Planner(const book::Book& book, text::Diagnostics& diagnostics)
      : book_(book), diagnostics_(diagnostics), sights_(book) {
    plan_.book = &book;
  }

  Plan run() {
    for (std::size_t i = 0; i < book_.batches.size(); ++i) add_batch(i);
    check_site_names();
    check_learned_names();
    check_supplies();
    check_places(plan_, diagnostics_);
    for (sheet::Sheet& sheet : plan_.sheets) sheet.evaluate();
    for (BatchPlan& batch : plan_.batches) check_levelled(batch);
    take_stock();
    check_people(plan_, diagnostics_);
    tell_trials(plan_, diagnostics_);
    check_counted(plan_, diagnostics_);
    expand_all();
    choose_days(plan_);
    close_rooms(plan_);
    for (WorkOrder& order : plan_.orders) {
      const bool passed = book_.today && order.date < *book_.today;
      if (passed && order.state == OrderState::open) order.state = OrderState::overdue;
    }
    plan_.settings = RoomSettings(plan_, check_rooms(plan_));
    check_space(plan_);
    check_abilities(plan_);
    put_in_order();
    take_from_mothers(plan_, diagnostics_);
    check_wanted(plan_, diagnostics_);
    make_what_is_used();
    return std::move(plan_);
  }

 private:
  /// What comes up of lots says what is over, and that says how much is sown of lots.
  void take_stock() {
    if (book_.site.finished.empty() && book_.site.surplus.empty()) {
      return take_lots(plan_, diagnostics_);
    }
    const std::size_t notes = plan_.notes.size();
    text::Diagnostics told;
    take_lots(plan_, told);
    take_finished(plan_, diagnostics_);
    plan_.notes.resize(notes);
    take_lots(plan_, diagnostics_);
    note_finished(plan_);
  }

  void make_what_is_used() {
    plan_.recipes = recipes_of(plan_, diagnostics_);
    if (plan_.recipes.empty()) return;
    Needs needs = needs_ahead(plan_);
    plan_.makings = make_mixes(plan_, needs);
    for (std::uint32_t i = 0; i < plan_.makings.size(); ++i) {
      for (const MadeFor& use : plan_.makings[i].uses) {
        if (use.into >= 0) continue;
        std::vector<std::uint32_t>& of = plan_.makings_of_order[plan_.orders[use.order].key()];
        if (of.empty() || of.back() != i) of.push_back(i);
      }
    }
  }

  /// By day and batch; on one day as the works of a stage follow each other.
  void put_in_order() {
    if (plan_.orders.empty()) return;
    const auto in_stage = [this](const WorkOrder& order) {
      const language::Stage& stage =
          plan_.protocol_of(plan_.batches[order.batch]).stages[order.stage];
      return std::tuple(order.stage, stage.works[order.work].place, order.work, order.occurrence,
                        order.part);
    };
    const auto before = [](const auto& a, const auto& b) { return a.batch < b.batch; };
    std::vector<WorkOrder> orders = dealt_to_days();
    // Batches are expanded one after the other, so that those of a day are in order already.
    for (auto day = orders.begin(); day != orders.end();) {
      const auto next = std::find_if(day, orders.end(),
                                     [&](const WorkOrder& one) { return one.date != day->date; });
      if (!std::is_sorted(day, next, before)) std::stable_sort(day, next, before);
      while (day != next) {
        const auto end = std::upper_bound(day, next, *day, before);
        std::sort(day, end,
                  [&](const auto& a, const auto& b) { return in_stage(a) < in_stage(b); });
        day = end;
      }
    }
    plan_.orders = std::move(orders);
  }

  /// The orders by day, of one day as they stand. Hundreds of thousands are not compared.
  std::vector<WorkOrder> dealt_to_days() const {
    const auto [first, last] =
        std::minmax_element(plan_.orders.begin(), plan_.orders.end(),
                            [](const WorkOrder& a, const WorkOrder& b) { return a.date < b.date; });
    const auto day_of = [start = first->date](const WorkOrder& order) {
      return static_cast<std::size_t>(order.date - start);
    };
    std::vector<std::size_t> places(day_of(*last) + 2, 0);
    for (const WorkOrder& order : plan_.orders) ++places[day_of(order) + 1];
    std::partial_sum(places.begin(), places.end(), places.begin());
    std::vector<WorkOrder> out(plan_.orders.size());
    for (const WorkOrder& order : plan_.orders) out[places[day_of(order)]++] = order;
    return out;
  }

  /// The sheet of a protocol, compiled when it is first asked for; nothing when it cannot be used.
  std::optional<std::size_t> sheet_of(const language::Protocol& protocol) {
    const auto [place, fresh] = sheets_.try_emplace(&protocol, std::nullopt);
    if (!fresh) return place->second;
    const std::size_t before = diagnostics_.count(text::Severity::error);
    const auto t = sheet::compile(protocol, diagnostics_);
    if (t != nullptr) sheet::try_out(t, diagnostics_);
    if (t == nullptr || diagnostics_.count(text::Severity::error) > before) return std::nullopt;
    plan_.sheets.emplace_back(t, check_site(book_, *t, diagnostics_));
    place->second = plan_.sheets.size() - 1;
    return place->second;
  }

  /// For batches of which something was seen that makes more work.
  std::optional<std::size_t> sheet_with_conditional_work(const language::Protocol& protocol) {
    const auto [place, fresh] = sheets_with_conditional_work_.try_emplace(&protocol, std::nullopt);
    if (!fresh) return place->second;
    const auto t = sheet::compile(with_conditional_work(protocol), diagnostics_);
    if (t == nullptr) return std::nullopt;
    // What is wrong with the site's values was told with the protocol.
    text::Diagnostics told;
    plan_.sheets.emplace_back(t, check_site(book_, *t, told));
    place->second = plan_.sheets.size() - 1;
    return place->second;
  }

  std::optional<sheet::BatchFacts> facts_for(const book::Batch& batch, const sheet::Template& t,
                                             text::Diagnostics& diagnostics) {
    auto facts = check_batch(batch, t, diagnostics);
    if (!facts) return facts;
    if (!book_.today) return facts;
    facts->today = book_.today;
    add_started(batch, t.protocol, *facts);
    add_finished(batch, t.protocol, *facts);
    add_lasted(batch, t.protocol, *facts);
    sights_.add_gates_seen(batch, t.protocol, *facts);
    return facts;
  }

  void add_batch(std::size_t index) {
    const book::Batch& batch = book_.batches[index];
    const language::Protocol* protocol = find_protocol(book_, batch, diagnostics_);
    if (protocol == nullptr) return;
    auto sheet = sheet_of(*protocol);
    if (!sheet) {
      diagnostics_.error("not-planned", batch.id.span,
                         "Batch `" + batch.id.value + "` is not planned: its protocol has errors.",
                         "Mend them, or waive a rule that does not apply.");
      return;
    }
    auto facts = facts_for(batch, plan_.sheets[*sheet].layout(), diagnostics_);
    if (!facts) return;
    SeenInBatch seen;
    if (facts->today) {
      seen.ifs = sights_.ifs_seen(batch, *protocol, *facts);
      seen.looks = sights_.looks_done(batch, *protocol, *facts);
    }
    if (!seen.ifs.empty() && has_conditional_work(*protocol)) {
      sheet = sheet_with_conditional_work(*protocol);
      if (!sheet) return;
      text::Diagnostics told;
      facts = facts_for(batch, plan_.sheets[*sheet].layout(), told);
    }
    BatchPlan planned;
    if (batch.levelled) {
      if (auto levelled = levelled_facts(batch, plan_.sheets[*sheet].layout(), *facts)) {
        facts = std::move(levelled);
        planned.levelled = true;
      } else {
        note_stale(batch);
      }
    }
    planned.batch = index;
    planned.sheet = *sheet;
    planned.row = plan_.sheets[*sheet].add(std::move(*facts));
    plan_.batches.push_back(planned);
    seen_.push_back(std::move(seen));
  }

  /// Dates that were levelled give way when the batch cannot keep them any more.
  void check_levelled(BatchPlan& batch) {
    sheet::Sheet& sheet = plan_.sheets[batch.sheet];
    if (!batch.levelled) return;
    const std::vector<sheet::Deviation>& missed = sheet.deviations(batch.row);
    const bool kept = std::none_of(missed.begin(), missed.end(), [](const sheet::Deviation& one) {
      using Kind = sheet::Deviation::Kind;
      return !one.happened && (one.kind == Kind::ready || one.kind == Kind::wanted);
    });
    if (kept && sheet.conflict(batch.row) == nullptr) return;
    const book::Batch& written = plan_.facts_of(batch);
    auto facts = facts_for(written, sheet.layout(), diagnostics_);
    if (!facts) return;
    batch.levelled = false;
    sheet.replace(batch.row, std::move(*facts));
    note_stale(written);
  }

  void note_stale(const book::Batch& batch) {
    plan_.notes.push_back({batch.id.value,
                           "The dates that levelling chose no longer fit, and are not used. Level "
                           "the season again.",
                           batch.levelled->span});
  }

  /// Inputs that the site sets for a protocol that the book does not have.
  void check_site_names() {
    std::vector<std::string> names;
    for (const language::Protocol& protocol : book_.protocols) names.push_back(protocol.name);
    for (const auto& [name, inputs] : book_.site.inputs) {
      if (book_.left_out.may_hold(name)) continue;
      if (inputs.empty() || std::find(names.begin(), names.end(), name) != names.end()) continue;
      diagnostics_.error("unknown-name", inputs.begin()->second.span,
                         "There is no protocol named `" + name + "`.",
                         text::did_you_mean(name, names));
    }
  }

  /// What was learned of a protocol that the book does not have any more is told, and no more.
  void check_learned_names() {
    for (const book::LearnedValue& one : book_.learned) {
      const std::string& name = one.protocol.value;
      const bool known =
          std::any_of(book_.protocols.begin(), book_.protocols.end(),
                      [&](const language::Protocol& protocol) { return protocol.name == name; });
      if (known || book_.left_out.may_hold(language::method_of(name))) continue;
      diagnostics_.warning("learned-stale", one.protocol.span,
                           "There is no protocol named `" + name + "` any more, so `" + one.input +
                               "` was learned for nothing.",
                           "Learn again: budwood learn BOOK --keep");
    }
  }

  /// Needs are totals by name, so one name must mean one thing to buy everywhere.
  void check_supplies() {
    std::map<std::string, const language::Supply*> seen;
    for (const sheet::Sheet& sheet : plan_.sheets) {
      for (const language::Supply& supply : sheet.layout().protocol.supplies) {
        const language::Supply* first = seen.try_emplace(supply.name, &supply).first->second;
        const std::string what = difference(supply, *first);
        if (what.empty()) continue;
        text::Diagnostic d;
        d.code = "supply-differs";
        d.span = supply.span;
        d.message = "`" + supply.name + "` is " + what + ", and would be bought as one.";
        d.advice = "Give one of them a name of its own, such as `" + supply.name +
                   "_2`, or write the same in all protocols.";
        d.related.push_back({first->span, "Elsewhere it stands like this."});
        diagnostics_.add(std::move(d));
      }
    }
  }

  /// Batches are independent of each other here: each piece of them is expanded by itself.
  void expand_all() {
    constexpr std::size_t batches_a_piece = 250;
    const threads::Pieces pieces{plan_.batches.size(), batches_a_piece};
    const std::size_t workers = std::min(threads::at_once(), pieces.number());
    std::vector<BatchExpander> expanders;
    for (std::size_t i = 0; i < workers; ++i) expanders.emplace_back(plan_);
    std::vector<Expanded> found(pieces.number());
    threads::each_piece(
        pieces.number(),
        [&](std::size_t piece, std::size_t worker) {
          for (std::size_t i = pieces.begin(piece); i < pieces.end(piece); ++i) {
            expanders[worker].expand(plan_.batches[i], static_cast<std::uint32_t>(i), seen_[i],
                                     found[piece]);
          }
        },
        workers);
    std::size_t orders = plan_.orders.size();
    for (const Expanded& one : found) orders += one.orders.size();
    plan_.orders.reserve(orders);
    for (Expanded& one : found) take(std::move(one));
  }

  void take(Expanded found) {
    for (auto told = found.once_a_room.rbegin(); told != found.once_a_room.rend(); ++told) {
      if (!rooms_told_.contains(told->first)) continue;
      found.notes.erase(found.notes.begin() + static_cast<std::ptrdiff_t>(told->second));
    }
    for (const auto& [room, place] : found.once_a_room) rooms_told_.insert(room);
    const auto append = [](auto& to, auto& from) {
      to.insert(to.end(), std::move_iterator(from.begin()), std::move_iterator(from.end()));
    };
    append(plan_.orders, found.orders);
    append(plan_.contingencies, found.contingencies);
    append(plan_.conflicts, found.conflicts);
    append(plan_.notes, found.notes);
    for (text::Diagnostic& one : found.diagnostics) diagnostics_.add(std::move(one));
  }

  const book::Book& book_;
  text::Diagnostics& diagnostics_;
  Sights sights_;
  Plan plan_;
  std::map<const language::Protocol*, std::optional<std::size_t>> sheets_;
  std::map<const language::Protocol*, std::optional<std::size_t>> sheets_with_conditional_work_;
  std::vector<SeenInBatch> seen_;  ///< of each batch of the plan
  std::set<std::string> rooms_told_;
};

}  // namespace

calendar::Day first_start(const Plan& plan, const BatchPlan& batch) {
  calendar::Day first = calendar::last_day;
  const sheet::Row row = plan.row_of(batch);
  for (const language::StageId s : row.protocol().stages.ids()) {
    first = std::min(first, row.start(s));
  }
  return first;
}

Plan make_plan(const book::Book& book, text::Diagnostics& diagnostics) {
  return Planner(book, diagnostics).run();
}

}  // namespace budwood::plan
