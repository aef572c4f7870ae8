#include "book/site/site_words.hpp"
#include "language/localise.hpp"

#include <set>

namespace budwood::book {

namespace {

using Kind = Site::OwnName::Kind;

/// What a protocol calls its rooms, crews and supplies.
struct Words {
  std::set<std::string> rooms, crews, supplies;

  explicit Words(const language::Protocol& protocol) {
    for (const language::Supply& supply : protocol.supplies) supplies.insert(supply.name);
    for (const language::Recipe& recipe : protocol.recipes) add_crew(recipe.crew);
    for (const language::Stage& stage : protocol.stages) {
      if (!stage.room.empty()) rooms.insert(stage.room);
      for (const language::Work& work : stage.works) add_crew(work.crew);
      for (const language::Contingency& contingency : stage.contingencies) {
        for (const auto& action : contingency.actions) add_crew(action.work.crew);
      }
    }
  }

 private:
  void add_crew(const std::string& crew) {
    if (!crew.empty()) crews.insert(crew);
  }
};

/// Puts down what a name means in one protocol; whether it means anything there.
bool note(const Site::OwnName& name, const Words& words, language::OwnNames& own) {
  bool found = false;
  const auto try_kind = [&](Kind kind, const std::set<std::string>& known,
                            std::map<std::string, std::string>& names) {
    if ((name.kind != Kind::any && name.kind != kind) || !known.contains(name.name.value)) return;
    found = true;
    // What names the kind goes before what does not.
    if (name.kind == kind) {
      names.insert_or_assign(name.name.value, name.own);
    } else {
      names.try_emplace(name.name.value, name.own);
    }
  };
  try_kind(Kind::room, words.rooms, own.rooms);
  try_kind(Kind::crew, words.crews, own.crews);
  try_kind(Kind::supply, words.supplies, own.supplies);
  return found;
}

/// Needs of a supply are added up by its name, so in one protocol each has a name of its own.
bool supplies_stay_apart(const Site& site, const language::Protocol& protocol,
                         const language::OwnNames& own, text::Diagnostics& diagnostics) {
  std::map<std::string, std::string> seen;
  for (const language::Supply& supply : protocol.supplies) {
    const auto found = own.supplies.find(supply.name);
    const std::string& name = found == own.supplies.end() ? supply.name : found->second;
    const auto [first, fresh] = seen.try_emplace(name, supply.name);
    if (fresh) continue;
    text::Span span = supply.span;
    for (const Site::OwnName& one : site.names) {
      if (one.own == name && (one.name.value == supply.name || one.name.value == first->second)) {
        span = one.name.span;
      }
    }
    diagnostics.error("same-name", span,
                      "`" + first->second + "` and `" + supply.name + "` of `" + protocol.name +
                          "` would both be called `" + name + "`, and their needs be mixed up.",
                      "Give each a name of its own.");
    return false;
  }
  return true;
}

}  // namespace

void use_own_names(const Site& site, text::Diagnostics& diagnostics, language::Document& library) {
  if (site.names.empty()) return;
  for (const Site::OwnName& one : site.names) {
    library.left_out.own_names[one.own] = one.name.value;
  }
  std::vector<bool> used(site.names.size(), false);
  std::set<std::string> all;
  for (language::Protocol& protocol : library.protocols) {
    const Words words(protocol);
    for (const auto* known : {&words.rooms, &words.crews, &words.supplies}) {
      all.insert(known->begin(), known->end());
    }
    language::OwnNames own;
    for (std::size_t i = 0; i < site.names.size(); ++i) {
      if (note(site.names[i], words, own)) used[i] = true;
    }
    if (supplies_stay_apart(site, protocol, own, diagnostics)) language::use_names(own, protocol);
  }
  for (std::size_t i = 0; i < site.names.size(); ++i) {
    const Placed<std::string>& name = site.names[i].name;
    if (used[i] || library.left_out.may_mention(name.value)) continue;
    const std::vector<std::string> known(all.begin(), all.end());
    std::string advice = text::did_you_mean(name.value, known);
    if (advice.empty()) advice = "Take the line out, or add the protocol that needs it.";
    diagnostics.warning("unknown-name", name.span,
                        "No protocol of this book has a room, crew or supply `" + name.value + "`.",
                        advice);
  }
}

}  // namespace budwood::book
