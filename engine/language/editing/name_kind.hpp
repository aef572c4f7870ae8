#pragma once

#include <cstdint>

namespace budwood::language {

/// What a name that stands in a text is the name of. Inputs, lets, tables and stages share their
/// names, so where a formula names one it is a `value`; so may be what is observed, in a condition.
enum class NameKind : std::uint8_t {
  other,  ///< bound to its place: an edge, a month, what a feature is called
  protocol,
  variant,
  rules,
  rule,
  stage,
  part,
  supply,
  input,
  let,
  table,
  value,
  observation,
  room,
  crew,
  tag,
  setting,
  hazard,
  method,    ///< of counting degree-days
  variable,  ///< of a rule: what it goes through
  property,  ///< behind a point: `start`, `left`, `humidity`
  unit,
};

}  // namespace budwood::language
