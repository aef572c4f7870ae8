#include "language/language.hpp"
#include "language/model.hpp"
#include "language/parse/parse.hpp"
#include "language/rules/rules.hpp"
#include "language/tree/canonical.hpp"

#include <algorithm>
#include <iterator>
#include <map>

#include "language/bases/bases.hpp"
#include "language/check/protocol_checker.hpp"
#include "language/tree/repeat.hpp"

namespace budwood::language {

Protocol check(const syntax::Protocol& written, text::Diagnostics& diagnostics) {
  const bool repeats =
      std::any_of(written.items.begin(), written.items.end(), [](const syntax::ProtocolItem& item) {
        return std::holds_alternative<syntax::Repeat>(item);
      });
  Protocol out = repeats ? ProtocolChecker(expand_repeats(written), diagnostics).check()
                         : ProtocolChecker(written, diagnostics).check();
  out.fingerprint = fingerprint(written);
  return out;
}

namespace {

/// Reports a second protocol or rule set of one name and edition.
class OnceInFile {
 public:
  OnceInFile(std::string kind, text::Diagnostics& diagnostics)
      : kind_(std::move(kind)), diagnostics_(diagnostics) {}

  void meet(const std::string& name, int edition, const text::Span& span) {
    const auto [first, fresh] = seen_.try_emplace({name, edition}, span);
    if (fresh) return;
    text::Diagnostic d;
    d.code = "duplicate-name";
    d.span = span;
    d.message = "There is already a " + kind_ + " `" + name + "`, edition " +
                std::to_string(edition) + ", in this file.";
    d.advice = "Give it another name or edition.";
    d.related.push_back({first->second, "The first is here."});
    diagnostics_.add(std::move(d));
  }

 private:
  std::string kind_;
  text::Diagnostics& diagnostics_;
  std::map<std::pair<std::string, int>, text::Span> seen_;
};

/// One source with what was read of it.
struct ReadFile {
  syntax::File tree;
  std::size_t first = 0;  ///< the place of its first protocol among all
  bool sound = true;      ///< no error was found in it so far
};

/// The models of what stands in a source; none when it holds an error, because a statement that
/// could not be read would silently be missing from the plan.
void check_file(const ReadFile& file, Bases& bases, text::Diagnostics& diagnostics, Document& out) {
  const std::size_t before = diagnostics.count(text::Severity::error);
  bool sound = file.sound;
  Document found;
  OnceInFile protocols("protocol", diagnostics);
  for (std::size_t i = 0; i < file.tree.protocols.size(); ++i) {
    const Layer& own = file.tree.protocols[i].layers.front();
    protocols.meet(own.name, own.edition, file.tree.protocols[i].name.span);
    const Protocol* model = bases.checked(file.first + i);
    if (model != nullptr) {
      found.protocols.push_back(*model);
      const auto& variants = bases.variants(file.first + i);
      found.protocols.insert(found.protocols.end(), variants.begin(), variants.end());
    }
    sound = sound && model != nullptr;
  }
  OnceInFile rule_sets("rule set", diagnostics);
  for (const syntax::Rules& written : file.tree.rule_sets) {
    found.rule_sets.push_back(check(written, diagnostics));
    const RuleSet& one = found.rule_sets.back();
    rule_sets.meet(one.name, one.edition, one.span);
  }
  if (!sound || diagnostics.count(text::Severity::error) > before) {
    for (const syntax::Protocol& one : file.tree.protocols)
      out.left_out.broken.push_back(one.name.text);
    for (const syntax::Rules& one : file.tree.rule_sets)
      out.left_out.broken.push_back(one.name.text);
    if (file.tree.protocols.empty() && file.tree.rule_sets.empty() && file.tree.tables.empty())
      out.left_out.broken.emplace_back();
    return;
  }
  for (const syntax::Table& one : file.tree.tables) {
    out.tables.push_back({one.name.text, fingerprint(one), one.name.span});
  }
  std::move(found.protocols.begin(), found.protocols.end(), std::back_inserter(out.protocols));
  std::move(found.rule_sets.begin(), found.rule_sets.end(), std::back_inserter(out.rule_sets));
}

/// A shared table is judged once, whoever looks something up in it.
void add_table(const syntax::Table& table, Bases& bases, text::Diagnostics& diagnostics) {
  const std::size_t before = diagnostics.count(text::Severity::error);
  ProtocolChecker(syntax::Protocol{}, diagnostics).check(table);
  if (diagnostics.count(text::Severity::error) == before) bases.add(table, diagnostics);
}

}  // namespace

Document read(const std::vector<const text::Source*>& sources, text::Diagnostics& diagnostics,
              const std::vector<const text::Source*>& beside) {
  text::Diagnostics unheard;
  Bases bases;
  std::vector<ReadFile> files;
  std::size_t protocols = 0;
  const auto parse_one = [&](const text::Source& source, text::Diagnostics& found) {
    const std::size_t before = found.count(text::Severity::error);
    ReadFile file{parse(source, found), protocols, true};
    file.sound = found.count(text::Severity::error) == before;
    for (const syntax::Protocol& one : file.tree.protocols) bases.add(one, file.sound, found);
    for (const syntax::Table& one : file.tree.tables) add_table(one, bases, found);
    file.sound = file.sound && found.count(text::Severity::error) == before;
    if (file.tree.protocols.empty() && !file.sound) bases.add_hidden();
    protocols += file.tree.protocols.size();
    return file;
  };
  for (const text::Source* source : sources) files.push_back(parse_one(*source, diagnostics));
  for (const text::Source* source : beside) parse_one(*source, unheard);
  Document out;
  for (const ReadFile& file : files) check_file(file, bases, diagnostics, out);
  return out;
}

Document read(const text::Source& source, text::Diagnostics& diagnostics) {
  return read(std::vector<const text::Source*>{&source}, diagnostics);
}

}  // namespace budwood::language
