#include "language/bases/rename.hpp"

#include <algorithm>

#include "language/bases/stage_list.hpp"
#include "language/check/titles.hpp"
#include "language/tree/references.hpp"
#include "language/tree/statement_parts.hpp"

namespace budwood::language {

namespace {

Refers refers_of(const std::string& kind) {
  if (kind == "stage") return Refers::stage;
  if (kind == "part") return Refers::part;
  if (kind == "supply") return Refers::supply;
  if (kind == "observe") return Refers::observation;
  if (kind == "room") return Refers::room;
  if (kind == "crew") return Refers::crew;
  return Refers::value;  // input, let, table
}

template <typename Declaration>
Declaration* declared(syntax::Protocol& protocol, const std::string& name) {
  for (syntax::ProtocolItem& item : protocol.items) {
    auto* one = std::get_if<Declaration>(&item);
    if (one != nullptr && one->name.text == name) return one;
  }
  return nullptr;
}

class Renamer {
 public:
  Renamer(const syntax::Rename& change, syntax::Protocol& protocol)
      : change_(change), protocol_(protocol), refers_(refers_of(change.kind)) {}

  bool run() {
    if (change_.kind == "work") return rename_work();
    bool found = false;
    if (refers_ == Refers::stage) {
      found = rename_stage();
    } else {
      found = rename_declaration();
      replace(change_.from.text, change_.to.text);
    }
    // Rooms and crews are declared nowhere, and what a recipe makes need not be; a title has no
    // place with them.
    const bool undeclared =
        refers_ == Refers::room || refers_ == Refers::crew || refers_ == Refers::supply;
    return found || (met_ && undeclared);
  }

 private:
  bool rename_work() {
    syntax::Stage* stage = find_stage(protocol_, change_.stage->text);
    if (stage == nullptr) return false;
    bool found = false;
    for (syntax::StageItem& item : stage->items) {
      auto* work = std::get_if<syntax::Work>(&item);
      if (work == nullptr) continue;
      for (syntax::Text& before : work->timing.hours.after) {
        if (before.value == change_.old_text.value) before.value = change_.new_text.value;
      }
      if (found || work->title.value != change_.old_text.value) continue;
      work->title = change_.new_text;
      found = true;
    }
    return found;
  }

  bool rename_declaration() {
    for (syntax::ProtocolItem& item : protocol_.items) {
      const auto renamed = [this](auto& one) {
        if constexpr (requires { one.name, one.title; }) {
          const bool meant =
              statement_of(one).words == change_.kind && one.name.text == change_.from.text;
          if (meant) one.name = change_.to;
          if (meant && change_.title) one.title = change_.title;
          return meant;
        }
        return false;
      };
      if (std::visit(renamed, item)) return true;
    }
    return false;
  }

  /// Of a repeated stage each cycle has a name of its own outside of the block.
  bool rename_stage() {
    const int cycles = cycles_of(protocol_, change_.from.text);
    syntax::Stage* stage = find_stage(protocol_, change_.from.text);
    if (stage == nullptr) return false;
    stage->name = change_.to;
    if (change_.title) stage->title = change_.title;
    replace(change_.from.text, change_.to.text);
    for (int cycle = 1; cycle <= cycles; ++cycle) {
      const std::string number = "_" + std::to_string(cycle);
      replace(change_.from.text + number, change_.to.text + number);
    }
    return true;
  }

  /// Whether a place that may name several kinds of things names this one.
  bool means(Refers place) const {
    if (place == refers_) return true;
    const bool value = refers_ == Refers::stage || refers_ == Refers::value;
    if (place == Refers::value) return value;
    // `per` names a supply or a value.
    return place == Refers::supply && value &&
           declared<syntax::Supply>(protocol_, change_.from.text) == nullptr;
  }

  void replace(const std::string& from, const std::string& to) {
    visit(protocol_, {[&](syntax::Name& name, Refers refers) {
                        if (name.text != from || !means(refers)) return;
                        name.text = to;
                        met_ = true;
                      },
                      {},
                      [&](syntax::Written& written, Refers refers) {
                        if (means(refers)) replace_word(written.value, from, to);
                      }});
  }

  const syntax::Rename& change_;
  syntax::Protocol& protocol_;
  Refers refers_;
  bool met_ = false;
};

}  // namespace

bool rename(const syntax::Rename& change, syntax::Protocol& protocol) {
  return Renamer(change, protocol).run();
}

}  // namespace budwood::language
