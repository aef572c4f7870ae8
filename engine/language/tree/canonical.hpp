/// A fingerprint is of what is meant, so it is taken of the resolved syntax tree before repeats
/// are written out. Order is a question of threads: statements that share one keep their order,
/// and of all orders that leaves (a trace in the sense of Mazurkiewicz 1977) the form is the
/// first by its text. The model would not do: it holds defaults, hazards and generated titles,
/// which change with the program. A form that sites have kept never changes; a new one gets a
/// new number.
#pragma once

#include <string>

#include "language/tree/syntax.hpp"

namespace budwood::language {

/// What a protocol or rule set means, in one fixed form ("budwood protocol 1", "budwood rules 1"):
/// white space, comments and the order of independent statements leave no trace in it, everything
/// else does. Numbers stand with full precision and as they were written, so that 14 days and
/// 2 weeks differ; units stand by their symbols, so that `day` and `days` do not. What is repeated
/// is not written out.
///
/// These keep the order in which they were written, everything else is independent:
///  - stages of one part, among them the blocks of `repeat` in which it stands;
///  - in a stage: the work, the `if`s, settings of one measure, statements on mist, and `after`s;
///  - in a work: uses of one supply, and all its uses when one of them counts by another supply;
///  - the points of a table, the days of a timing, the operands of a formula;
///  - texts that are read one after the other: sources, notes, cautions, tools, warnings.
///
/// The form is for comparing. Once written down by a site it may never change; a change of the
/// language that cannot be told in it needs a form with the next number.
std::string canonical_text(const syntax::Protocol& protocol);
std::string canonical_text(const syntax::Rules& rules);
std::string canonical_text(const syntax::Formula& formula);

/// The SHA-256 of that text, as 64 hexadecimal digits.
std::string fingerprint(const syntax::Protocol& protocol);
std::string fingerprint(const syntax::Rules& rules);
/// Of a table that protocols share.
std::string fingerprint(const syntax::Table& table);

}  // namespace budwood::language
