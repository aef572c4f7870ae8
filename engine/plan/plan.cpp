#include "plan/plan.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <tuple>

#include "plan/advice.hpp"
#include "plan/arms.hpp"
#include "plan/batch_checker.hpp"
#include "plan/demand/demand.hpp"
#include "plan/level/levelled_dates.hpp"
#include "plan/needs/needs.hpp"
#include "plan/orders/choose_days.hpp"
#include "plan/orders/contingencies.hpp"
#include "plan/orders/expand_works.hpp"
#include "plan/orders/order.hpp"
#include "plan/orders/setting_orders.hpp"
#include "plan/orders/settings.hpp"
#include "plan/orders/spread_days.hpp"
#include "plan/orders/turns.hpp"
#include "plan/rooms/check_abilities.hpp"
#include "plan/rooms/load.hpp"
#include "plan/rooms/room_climate.hpp"
#include "plan/rooms/room_closures.hpp"
#include "plan/settings/tell_settings.hpp"
#include "plan/shortfalls.hpp"
#include "plan/today/closed.hpp"
#include "plan/today/conditional_work.hpp"
#include "plan/today/sights.hpp"
#include "plan/today/started.hpp"
#include "plan/today/tell_deviations.hpp"
#include "sheet/columns/shown.hpp"
#include "sheet/template/compile.hpp"
#include "sheet/template/requirements.hpp"
#include "sheet/template/trial.hpp"

namespace budwood::plan {

namespace {

using calendar::Day;
using calendar::days_text;

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
    for (std::size_t i = 0; i < plan_.batches.size(); ++i) expand(i);
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
    const auto in_stage = [this](const WorkOrder& order) {
      const language::Stage& stage =
          plan_.protocol_of(plan_.batches[order.batch]).stages[order.stage];
      return std::tuple(order.stage, stage.works[order.work].place, order.work, order.occurrence,
                        order.part);
    };
    // Hundreds of thousands are dealt to their days; only those of one day are compared.
    std::map<Day, std::vector<WorkOrder>> days;
    for (const WorkOrder& order : plan_.orders) days[order.date].push_back(order);
    plan_.orders.clear();
    for (auto& [day, orders] : days) {
      std::sort(orders.begin(), orders.end(), [&](const auto& a, const auto& b) {
        return a.batch != b.batch ? a.batch < b.batch : in_stage(a) < in_stage(b);
      });
      plan_.orders.insert(plan_.orders.end(), orders.begin(), orders.end());
    }
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

  void expand(std::size_t index) {
    BatchPlan& batch = plan_.batches[index];
    if (const auto& stopped = plan_.facts_of(batch).stopped) {
      batch.over = stopped->value;
      give_up(index);
      return;
    }
    batch.over = closed_on(plan_, batch);
    if (batch.over) return close(index);
    report_values(batch);
    add_shortfalls(plan_, batch);
    batch.dated = batch.raised && plan_.row_of(batch).dated();
    if (!batch.dated) return;
    report_requirements(batch);
    report_assumptions(batch);
    tell_deviations(plan_, batch);
    settings_.tell(plan_, batch);
    expand_works(plan_, static_cast<std::uint32_t>(index), seen_[index], diagnostics_);
    add_contingencies(plan_, static_cast<std::uint32_t>(index));
  }

  /// Of a batch that is over, only work of which something is noted stays. Gives of how many orders
  /// nothing is.
  std::size_t expand_noted(std::size_t index) {
    if (!plan_.row_of(plan_.batches[index]).dated()) return 0;
    const auto before = static_cast<std::ptrdiff_t>(plan_.orders.size());
    const std::size_t notes = plan_.notes.size();
    const std::size_t conflicts = plan_.conflicts.size();
    expand_works(plan_, static_cast<std::uint32_t>(index), seen_[index], diagnostics_);
    plan_.notes.resize(notes);
    plan_.conflicts.resize(conflicts);
    const auto unsaid = std::remove_if(plan_.orders.begin() + before, plan_.orders.end(),
                                       [](const WorkOrder& order) { return !order.settled(); });
    const auto count = static_cast<std::size_t>(plan_.orders.end() - unsaid);
    plan_.orders.erase(unsaid, plan_.orders.end());
    return count;
  }

  void give_up(std::size_t index) {
    const BatchPlan& batch = plan_.batches[index];
    const book::Batch& facts = plan_.facts_of(batch);
    expand_noted(index);
    note(batch,
         "Given up on " + calendar::short_date(facts.stopped->value) +
             (facts.stopped_because.empty() ? "." : ": " + facts.stopped_because),
         facts.stopped->span);
  }

  void close(std::size_t index) {
    BatchPlan& batch = plan_.batches[index];
    batch.dated = plan_.row_of(batch).dated();
    const std::size_t unsaid = expand_noted(index);
    std::string text =
        "Closed on " + calendar::short_date(*batch.over) + ": its last plants were gone.";
    if (unsaid > 0) {
      text += " Of " +
              units::format(static_cast<double>(unsaid), units::counting_unit("work orders"), 12) +
              " nobody noted anything.";
    }
    note(batch, text, plan_.facts_of(batch).span);
  }

  void report_values(const BatchPlan& batch) {
    const sheet::Row row = plan_.row_of(batch);
    const sheet::Template& t = row.layout();
    const std::vector<std::size_t> unmet = sheet::unmet_expectations(row);
    for (const std::size_t i : unmet) {
      const sheet::Expectation& e = t.expectations[i];
      conflict(batch, "out-of-range",
               e.message + " (with the inputs of this batch: " + sheet::shown(row, e) + ").",
               e.span);
    }
    if (const auto& found = row.conflict()) {
      std::string message = "The dates of this batch contradict each other";
      message += found->misses > 0 ? "; they miss by " + days_text(found->misses) + "." : ".";
      conflict(batch, "dates-contradict", message, plan_.facts_of(batch).span);
      plan_.conflicts.back().facts = found->lines;
      for (const sheet::DateConflict::Repair& one : found->repairs) {
        plan_.conflicts.back().repairs.push_back(repair_of(plan_.facts_of(batch), one));
      }
    } else if (const auto origin = sheet::origin_of_no_value(row); origin && unmet.empty()) {
      // What lies out of range is often why something else has no value.
      conflict(
          batch, "no-value",
          "With the inputs of this batch there is no value for " + describe(t.cell(*origin)) + ".",
          t.cell(*origin).span);
    }
  }

  static Repair repair_of(const book::Batch& batch, const sheet::DateConflict::Repair& repair) {
    if (repair.cell.empty()) return {repair.text};
    return {repair.text, batch.id.value + "." + repair.cell + "=" + calendar::iso_date(repair.day)};
  }

  void conflict(const BatchPlan& batch, std::string code, std::string message,
                const text::Span& span) {
    plan_.conflicts.push_back(
        {plan_.facts_of(batch).id.value, {}, std::move(code), std::move(message), {}, span, {}});
  }

  void report_requirements(const BatchPlan& batch) {
    const sheet::Row row = plan_.row_of(batch);
    const sheet::Template& t = row.layout();
    for (std::size_t i = 0; i < t.requirements.size(); ++i) {
      const language::Requirement& requirement = t.protocol.requirements[i];
      if (row.value(t.requirements[i]) != 0) continue;
      if (!requirement.rule.empty()) {
        report_rule(batch, i);
        continue;
      }
      if (requirement.advice) {
        note(batch, sheet::message_of(row, i), requirement.span);
      } else {
        conflict(batch, "requirement", sheet::message_of(row, i), requirement.span);
      }
    }
  }

  /// What fails for every batch is said once for the protocol.
  void report_rule(const BatchPlan& batch, std::size_t i) {
    const sheet::Row row = plan_.row_of(batch);
    const sheet::Template& t = row.layout();
    const auto [found, fresh] = never_met_.try_emplace(&t);
    if (fresh) found->second = sheet::never_met(row.sheet().shared_layout());
    const std::vector<std::size_t>& general = found->second;
    if (std::find(general.begin(), general.end(), i) != general.end()) return;
    const language::Requirement& rule = t.protocol.requirements[i];
    const std::string message = sheet::message_of(row, i);
    if (const language::Waiver* waiver = language::waiver_of(t.protocol, rule)) {
      note(batch, "Waived (" + waiver->reason + "): " + message, rule.span);
    } else if (rule.advice) {
      note(batch, message, rule.span);
    } else {
      conflict(batch, rule.rule, message, rule.span);
    }
  }

  /// Whether it is told elsewhere that plants wait longer after a stage than they may.
  static bool waits_too_long(const sheet::Row& row, StageId stage) {
    const std::vector<sheet::Deviation>& all = row.deviations();
    return std::any_of(all.begin(), all.end(), [&](const sheet::Deviation& one) {
      return one.kind == sheet::Deviation::Kind::wait && one.stage == stage;
    });
  }

  /// What the planner did that nobody wrote down.
  void report_assumptions(const BatchPlan& batch) {
    const sheet::Row row = plan_.row_of(batch);
    const book::Batch& facts = plan_.facts_of(batch);
    const Day ready = *row.ready();
    // What comes too late is told as a conflict.
    if (facts.ready && ready < facts.ready->value) {
      const bool eve = book_.site.working.days().previous(facts.ready->value) == ready;
      const std::string closed =
          eve ? book_.site.working.reason_closed(facts.ready->value) : std::string();
      note(batch,
           "Ready on " + calendar::short_date(ready) + ", not on " +
               calendar::short_date(facts.ready->value) +
               (closed.empty() ? "." : ", which is " + closed + "."),
           facts.ready->span);
    }
    for (const StageId s : row.protocol().stages.ids()) {
      for (const StageId before : row.stage(s).takes) {
        const int waits = row.start(s) - row.end(before);
        if (waits <= 0 || waits_too_long(row, before)) continue;
        // Who sees in the evening that a stage is over begins the next one in the morning.
        const auto morning = book_.site.working.days().next(row.end(before) + 1);
        if (morning && row.start(s) <= *morning) continue;
        const language::Stage& left = row.stage(before);
        const bool goes_on =
            std::any_of(left.works.begin(), left.works.end(), language::goes_on_in_wait);
        note(batch,
             "After `" + left.name + "` plants wait " + days_text(waits) + " for `" +
                 row.stage(s).name + "`, from " + calendar::short_date(row.end(before)) + " to " +
                 calendar::short_date(row.start(s)) +
                 (goes_on ? "; what looks after them goes on." : "; go on looking after them."),
             left.span);
      }
    }
  }

  void note(const BatchPlan& batch, std::string message, const text::Span& span) {
    plan_.notes.push_back({plan_.facts_of(batch).id.value, std::move(message), span});
  }

  const book::Book& book_;
  text::Diagnostics& diagnostics_;
  Sights sights_;
  SettingTeller settings_;
  Plan plan_;
  std::map<const language::Protocol*, std::optional<std::size_t>> sheets_;
  std::map<const language::Protocol*, std::optional<std::size_t>> sheets_with_conditional_work_;
  std::vector<SeenInBatch> seen_;  ///< of each batch of the plan
  std::map<const sheet::Template*, std::vector<std::size_t>> never_met_;
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
