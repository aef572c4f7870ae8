#include "plan/batch_expander.hpp"

#include <algorithm>

#include "plan/orders/contingencies.hpp"
#include "plan/orders/expand_works.hpp"
#include "plan/shortfalls.hpp"
#include "plan/today/closed.hpp"
#include "plan/today/tell_deviations.hpp"
#include "sheet/columns/shown.hpp"
#include "sheet/template/requirements.hpp"

namespace budwood::plan {

namespace {

using calendar::Day;
using calendar::days_text;

/// One batch, worked out.
class OneBatch {
 public:
  OneBatch(const Plan& plan, ExpanderKept& kept, std::uint32_t number, const SeenInBatch& seen,
           Expanded& out)
      : plan_(plan), kept_(kept), number_(number), seen_(seen), out_(out) {}

  void run(BatchPlan& batch) {
    if (const auto& stopped = plan_.facts_of(batch).stopped) {
      batch.over = stopped->value;
      return give_up(batch);
    }
    batch.over = closed_on(plan_, batch);
    if (batch.over) return close(batch);
    if (!batch.raised) return;
    report_values(batch);
    add_shortfalls(plan_, batch, out_);
    batch.dated = plan_.row_of(batch).dated();
    if (!batch.dated) return;
    report_requirements(batch);
    report_assumptions(batch);
    tell_deviations(plan_, batch, out_);
    kept_.settings.tell(plan_, batch, out_);
    expand_works(plan_, number_, seen_, out_);
    add_contingencies(plan_, number_, out_);
  }

 private:
  /// Of a batch that is over, only work of which something is noted stays. Gives of how many orders
  /// nothing is.
  std::size_t expand_noted(const BatchPlan& batch) {
    if (!plan_.row_of(batch).dated()) return 0;
    const auto before = static_cast<std::ptrdiff_t>(out_.orders.size());
    const std::size_t notes = out_.notes.size();
    const std::size_t conflicts = out_.conflicts.size();
    expand_works(plan_, number_, seen_, out_);
    out_.notes.resize(notes);
    out_.conflicts.resize(conflicts);
    const auto unsaid = std::remove_if(out_.orders.begin() + before, out_.orders.end(),
                                       [](const WorkOrder& order) { return !order.settled(); });
    const auto count = static_cast<std::size_t>(out_.orders.end() - unsaid);
    out_.orders.erase(unsaid, out_.orders.end());
    return count;
  }

  void give_up(const BatchPlan& batch) {
    const book::Batch& facts = plan_.facts_of(batch);
    expand_noted(batch);
    note(batch,
         "Given up on " + calendar::short_date(facts.stopped->value) +
             (facts.stopped_because.empty() ? "." : ": " + facts.stopped_because),
         facts.stopped->span);
  }

  void close(BatchPlan& batch) {
    batch.dated = plan_.row_of(batch).dated();
    const std::size_t unsaid = expand_noted(batch);
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
      out_.conflicts.back().facts = found->lines;
      for (const sheet::DateConflict::Repair& one : found->repairs) {
        out_.conflicts.back().repairs.push_back(repair_of(plan_.facts_of(batch), one));
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
    out_.conflicts.push_back(
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
    const auto [found, fresh] = kept_.never_met.try_emplace(&t);
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
      const bool eve = plan_.book->site.working.days().previous(facts.ready->value) == ready;
      const std::string closed =
          eve ? plan_.book->site.working.reason_closed(facts.ready->value) : std::string();
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
        const auto morning = plan_.book->site.working.days().next(row.end(before) + 1);
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
    out_.notes.push_back({plan_.facts_of(batch).id.value, std::move(message), span});
  }

  const Plan& plan_;
  ExpanderKept& kept_;
  std::uint32_t number_;
  const SeenInBatch& seen_;
  Expanded& out_;
};

}  // namespace

void BatchExpander::expand(BatchPlan& batch, std::uint32_t number, const SeenInBatch& seen,
                           Expanded& out) {
  OneBatch(plan_, kept_, number, seen, out).run(batch);
}

}  // namespace budwood::plan
