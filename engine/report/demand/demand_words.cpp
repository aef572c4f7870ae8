#include <fmt/format.h>

#include <cmath>

#include "report/demand/demand_report.hpp"
#include "report/formats/wording.hpp"
#include "report/needs/needs_words.hpp"

namespace budwood::report {

namespace {

std::string money(const plan::Plan& plan, double amount) {
  const std::string currency = currency_of(plan);
  return money_text(amount) + (currency.empty() ? "" : " " + currency);
}

std::string plants_word(double plants) {
  return fmt::format("{:.1f}", plants);
}

std::string case_line(const plan::Plan& plan, const plan::BatchPlan& batch, const NamedCase& one) {
  const plan::DemandCase& of = *one.of;
  std::string name = one.name;
  name.front() = static_cast<char>(std::toupper(static_cast<unsigned char>(name.front())));
  return name + ", " + std::to_string(of.plants) + " plants: start with " +
         starts_text(plan, batch, of) + "; " + plants_word(of.met.sold) + " sold, " +
         plants_word(of.met.over) + " left over, " + plants_word(of.met.lack) + " missing; " +
         money(plan, of.cost) + " lost on average, enough with " + chance_text(of.met.enough) +
         " chance.";
}

}  // namespace

std::vector<NamedCase> cases_of(const plan::DemandView& view) {
  std::vector<NamedCase> out{{"as planned", &view.planned}};
  if (view.best) out.push_back({"best on average", &*view.best});
  if (view.sure) out.push_back({fmt::format("sure to {:g} %", 100 * view.asked), &*view.sure});
  return out;
}

std::string starts_text(const plan::Plan& plan, const plan::BatchPlan& batch,
                        const plan::DemandCase& one) {
  std::vector<std::string> starts;
  for (const auto& [stage, plants] : one.starts) {
    starts.push_back(units::format_number(plants) + " in `" +
                     plan.protocol_of(batch).stages[stage].name + "`");
  }
  return text::list_words(starts, "and");
}

std::vector<std::string> demand_lines(const plan::Plan& plan, const plan::BatchPlan& batch) {
  const auto view = plan::demand_of(plan, batch);
  if (!view) return {};
  const book::Demand& demand = *plan.facts_of(batch).demand;
  std::vector<std::string> out;
  out.push_back(std::to_string(demand.least.value) + " to " + std::to_string(demand.most.value) +
                " wanted, usually " + std::to_string(demand.usual.value) + "; " +
                money(plan, demand.too_many.quantity.value) + " lost on a plant too many, " +
                money(plan, demand.too_few.quantity.value) + " on one too few.");
  for (const NamedCase& one : cases_of(*view)) out.push_back(case_line(plan, batch, one));
  if (view->best && !view->sure) {
    out.push_back(fmt::format(
        "No number up to twice the most that can be wanted is sure to {:g} %.", 100 * view->asked));
  }
  return out;
}

std::vector<std::string> promise_lines(const plan::Plan& plan, const plan::BatchPlan& batch) {
  std::vector<std::string> out;
  for (const plan::PromiseKept& one : plan::promises_of(plan, batch)) {
    const book::Promise& promise = *one.promise;
    std::string line = std::to_string(promise.plants) + " plants on " + short_date(promise.on) +
                       (promise.whose.empty() ? "" : " for " + promise.whose) + ": ";
    if (one.kept()) {
      line += "all there from " + short_date(*one.whole) + " on.";
    } else {
      line += whole_plants(std::floor(one.there + 1e-6)) + " expected by then" +
              (one.whole ? ", all from " + short_date(*one.whole) + " on." : ".");
    }
    out.push_back(std::move(line));
  }
  return out;
}

}  // namespace budwood::report
