#include "plan/stock/finished.hpp"

#include <algorithm>
#include <cmath>
#include <tuple>

#include "language/language.hpp"
#include "plan/numbers.hpp"
#include "plan/plan.hpp"
#include "sheet/counts/prospects.hpp"
#include "units/rounding.hpp"

namespace budwood::plan {

namespace {

using calendar::Day;

/// `name` is that of a protocol, or of a variant: then it means this variant alone.
bool means(const std::string& name, const std::string& protocol) {
  return name == protocol || name == language::method_of(protocol);
}

std::string plants_words(double plants) {
  return units::format(plants, units::counting_unit("plants"), 12);
}

/// The day on which plants go out that need not be raised: that on which they are wanted, even if a
/// batch could not be raised by then.
std::optional<Day> without_raising(const Plan& plan, const BatchPlan& batch) {
  const std::optional<Day> ready = plan.row_of(batch).ready();
  const auto& wanted = plan.facts_of(batch).ready;
  return ready && wanted ? std::min(*ready, wanted->value) : ready;
}

class FinishedTaker {
 public:
  FinishedTaker(Plan& plan, text::Diagnostics& diagnostics)
      : plan_(plan), site_(plan.book->site), diagnostics_(diagnostics) {}

  void run() {
    for (const auto& [name, facts] : site_.finished) {
      if (is_known(facts.of.value, facts.of.span)) add(name, facts);
    }
    for (const auto& [name, days] : site_.surplus) is_known(name, days.span);
    std::vector<std::pair<Day, std::uint32_t>> turns;
    for (std::uint32_t i = 0; i < plan_.batches.size(); ++i) {
      if (takes_part(plan_.batches[i]))
        turns.emplace_back(*without_raising(plan_, plan_.batches[i]), i);
    }
    std::sort(turns.begin(), turns.end());
    for (const auto& [day, batch] : turns) {
      if (!take(batch, day, true)) take(batch, *plan_.row_of(plan_.batches[batch]).ready(), false);
      give(batch);
    }
  }

 private:
  bool is_known(const std::string& name, const text::Span& span) {
    std::vector<std::string> names;
    for (const language::Protocol& protocol : plan_.book->protocols) {
      if (means(name, protocol.name)) return true;
      names.push_back(protocol.name);
    }
    if (plan_.book->left_out.may_hold(language::method_of(name))) return false;
    diagnostics_.error("unknown-name", span, "There is no protocol named `" + name + "`.",
                       text::did_you_mean(name, names));
    return false;
  }

  void add(const std::string& name, const book::Finished& facts) {
    FinishedStock stock;
    stock.name = name;
    stock.facts = &facts;
    stock.of = facts.of.value;
    stock.cultivar = facts.cultivar;
    if (facts.from) stock.from = facts.from->value;
    if (facts.counted) stock.from = std::max(stock.from, *facts.counted);
    if (facts.until) stock.until = facts.until->value;
    stock.plants = static_cast<double>(facts.plants);
    plan_.finished.push_back(std::move(stock));
  }

  /// Only batches that are wanted as such: the arms of a trial are all raised.
  bool takes_part(const BatchPlan& planned) const {
    const book::Batch& facts = plan_.facts_of(planned);
    const sheet::Row row = plan_.row_of(planned);
    return !facts.stopped && !facts.trial && !row.protocol().of_site && row.dated();
  }

  /// How many plants it can use: all, or what will be missing of a batch that was counted.
  static double use_for(const sheet::Row& row) {
    const double ordered = row.facts().plants;
    if (row.facts().counted.empty()) return ordered;
    const double brought = row.facts().sure > 0 ? sure_of(row) : std::round(delivered(row));
    return std::isnan(brought) ? 0 : std::max(0.0, ordered - brought);
  }

  std::vector<FinishedStock*> stock_for(std::uint32_t batch, Day ready) {
    const std::string& protocol = plan_.protocol_of(plan_.batches[batch]).name;
    const std::string& cultivar = plan_.facts_of(plan_.batches[batch]).cultivar;
    std::vector<FinishedStock*> out;
    for (FinishedStock& one : plan_.finished) {
      const bool there = one.from <= ready && ready <= one.until && one.left() >= 1;
      if (there && means(one.of, protocol) && one.cultivar == cultivar) out.push_back(&one);
    }
    std::sort(out.begin(), out.end(), [](const FinishedStock* a, const FinishedStock* b) {
      return std::tie(a->until, a->from, a->name) < std::tie(b->until, b->from, b->name);
    });
    return out;
  }

  /// What there is on a day. False when it is not all that is ordered, and all was asked for.
  bool take(std::uint32_t batch, Day day, bool all) {
    BatchPlan& planned = plan_.batches[batch];
    const sheet::Row row = plan_.row_of(planned);
    const book::Batch& facts = plan_.facts_of(planned);
    const double ordered = row.facts().plants;
    const bool begun = is_begun(row);
    // Somebody has to do the work that a batch shares among its cultivars.
    const bool shared = !facts.split_from.empty() && facts.lead;
    const std::vector<FinishedStock*> stock = stock_for(batch, day);
    double there = 0;
    for (const FinishedStock* one : stock) there += one->left();
    double taken = std::min(there, use_for(row));
    if (all && (taken < ordered || begun || shared)) return false;
    // Of what was begun nobody knows yet how much it brings.
    if (taken >= ordered && begun && row.facts().counted.empty()) return true;
    if (taken >= ordered && shared) taken = ordered - 1;
    if (!(taken >= 1)) return true;
    const Fewer fewer = plan_with(planned, ordered - taken);
    if (fewer == Fewer::on_another_day) planned.stock_left = taken;
    if (fewer != Fewer::raised) return true;
    planned.from_stock = taken;
    planned.raised = begun || taken < ordered;
    for (FinishedStock* one : stock) {
      const double part = std::min(taken, one->left());
      if (part >= 1) one->parts.push_back({batch, part});
      taken -= part;
    }
    return true;
  }

  enum class Fewer : std::uint8_t { raised, nothing_saved, on_another_day };
  /// Has a batch raise so many. Not if it would be ready on another day, or nothing is saved by it.
  Fewer plan_with(const BatchPlan& planned, double plants) {
    sheet::Sheet& sheet = plan_.sheets[planned.sheet];
    const sheet::Row row = plan_.row_of(planned);
    const sheet::BatchFacts before = sheet.batch(planned.row);
    const double before_it = started(row);
    const std::optional<Day> ready = row.ready();
    sheet::BatchFacts facts = before;
    facts.plants = plants;
    sheet.change(planned.row, std::move(facts));
    if (plants == 0) return Fewer::raised;
    const bool saves = !before.counted.empty() || started(row) < before_it;
    const bool on_its_day = row.dated() && row.ready() == ready;
    if (saves && on_its_day) return Fewer::raised;
    sheet.change(planned.row, before);
    return on_its_day ? Fewer::nothing_saved : Fewer::on_another_day;
  }

  void give(std::uint32_t batch) {
    const BatchPlan& planned = plan_.batches[batch];
    const sheet::Row row = plan_.row_of(planned);
    // What is said of a variant goes before what is said of the protocol.
    auto kept = site_.surplus.find(row.protocol().name);
    if (kept == site_.surplus.end()) {
      kept = site_.surplus.find(language::method_of(row.protocol().name));
    }
    if (kept == site_.surplus.end() || !planned.raised) return;
    const double over = sure_of(row) - row.facts().plants;
    if (!(over >= 1)) return;
    FinishedStock stock;
    stock.name = plan_.facts_of(planned).id.value;
    stock.of = kept->first;
    stock.cultivar = plan_.facts_of(planned).cultivar;
    stock.from = *row.ready();
    stock.until = std::min(calendar::last_day, stock.from + kept->second.value);
    stock.plants = over;
    plan_.finished.push_back(std::move(stock));
  }

  /// How many plants come as surely as the batch asks; what is expected where it does not.
  static double sure_of(const sheet::Row& row) {
    const double sure = row.value(row.layout().sure);
    if (sure > 0) {
      if (const auto coming = sheet::coming_of(row)) {
        return static_cast<double>(coming->quantile(1 - sure));
      }
    }
    return units::round_down(delivered(row));
  }

  Plan& plan_;
  const book::Site& site_;
  text::Diagnostics& diagnostics_;
};

/// "`pansies_east`" of the site's, "what is over of PA29-1" of a batch.
std::string source_text(const FinishedStock& stock) {
  return stock.facts != nullptr ? "`" + stock.name + "`" : "what is over of " + stock.name;
}

}  // namespace

double FinishedStock::left() const {
  double out = plants;
  for (const Part& one : parts) out -= one.plants;
  return out;
}

std::vector<FinishedRow> finished_rows(const Plan& plan) {
  std::vector<FinishedRow> out;
  for (const FinishedStock& stock : plan.finished) {
    double left = stock.plants;
    for (const FinishedStock::Part& part : stock.parts) {
      left -= part.plants;
      out.push_back({&stock, &part, left});
    }
    if (stock.parts.empty()) out.push_back({&stock, nullptr, left});
  }
  return out;
}

std::optional<Day> ready_on(const Plan& plan, const BatchPlan& batch) {
  return batch.raised ? plan.row_of(batch).ready() : without_raising(plan, batch);
}

void take_finished(Plan& plan, text::Diagnostics& diagnostics) {
  FinishedTaker(plan, diagnostics).run();
}

std::string taken_text(const Plan& plan, std::uint32_t batch) {
  std::vector<std::string> out;
  for (const FinishedStock& stock : plan.finished) {
    for (const FinishedStock::Part& part : stock.parts) {
      if (part.batch != batch) continue;
      out.push_back(units::format_number(part.plants) + " from " + source_text(stock));
    }
  }
  return text::list_words(out, "and");
}

calendar::Day taken_from(const Plan& plan, std::uint32_t batch) {
  Day out = calendar::first_day;
  for (const FinishedStock& stock : plan.finished) {
    for (const FinishedStock::Part& part : stock.parts) {
      if (part.batch == batch) out = std::max(out, stock.from);
    }
  }
  return out;
}

void note_finished(Plan& plan) {
  for (std::uint32_t i = 0; i < plan.batches.size(); ++i) {
    const BatchPlan& batch = plan.batches[i];
    const book::Batch& facts = plan.facts_of(batch);
    if (batch.stock_left >= 1) {
      plan.notes.push_back({facts.id.value,
                            plants_words(batch.stock_left) +
                                (batch.stock_left > 1 ? " are" : " is") +
                                " there already and would serve; all are raised, because with "
                                "fewer the batch would be ready on another day.",
                            facts.plants.span});
    }
    if (batch.from_stock < 1) continue;
    const double raised = plan.row_of(batch).facts().plants;
    plan.notes.push_back(
        {facts.id.value,
         "Of " + plants_words(raised + batch.from_stock) + " ordered " + taken_text(plan, i) +
             (batch.from_stock > 1 ? " are" : " is") + " there already; " +
             (raised > 0 ? units::format_number(raised) + (raised > 1 ? " are" : " is")
                         : "none is") +
             " raised.",
         facts.plants.span});
  }
  for (const FinishedStock& stock : plan.finished) {
    if (stock.facts != nullptr) continue;
    plan.notes.push_back({stock.name,
                          plants_words(stock.plants) +
                              (stock.plants == 1 ? " is over and serves" : " are over and serve") +
                              " other batches until " + calendar::short_date(stock.until) + ".",
                          {}});
  }
}

}  // namespace budwood::plan
