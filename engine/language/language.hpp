/// The protocol language: from text to the protocol model.
///
///   text --parse--> syntax::File --check--> Protocol
///
/// `read` does both. Every mistake is a diagnostic; both steps report all that they can find.
///
/// What is not acted on is refused: words of later statements are errors with the code
/// `unsupported`.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "language/model.hpp"
#include "language/rules/rules.hpp"

namespace budwood::language {

/// Resolves names and checks units and structure. The model is fit for use when this added no
/// error.
Protocol check(const syntax::Protocol& written, text::Diagnostics& diagnostics);

/// What a source seems to hold, as far as its words tell without being read: more perhaps than it
/// does, and less only where it holds mistakes.
struct Headings {
  std::vector<std::string> names;   ///< of protocols and rule sets
  std::vector<std::string> bases;   ///< what they are based on
  std::vector<std::string> tables;  ///< of tables that stand beside them
};
Headings headings(const text::Source& source);

/// What is not in a document.
struct LeftOut {
  /// What stands in sources that hold an error and is left out for it, by name; "" where a source
  /// is so broken that nobody can tell what it holds.
  std::vector<std::string> broken;
  /// Sources that nobody needed.
  std::vector<const text::Source*> passed_over;
  /// Other words for names that may stand in these.
  std::map<std::string, std::string> own_names;

  /// Whether a protocol or rule set of a name may be among it.
  bool may_hold(const std::string& name) const;
  /// Whether a name may stand in it, whatever it names.
  bool may_mention(const std::string& name) const;
};

/// A table that protocols share.
struct SharedTable {
  std::string name;
  std::string fingerprint;
  text::Span span;
};

/// What stands in one source.
struct Document {
  std::vector<Protocol> protocols;
  std::vector<RuleSet> rule_sets;
  std::vector<SharedTable> tables;
  LeftOut left_out;
};

/// The protocols and rule sets of some sources, in their order, less those of a source that holds
/// an error. A protocol can be based on one in any of them, or in those that lie beside them; it is
/// then put together from both. So it is with the shared tables that it looks up. Nothing of what
/// lies beside is reported or returned.
Document read(const std::vector<const text::Source*>& sources, text::Diagnostics& diagnostics,
              const std::vector<const text::Source*>& beside = {});
/// Those of one source.
Document read(const text::Source& source, text::Diagnostics& diagnostics);

}  // namespace budwood::language
