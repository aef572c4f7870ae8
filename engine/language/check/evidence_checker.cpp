#include <algorithm>
#include <cmath>

#include "language/check/protocol_checker.hpp"
#include "language/limits.hpp"
#include "units/rounding.hpp"

/// What a share rests on: counts, and how far batches differ.
namespace budwood::language {

/// How far batches differ: a share, and less than shares can differ at all.
void ProtocolChecker::spread(const syntax::Formula& written, Input& input) {
  const FormulaId given = formulas_.check(written, input.type, "The spread of `" + input.name + "`",
                                          *units::find_unit("%"));
  if (given == no_formula) return;
  if (input.type.kind != Type::Kind::quantity || !input.type.dimension.is_number() ||
      written.kind != syntax::Formula::Kind::number) {
    diagnostics_.error("unit-mismatch", written.span,
                       "Only a share has a spread between batches, and it is a written number.",
                       "Such as: input take = 79 % seen 412 of 520 in 6 batches spread 5 %");
    return;
  }
  const auto likeness = likeness_of(protocol_.node(input.usual).value, protocol_.node(given).value);
  if (likeness) {
    input.likeness = *likeness;
    return;
  }
  diagnostics_.error("out-of-range", written.span,
                     "Shares cannot differ so much between batches: the spread is by how much a "
                     "batch usually lies above or below the share.",
                     "Such as: input take = 79 % spread 5 %");
}

/// Counts behind a share: whole numbers, and the share is theirs.
void ProtocolChecker::evidence(const syntax::Input& written, Input& input) {
  const double good = *written.good;
  const double seen = *written.seen;
  const bool counts = good == std::floor(good) && seen == std::floor(seen) && seen >= 1 &&
                      good <= seen && seen <= limits::most_plants;
  if (input.type.kind != Type::Kind::quantity || !input.type.dimension.is_number()) {
    diagnostics_.error("unit-mismatch", written.evidence, "Only a share can rest on a count.",
                       "Such as: input germination = 92 % seen 184 of 200");
    return;
  }
  if (!counts) {
    diagnostics_.error("out-of-range", written.evidence,
                       "A count is whole numbers, the first no larger than the second, up to "
                       "10 million.",
                       "Such as: seen 184 of 200");
    return;
  }
  const double batches = written.between ? written.between->batches.value_or(0) : 0;
  if (batches != std::floor(batches) || batches > seen ||
      (batches < 1 && written.between && written.between->batches)) {
    diagnostics_.error("out-of-range", written.evidence,
                       "Batches are whole ones, 1 or more, and no more than plants were seen.",
                       "Such as: seen 412 of 520 in 6 batches");
    return;
  }
  input.good = good;
  input.seen = seen;
  input.batches = batches;
  const double value = protocol_.node(input.usual).value;
  // Where batches differ the usual share is no longer that of all plants added up.
  const double rounding = std::max(0.005, spread_of(value, input.likeness));
  if (std::abs(value - good / seen) > rounding + units::slack(1, 1)) {
    diagnostics_.warning("evidence-differs", written.evidence,
                         units::format_number(good) + " of " + units::format_number(seen) +
                             " are " + units::format(good / seen, *units::find_unit("%")) +
                             ", not what is written before it.",
                         "Write the share that was seen, or take the count out.");
  }
}

}  // namespace budwood::language
