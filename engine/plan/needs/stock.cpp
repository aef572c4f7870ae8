#include "plan/needs/stock.hpp"

#include <algorithm>

#include "plan/needs/needs.hpp"
#include "sheet/sheet.hpp"

namespace budwood::plan {

namespace {

struct Return {
  calendar::Day day = 0;
  double amount = 0;
};

std::vector<Return> returns_of(const std::vector<Taking>& takings) {
  std::vector<Return> returns;
  returns.reserve(takings.size());
  for (const Taking& taking : takings) {
    returns.push_back({taking.back, taking.amount - taking.spoilt});
  }
  std::stable_sort(returns.begin(), returns.end(),
                   [](const Return& a, const Return& b) { return a.day < b.day; });
  return returns;
}

}  // namespace

std::vector<double> held_after(const std::vector<Taking>& takings, bool reused) {
  std::vector<Return> returns;
  if (reused) returns = returns_of(takings);
  auto coming = returns.begin();
  std::vector<double> held;
  held.reserve(takings.size());
  double out = 0;
  for (const Taking& taking : takings) {
    for (; coming != returns.end() && coming->day <= taking.day; ++coming) out -= coming->amount;
    out += taking.amount;
    held.push_back(out);
  }
  return held;
}

std::size_t first_peak(const std::vector<double>& held) {
  std::size_t peak = held.empty() ? 0 : held.size();
  double most = 0;
  for (std::size_t i = 0; i < held.size(); ++i) {
    if (held[i] <= most + sheet::slack(held[i], most)) continue;
    most = held[i];
    peak = i;
  }
  return peak;
}

double held_on(const Taking& taking, calendar::Day day) {
  if (taking.day > day) return 0;
  return taking.back > day ? taking.amount : taking.spoilt;
}

}  // namespace budwood::plan
