#include "plan/stock/finished.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <tuple>

#include "language/language.hpp"
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

double started_in(const sheet::Row& row) {
  double out = 0;
  for (const sheet::Chain& chain : row.layout().chains) {
    const language::StageId first = chain.stages.front();
    if (row.stage(first).takes.empty()) out += row.value(row.cells(first).plants);
  }
  return out;
}

/// What the last stage brings.
double brought_by(const sheet::Row& row) {
  for (const sheet::Chain& chain : row.layout().chains) {
    if (chain.next.empty()) return row.value(row.cells(chain.stages.back()).left);
  }
  return std::numeric_limits<double>::quiet_NaN();
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
      if (const auto ready = ready_of(i)) turns.emplace_back(*ready, i);
    }
    std::sort(turns.begin(), turns.end());
    for (const auto& [ready, batch] : turns) {
      take(batch, ready);
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
  std::optional<Day> ready_of(std::uint32_t batch) const {
    const BatchPlan& planned = plan_.batches[batch];
    const book::Batch& facts = plan_.facts_of(planned);
    const sheet::Row row = plan_.row_of(planned);
    if (facts.stopped || facts.trial || row.protocol().of_site || !row.dated()) return std::nullopt;
    return row.ready();
  }

  /// How many plants it can use: all, or what will be missing of a batch that was counted.
  static double use_for(const sheet::Row& row) {
    const double ordered = row.facts().plants;
    if (row.facts().counted.empty()) return ordered;
    const double brought = brought_by(row);
    return std::isnan(brought) ? 0 : std::max(0.0, ordered - std::round(brought));
  }

  static bool is_begun(const sheet::Row& row) {
    const auto& pins = row.facts().pins;
    return std::any_of(pins.begin(), pins.end(), [](const auto& pin) { return pin.recorded; });
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

  void take(std::uint32_t batch, Day ready) {
    BatchPlan& planned = plan_.batches[batch];
    const sheet::Row row = plan_.row_of(planned);
    const book::Batch& facts = plan_.facts_of(planned);
    const double ordered = row.facts().plants;
    double wanted = use_for(row);
    const std::vector<FinishedStock*> stock = stock_for(batch, ready);
    double there = 0;
    for (const FinishedStock* one : stock) there += one->left();
    double taken = std::min(there, wanted);
    if (taken >= ordered) {
      // What was begun is raised; and somebody has to do the work that a batch shares among its
      // cultivars.
      if (is_begun(row)) return;
      if (!facts.split_from.empty() && facts.lead) taken = ordered - 1;
    }
    if (!(taken >= 1) || !plan_with(planned, ordered - taken)) return;
    planned.from_stock = taken;
    planned.raised = taken < ordered;
    for (FinishedStock* one : stock) {
      const double part = std::min(taken, one->left());
      if (part >= 1) one->parts.push_back({batch, part});
      taken -= part;
    }
  }

  /// Has a batch raise so many. Not if it would be ready on another day, or nothing is saved by it.
  bool plan_with(const BatchPlan& planned, double plants) {
    sheet::Sheet& sheet = plan_.sheets[planned.sheet];
    const sheet::Row row = plan_.row_of(planned);
    const sheet::BatchFacts before = sheet.batch(planned.row);
    const double started = started_in(row);
    const std::optional<Day> ready = row.ready();
    sheet::BatchFacts facts = before;
    facts.plants = plants;
    sheet.change(planned.row, std::move(facts));
    const bool counted = !before.counted.empty();
    const bool saves = counted || plants == 0 || started_in(row) < started;
    if (saves && row.dated() && row.ready() == ready) return true;
    sheet.change(planned.row, before);
    return false;
  }

  void give(std::uint32_t batch) {
    const BatchPlan& planned = plan_.batches[batch];
    const sheet::Row row = plan_.row_of(planned);
    const book::Placed<int>* days = nullptr;
    for (const auto& [name, one] : site_.surplus) {
      // What is said of a variant goes before what is said of the protocol.
      const bool closer = days == nullptr || name == row.protocol().name;
      if (means(name, row.protocol().name) && closer) days = &one;
    }
    if (days == nullptr || !planned.raised) return;
    const double over = sure_of(row) - row.facts().plants;
    if (!(over >= 1)) return;
    FinishedStock stock;
    stock.name = plan_.facts_of(planned).id.value;
    stock.of = row.protocol().name;
    stock.cultivar = plan_.facts_of(planned).cultivar;
    stock.from = *row.ready();
    stock.until = std::min(calendar::last_day, stock.from + days->value);
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
    return units::round_down(brought_by(row));
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
    if (batch.from_stock < 1) continue;
    const book::Batch& facts = plan.facts_of(batch);
    const double raised = plan.row_of(batch).facts().plants;
    plan.notes.push_back(
        {facts.id.value,
         "Of " + plants_words(raised + batch.from_stock) + " ordered " + taken_text(plan, i) +
             (batch.from_stock > 1 ? " are" : " is") + " there already; " +
             (batch.raised ? units::format_number(raised) + " are raised." : "none is raised."),
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
