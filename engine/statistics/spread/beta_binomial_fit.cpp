#include "statistics/spread/beta_binomial_fit.hpp"

#include <algorithm>
#include <boost/math/tools/minima.hpp>
#include <cmath>

#include "statistics/refusal.hpp"
#include "statistics/spread/rising.hpp"
#include "statistics/spread/scatter.hpp"

namespace budwood::statistics {
namespace {

constexpr double largest_rho = 0.999;

double log_choose(const Group& g) {
  const auto n = static_cast<double>(g.of);
  const auto y = static_cast<double>(g.good);
  return std::lgamma(n + 1) - std::lgamma(y + 1) - std::lgamma(n - y + 1);
}

bool are_counts(std::span<const Group> groups) {
  bool has_plants = false;
  for (const Group& g : groups) {
    if (!is_count(g.good) || !is_count(g.of) || g.good > g.of) return false;
    has_plants = has_plants || g.of > 0;
  }
  return has_plants;
}

/// Log-likelihood without coefficients at a mean, and its derivatives by the mean. With t = rho /
/// (1 - rho) a count has the probability C(n, y) * prod(p + i t) * prod(q + i t) / prod(1 + i t).
Rising likelihood(std::span<const Group> groups, double mean, double t) {
  Rising sum;
  for (const Group& g : groups) {
    const Rising good = rising(mean, t, g.good);
    const Rising bad = rising(1 - mean, t, g.of - g.good);
    sum.log += good.log + bad.log - rising(1, t, g.of).log;
    sum.slope += good.slope - bad.slope;
    sum.bend += good.bend + bad.bend;
  }
  return sum;
}

struct AtMean {
  double mean = 0;
  double log_likelihood = 0;
};

/// The likeliest mean at a given t. The log-likelihood is concave in it: Newton's steps, halving
/// where one would leave the bracket.
AtMean likeliest_mean(std::span<const Group> groups, double t, double guess) {
  const Group all = all_of(groups);
  if (all.good == 0 || all.good == all.of) return {all.good == 0 ? 0.0 : 1.0, 0};
  double low = 0;
  double high = 1;
  double mean = guess;
  Rising at = likelihood(groups, mean, t);
  for (int i = 0; i < 60; ++i) {
    (at.slope > 0 ? low : high) = mean;
    double next = mean - at.slope / at.bend;
    if (!(next > low && next < high)) next = (low + high) / 2;
    const bool close = std::abs(next - mean) < 1e-11;
    mean = next;
    at = likelihood(groups, mean, t);
    if (close) break;
  }
  return {mean, at.log};
}

/// The sets at one rho: their likeliest means.
class Profile {
 public:
  explicit Profile(std::span<const std::vector<Group>> sets) : sets_(sets) {
    for (const auto& set : sets) {
      const Group all = all_of(set);
      means_.push_back(static_cast<double>(all.good) / static_cast<double>(all.of));
    }
  }

  double log_likelihood(double rho) {
    double sum = 0;
    for (std::size_t i = 0; i < sets_.size(); ++i) {
      const AtMean at = likeliest_mean(sets_[i], rho / (1 - rho), means_[i]);
      means_[i] = at.mean;
      sum += at.log_likelihood;
    }
    return sum;
  }

  const std::vector<double>& means() const { return means_; }

 private:
  std::span<const std::vector<Group>> sets_;
  std::vector<double> means_;
};

}  // namespace

std::optional<BetaBinomialFit> fit_beta_binomial(std::span<const std::vector<Group>> sets) {
  if (sets.empty()) return std::nullopt;
  for (const auto& set : sets) {
    if (!are_counts(set)) return std::nullopt;
  }
  Profile profile(sets);
  const double without = profile.log_likelihood(0);
  const auto best = boost::math::tools::brent_find_minima(
      [&](double rho) { return -profile.log_likelihood(rho); }, 0.0, largest_rho, 40);
  BetaBinomialFit fit;
  fit.rho = -best.second > without + 1e-9 ? best.first : 0;
  fit.log_likelihood = profile.log_likelihood(fit.rho);
  fit.means = profile.means();
  for (const auto& set : sets) {
    for (const Group& g : set) fit.log_likelihood += log_choose(g);
  }
  return fit;
}

std::optional<BetaBinomialFit> fit_beta_binomial(std::span<const Group> groups) {
  const std::vector<Group> sets[] = {{groups.begin(), groups.end()}};
  return fit_beta_binomial(std::span<const std::vector<Group>>(sets));
}

double beta_binomial_log_likelihood(std::span<const Group> groups, double mean, double rho) {
  if (!are_counts(groups) || !(mean > 0 && mean < 1) || !(rho >= 0 && rho < 1)) return refused;
  double sum = likelihood(groups, mean, rho / (1 - rho)).log;
  for (const Group& g : groups) sum += log_choose(g);
  return sum;
}

std::optional<BetaShape> shape_by_moments(std::span<const Group> groups) {
  std::vector<double> shares;
  for (const Group& g : groups) {
    if (!is_count(g.good) || !is_count(g.of) || g.good > g.of) return std::nullopt;
    if (g.of > 0) shares.push_back(static_cast<double>(g.good) / static_cast<double>(g.of));
  }
  if (shares.size() < 2) return std::nullopt;
  const auto k = static_cast<double>(shares.size());
  double mean = 0;
  for (const double share : shares) mean += share / k;
  double variance = 0;
  for (const double share : shares) variance += (share - mean) * (share - mean) / (k - 1);
  const double total = mean * (1 - mean) / variance - 1;
  if (!(variance > 0) || !(total > 0)) return std::nullopt;
  return BetaShape{mean * total, (1 - mean) * total};
}

}  // namespace budwood::statistics
