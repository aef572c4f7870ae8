#include <cmath>

#include "language/model.hpp"
#include "results/learn.hpp"

namespace budwood::results {

namespace {

using Kind = Learned::Kind;

std::string share_text(double share) {
  return units::format(share, *units::find_unit("%"), 4);
}

const units::Unit& unit_of(const Learned& one) {
  static const units::Unit percent = *units::find_unit("%");
  return one.kind == Kind::share ? percent : one.unit;
}

std::string value_text(const Learned& one, double base) {
  return units::format(base, unit_of(one), 4);
}

/// The usual value so exactly that it is known again.
std::string exact_text(const Learned& one) {
  return units::format(one.usual, unit_of(one), 7);
}

std::string batches_text(std::size_t batches) {
  return std::to_string(batches) + (batches == 1 ? " batch" : " batches");
}

/// "412 of 520 in 6 batches", the way round that the input has it.
std::string counted(const Learned& one) {
  return std::to_string(one.lost ? one.seen - one.good : one.good) + " of " +
         std::to_string(one.seen) + " in " + batches_text(one.batches);
}

std::string behind(const Learned& one) {
  switch (one.kind) {
    case Kind::share:
      return counted(one) + (one.from_batches ? "" : ", and the usual value as some plants more");
    case Kind::rate:
      return std::to_string(one.jobs) + " jobs";
    case Kind::length:
      return "a stage that was lived through " + std::to_string(one.jobs) + " times";
  }
  return "";
}

}  // namespace

bool can_be_kept(const Learned& one) {
  if (one.input.empty() || one.outside) return false;
  return one.kind == Kind::share || one.jobs >= enough_batches;
}

book::LearnedValue kept_value(const Learned& one) {
  book::LearnedValue out;
  out.protocol.value = one.protocol;
  out.edition = one.edition;
  out.input = one.input;
  out.value.text = value_text(one, one.value);
  if (one.kind == Kind::share) {
    const double spread = language::spread_of(one.value, one.between_batches);
    out.value.text += " seen " + counted(one) + " spread " + share_text(spread);
  }
  out.usual.text = exact_text(one);
  const bool limited = !std::isnan(one.interval.low) && !std::isnan(one.interval.high);
  if (limited) {
    out.limits = value_text(one, one.interval.low) + " to " + value_text(one, one.interval.high) +
                 " in 95 of 100";
  }
  out.behind = behind(one);
  out.day = one.until;
  return out;
}

}  // namespace budwood::results
