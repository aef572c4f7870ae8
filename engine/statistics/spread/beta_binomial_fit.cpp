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

/// The log-likelihood of one set without coefficients. With t = rho / (1 - rho) a count has the
/// probability C(n, y) * prod(p + i t) * prod(q + i t) / prod(1 + i t).
class Likelihood {
 public:
  explicit Likelihood(std::span<const Group> groups) : all_(all_of(groups)) {
    for (const Group& g : groups) {
      good_.add(g.good);
      bad_.add(g.of - g.good);
      plants_.add(g.of);
    }
  }

  double share() const { return static_cast<double>(all_.good) / static_cast<double>(all_.of); }

  double log(double mean, double t) const {
    if (all_.good == 0 || all_.good == all_.of) return 0;
    return good_.log(mean, t) + bad_.log(1 - mean, t) - plants_.log(1, t);
  }

  /// The likeliest mean at a given t. The log-likelihood is concave in it: Newton's steps, halving
  /// where one would leave the bracket.
  double likeliest_mean(double t, double guess) const {
    if (all_.good == 0 || all_.good == all_.of) return all_.good == 0 ? 0.0 : 1.0;
    double low = 0;
    double high = 1;
    double mean = guess;
    for (int i = 0; i < 60; ++i) {
      const RisingSlope good = good_.slope(mean, t);
      const RisingSlope bad = bad_.slope(1 - mean, t);
      (good.slope > bad.slope ? low : high) = mean;
      double next = mean - (good.slope - bad.slope) / (good.bend + bad.bend);
      if (!(next > low && next < high)) next = (low + high) / 2;
      const bool close = std::abs(next - mean) < 1e-11;
      mean = next;
      if (close) break;
    }
    return mean;
  }

 private:
  Group all_;
  Rising good_, bad_, plants_;
};

/// The sets at one rho: their likeliest means.
class Profile {
 public:
  explicit Profile(std::span<const std::vector<Group>> sets) {
    for (const auto& set : sets) {
      sets_.emplace_back(set);
      means_.push_back(sets_.back().share());
    }
  }

  double log_likelihood(double rho) {
    const double t = rho / (1 - rho);
    double sum = 0;
    for (std::size_t i = 0; i < sets_.size(); ++i) {
      means_[i] = sets_[i].likeliest_mean(t, means_[i]);
      sum += sets_[i].log(means_[i], t);
    }
    return sum;
  }

  const std::vector<double>& means() const { return means_; }

 private:
  std::vector<Likelihood> sets_;
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

}  // namespace budwood::statistics
