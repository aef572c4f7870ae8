#include "statistics/rate.hpp"

#include "statistics/binomial.hpp"

namespace budwood::statistics {
namespace {

double mean_of(const BetaShape& b) {
  return b.alpha / (b.alpha + b.beta);
}

double variance_of(const BetaShape& b) {
  const double total = b.alpha + b.beta;
  return b.alpha * b.beta / (total * total * (total + 1));
}

BetaShape product(const BetaShape& a, const BetaShape& b) {
  const double mean = mean_of(a) * mean_of(b);
  // Var(XY) for independent X and Y, without subtracting squares of means.
  const double variance = variance_of(a) * variance_of(b) +
                          variance_of(a) * mean_of(b) * mean_of(b) +
                          variance_of(b) * mean_of(a) * mean_of(a);
  const double total = mean * (1 - mean) / variance - 1;
  return {mean * total, (1 - mean) * total};
}

}  // namespace

std::optional<Rate> Rate::known(double share) {
  if (!(share >= 0 && share <= 1)) return std::nullopt;
  return Rate(share, std::nullopt);
}

std::optional<Rate> Rate::counted(std::int64_t good, std::int64_t seen, Prior prior) {
  if (good < 0 || seen < good || seen > largest_count) return std::nullopt;
  const double weight = prior == Prior::jeffreys ? 0.5 : 1;
  return Rate(
      1, BetaShape{static_cast<double>(good) + weight, static_cast<double>(seen - good) + weight});
}

std::optional<Rate> Rate::scattered(double mean, double rho) {
  if (!(mean >= 0 && mean <= 1) || !(rho >= 0 && rho < 1)) return std::nullopt;
  if (rho == 0 || mean == 0 || mean == 1) return known(mean);
  const double total = (1 - rho) / rho;
  return Rate(1, BetaShape{mean * total, (1 - mean) * total});
}

std::optional<Rate> Rate::scattered(double mean, double rho, double seen, double batches) {
  if (!(seen >= 0) || !(batches >= 0)) return std::nullopt;
  if (seen == 0 || !(rho > 0)) return scattered(mean, rho);
  const double size = std::max(seen / std::max(batches, 1.0), 1.0);
  const double worth = seen / (1 + (size - 1) * rho);
  // Jeffreys' prior adds one plant; a beta of n plants has variance mean (1 - mean) / (n + 1).
  return scattered(mean, rho + (1 - rho) / (worth + 2));
}

double Rate::mean() const {
  return uncertain_ ? factor_ * mean_of(*uncertain_) : factor_;
}

double Rate::variance() const {
  return uncertain_ ? factor_ * factor_ * variance_of(*uncertain_) : 0;
}

Rate operator*(const Rate& a, const Rate& b) {
  const double factor = a.factor_ * b.factor_;
  if (a.uncertain_ && b.uncertain_) return Rate(factor, product(*a.uncertain_, *b.uncertain_));
  return Rate(factor, a.uncertain_ ? a.uncertain_ : b.uncertain_);
}

}  // namespace budwood::statistics
