#include "statistics/spread/posterior.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

#include "statistics/refusal.hpp"
#include "statistics/spread/rising.hpp"

namespace budwood::statistics {
namespace {

constexpr int cells = 4000;

double middle_of(int cell) {
  return (cell + 0.5) / cells;
}

/// Weights of the cells of the grid, adding up to 1.
std::vector<double> weights_of(const BetaShape& prior, std::span<const Group> batches, double rho) {
  const double t = rho / (1 - rho);
  Rising good;
  Rising bad;
  for (const Group& batch : batches) {
    good.add(batch.good);
    bad.add(batch.of - batch.good);
  }
  std::vector<double> logs(cells);
  for (int i = 0; i < cells; ++i) {
    const double p = middle_of(i);
    logs[i] = (prior.alpha - 1) * std::log(p) + (prior.beta - 1) * std::log1p(-p) + good.log(p, t) +
              bad.log(1 - p, t);
  }
  const double largest = *std::max_element(logs.begin(), logs.end());
  double total = 0;
  for (double& value : logs) total += value = std::exp(value - largest);
  for (double& value : logs) value /= total;
  return logs;
}

double quantile(const std::vector<double>& weights, double share) {
  double below = 0;
  for (int i = 0; i < cells; ++i) {
    if (below + weights[i] >= share) return (i + (share - below) / weights[i]) / cells;
    below += weights[i];
  }
  return 1;
}

}  // namespace

std::optional<MeanPosterior> posterior_mean(const BetaShape& prior, std::span<const Group> batches,
                                            double rho, double confidence) {
  if (!(prior.alpha >= 1 && prior.beta >= 1) || !(rho >= 0 && rho < 1) ||
      !(confidence > 0 && confidence < 1)) {
    return std::nullopt;
  }
  for (const Group& g : batches) {
    if (!is_count(g.good) || !is_count(g.of) || g.good > g.of) return std::nullopt;
  }
  const auto weights = weights_of(prior, batches, rho);
  MeanPosterior known;
  for (int i = 0; i < cells; ++i) known.mean += weights[i] * middle_of(i);
  for (int i = 0; i < cells; ++i) {
    known.deviation += weights[i] * std::pow(middle_of(i) - known.mean, 2);
  }
  known.deviation = std::sqrt(known.deviation);
  known.interval = {quantile(weights, (1 - confidence) / 2),
                    quantile(weights, (1 + confidence) / 2)};
  return known;
}

}  // namespace budwood::statistics
