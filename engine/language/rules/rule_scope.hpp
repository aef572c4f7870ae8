#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "language/model.hpp"
#include "language/tree/syntax.hpp"

namespace budwood::language {

/// What a variable of a rule stands for.
struct Thing {
  syntax::Selection::Kind kind = syntax::Selection::Kind::stage;
  StageId stage;  ///< of a stage, and of work where it stands
  WorkId work;
  PartId part;
};

/// The stages, work and parts of a protocol as rules speak of them, and the variables that stand
/// for some of them at the moment.
///
/// With `sampling` each selection gives one stand-in whatever it says: so a rule is checked before
/// there is a protocol to which it applies.
class RuleScope {
 public:
  RuleScope(const Protocol& protocol, bool sampling, text::Diagnostics& diagnostics);

  bool sampling() const { return sampling_; }

  /// Gives a name to something; false, with a report, when the name is taken.
  bool bind(const syntax::Name& variable, const Thing& thing);
  void release(const syntax::Name& variable) { variables_.erase(variable.text); }
  bool knows(const std::string& name) const { return variables_.contains(name); }

  /// `w`, `w.stage`, `a.part`. Reports what does not exist.
  std::optional<Thing> find(const syntax::Path& path);
  /// As many of the members as name things: how many were used. Reports an unknown variable.
  std::optional<Thing> follow(const syntax::Name& name, const std::vector<syntax::Name>& members,
                              std::size_t& used);

  /// What a selection gives, in the order of the protocol; nothing when it holds a mistake.
  std::optional<std::vector<Thing>> select(const syntax::Selection& selection);
  /// Stages that take the plants of another, as pairs.
  std::vector<std::pair<Thing, Thing>> steps() const;

  /// Whether something has a feature by its nature; no value when there is no such feature.
  std::optional<bool> has(const Thing& thing, const std::vector<syntax::Name>& feature) const;
  static std::vector<std::string> features(syntax::Selection::Kind kind);

  /// What is written of it: "title", "name", "room", "crew"; nothing for other words.
  std::optional<std::string> words(const Thing& thing, const std::string& what) const;

  /// Where a finding about it is shown.
  text::Span place(const Thing& thing) const;
  const Stage& stage(const Thing& thing) const;
  const Work& work(const Thing& thing) const;

 private:
  std::vector<Thing> all(syntax::Selection::Kind kind) const;
  bool tagged(const Thing& thing, const std::string& tag) const;
  static bool inside(const Thing& thing, const Thing& place);
  bool precedes(const Thing& first, const Thing& second, bool last_of_second) const;
  std::vector<bool> stages_before(StageId stage) const;
  bool spend(std::size_t things, const text::Span& span);

  const Protocol& protocol_;
  bool sampling_;
  text::Diagnostics& diagnostics_;
  std::map<std::string, Thing> variables_;
  List<std::vector<bool>, Stage> before_;  ///< by stage: those that come before it
  std::size_t spent_ = 0;                  ///< how much was gone through
};

/// "a stage", "work", "a part".
std::string describe(syntax::Selection::Kind kind);

}  // namespace budwood::language
