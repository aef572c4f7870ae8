#pragma once

#include <cstdint>
#include <optional>

namespace budwood::statistics {

/// What is taken for granted about a rate before any plant was counted.
enum class Prior : std::uint8_t {
  /// Beta(1/2, 1/2), Jeffreys 1946. The usual choice here: its predictions are right about as often
  /// as
  /// they say (see Brown, Cai & DasGupta 2001, Statist. Sci. 16:101-133), also near 0 % and 100 %.
  jeffreys,
  /// Beta(1, 1), every rate as likely as any other (Bayes 1763, Laplace 1774).
  uniform,
};

/// The shape of a beta distribution; both above 0.
struct BetaShape {
  double alpha = 0;
  double beta = 0;
  friend bool operator==(const BetaShape&, const BetaShape&) = default;
};

/// The share of plants that come through: a known number, or what counts have taught about it.
///
/// Along a chain rates are multiplied. Known ones multiply exactly, also with one that rests on
/// counts. Two that rest on counts become one beta distribution with the mean and variance of their
/// product (Fan 1991, Commun. Stat. Theory 20:4043-4052): exact in those, close in the tails.
class Rate {
 public:
  /// Nothing outside 0 to 1.
  static std::optional<Rate> known(double share);
  /// `good` of `seen` plants came through. Nothing when there is no such count.
  static std::optional<Rate> counted(std::int64_t good, std::int64_t seen,
                                     Prior prior = Prior::jeffreys);
  /// What it will be in a batch of its own, where batches scatter around a mean with the likeness
  /// rho of two plants of one batch: Beta with alpha + beta = 1 / rho - 1. A rho of 0, or a mean of
  /// 0 or 1, is a known rate. Nothing for means outside 0 to 1 and rho below 0 or not below 1.
  static std::optional<Rate> scattered(double mean, double rho);

  /// The same where the mean itself rests on a count: `seen` plants in so many batches (0: in one).
  /// The count is worth seen / (1 + (seen / batches - 1) rho) plants of their own (Donner, Birkett
  /// & Buck 1981, Am. J. Epidemiol. 114:906-914), and the rate is the beta distribution with this
  /// mean whose variance is that between batches and that of the mean. Nothing as above, or for a
  /// count below 0.
  static std::optional<Rate> scattered(double mean, double rho, double seen, double batches);

  bool is_known() const { return !uncertain_; }
  /// The known part: the whole rate, or the factor before the beta distribution.
  double factor() const { return factor_; }
  const std::optional<BetaShape>& uncertain() const { return uncertain_; }
  /// The rate divided by its known part.
  Rate without_factor() const { return Rate(1, uncertain_); }
  /// The expected share, and its variance from not knowing it better.
  double mean() const;
  double variance() const;

  friend Rate operator*(const Rate& a, const Rate& b);

 private:
  Rate(double factor, std::optional<BetaShape> uncertain)
      : factor_(factor), uncertain_(uncertain) {}

  double factor_ = 1;
  std::optional<BetaShape> uncertain_;
};

}  // namespace budwood::statistics
