#pragma once

#include <iosfwd>
#include <string>
#include <vector>

#include "plan/demand/demand.hpp"
#include "report/formats/filter.hpp"
#include "report/formats/format.hpp"
#include "report/formats/json.hpp"
#include "report/formats/table.hpp"

/// What is wanted of batches and promised of them: how reports tell it.
namespace budwood::report {

/// One number to aim at, with a name: "as planned", "best on average", "sure to 90 %".
struct NamedCase {
  std::string name;
  const plan::DemandCase* of = nullptr;
};
std::vector<NamedCase> cases_of(const plan::DemandView& view);

/// The batches of a filter of which something is wanted or promised, with a plan.
std::vector<const plan::BatchPlan*> wanted_batches(const plan::Plan& plan, const Filter& filter);

/// "625 in `sticking`": what is started for a number.
std::string starts_text(const plan::Plan& plan, const plan::BatchPlan& batch,
                        const plan::DemandCase& one);

/// "400 to 600 wanted, usually 500; ...", then a line for each number; none without a demand.
std::vector<std::string> demand_lines(const plan::Plan& plan, const plan::BatchPlan& batch);
/// "200 plants on Fri 2027-04-02 for Garden fair: all there from Mon 2027-03-29 on." each.
std::vector<std::string> promise_lines(const plan::Plan& plan, const plan::BatchPlan& batch);

/// `demand` and `promised` of a batch, where it has them.
void write_wanted(JsonWriter& json, const plan::Plan& plan, const plan::BatchPlan& batch);

/// Writes what is wanted and promised of the batches that pass the filter, and says of how many.
/// CSV is a row for each number that a demand leads to, and for each promise.
std::size_t write_demand(std::ostream& out, const plan::Plan& plan, const Filter& filter,
                         Format format, const Style& style = {});

}  // namespace budwood::report
