/// A rule set is checked once, against a stand-in protocol with one of everything. Following it
/// goes through stages, steps, work and parts of a protocol and checks the rule's formulas with
/// these put in, so what is left is a requirement like the protocol's own: cells, messages and
/// what-if come with it. A rule says nothing of what is not set: a requirement of a rule
/// without a value is neither met nor broken, and `has` asks. A rule has a name, a reason and a
/// source, because a waiver needs something to name and a finding is worth what its reason is
/// worth.
#pragma once

#include <string>
#include <vector>

#include "language/model.hpp"
#include "language/tree/syntax.hpp"

namespace budwood::language {

/// Conditions that good protocols meet, checked and ready to be held against any of them.
struct RuleSet {
  std::string name;
  std::string title;
  int edition = 1;
  std::string fingerprint;  ///< of what it means, see canonical.hpp
  std::vector<syntax::Rule> rules;
  text::Span span;
};

/// Checks that every rule makes sense for whatever protocol; the set is fit for use when this added
/// no error.
RuleSet check(const syntax::Rules& written, text::Diagnostics& diagnostics);

/// Adds the rules of a set to the requirements of a sound protocol: one for each stage, step, work
/// or part that a rule is about, with names and settings put in. What the protocol meets by its
/// making is left out, and so is what speaks of a setting that a stage does not have. A set that
/// would go through too much is reported.
void follow(Protocol& protocol, const RuleSet& rules, text::Diagnostics& diagnostics);
/// The same for several, each of which counts once. Waivers that no rule goes by are warnings.
void follow(Protocol& protocol, const std::vector<const RuleSet*>& sets,
            text::Diagnostics& diagnostics);

/// The waiver that lets a requirement pass; nullptr when there is none.
const Waiver* waiver_of(const Protocol& protocol, const Requirement& requirement);

/// Reports the waiver of a rule that is in none of the sets that are followed.
void check_waiver(const std::string& rule, const text::Span& span,
                  const std::vector<const RuleSet*>& sets, text::Diagnostics& diagnostics);

}  // namespace budwood::language
