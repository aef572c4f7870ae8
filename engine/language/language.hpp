/// The protocol language: from text to the protocol model.
///
///   text --parse--> syntax::File --check--> Protocol
///
/// `read` does both. Every mistake is a diagnostic; both steps report all that they can find.
#pragma once

#include <optional>
#include <vector>

#include "language/cycle.hpp"
#include "language/model.hpp"
#include "language/parse.hpp"
#include "language/rules.hpp"

namespace budwood::language {

/// Resolves names and checks units and structure. The model is fit for use when this added no
/// error.
Protocol check(const syntax::Protocol& written, text::Diagnostics& diagnostics);

/// What stands in one source.
struct Document {
  std::vector<Protocol> protocols;
  std::vector<RuleSet> rule_sets;
};

/// The protocols and rule sets of one source; none when it holds an error.
Document read(const text::Source& source, text::Diagnostics& diagnostics);

}  // namespace budwood::language
