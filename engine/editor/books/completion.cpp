#include "editor/books/completion.hpp"

#include <algorithm>
#include <set>

#include "book/yaml/yaml_tree.hpp"
#include "editor/books/key_maps.hpp"
#include "editor/books/place.hpp"

namespace budwood::editor {

namespace {

class BookCompleter {
 public:
  BookCompleter(const Workspace& workspace, const Document& document, Position position)
      : workspace_(workspace),
        document_(document),
        position_(position),
        place_(book_place(document, position)),
        library_(workspace.library(document.path())) {}

  std::vector<Completion> complete() {
    if (place_.key.empty()) {
      known_keys();
      named_keys();
    } else {
      values();
    }
    return std::move(out_);
  }

 private:
  bool at(FileKind file, const KeyPath& pattern) const {
    return document_.kind() == file && fits(place_.path, pattern);
  }
  void key(const std::string& word, const std::string& detail, Completion::Kind kind) {
    if (seen_.insert(word).second)
      out_.push_back({kind, word, detail, word + ": ", place_.word, 0});
  }
  void value(const std::string& word, const std::string& detail) {
    if (!seen_.insert(word).second) return;
    out_.push_back({Completion::Kind::name, word, detail, word, place_.word, 0});
  }

  void known_keys() {
    const auto map = key_map_at(document_.kind(), place_.path);
    if (!map) return;
    const book::Keys& keys = book::keys_of(*map);
    for (const std::string& word : keys.names) key(word, keys.heading, Completion::Kind::word);
  }

  /// Names that the protocols ask for: rooms, crews, supplies, inputs, stages.
  void named_keys() {
    const auto name = [&](const std::string& word, const std::string& detail) {
      if (!word.empty()) key(word, detail, Completion::Kind::name);
    };
    for (const language::Protocol& one : library_->read.protocols) {
      const std::string of = "of " + one.name;
      if (at(FileKind::site, {"inputs"})) name(one.name, one.title);
      if (at(FileKind::site, {"inputs", one.name})) inputs(one, name);
      if (at(FileKind::site, {"supplies"})) {
        for (const language::Supply& supply : one.supplies) name(supply.name, of);
      }
      for (const language::Stage& stage : one.stages) {
        if (at(FileKind::site, {"rooms"})) name(stage.room, of);
        if (!at(FileKind::site, {"crews"})) continue;
        for (const language::Work& work : stage.works) name(work.crew, of);
      }
    }
    const language::Protocol* method = method_of_batch();
    if (method == nullptr) return;
    if (at(FileKind::batches, {"batches", "set"})) inputs(*method, name);
    if (at(FileKind::batches, {"batches", "trial", "arms", "*", "set"})) inputs(*method, name);
    if (at(FileKind::batches, {"batches", "lots"})) {
      for (const language::Supply& supply : method->supplies) name(supply.name, supply.title);
    }
    if (at(FileKind::batches, {"batches", "pins"})) {
      for (const language::Stage& stage : method->stages) {
        name(stage.name + ".start", stage.title);
        name(stage.name + ".end", stage.title);
      }
    }
  }

  template <typename Name>
  static void inputs(const language::Protocol& protocol, const Name& name) {
    for (const language::Input& input : protocol.inputs) name(input.name, input.title);
  }

  void values() {
    const bool batch = at(FileKind::batches, {"batches"});
    if (batch && place_.key == "protocol") {
      for (const language::Protocol& one : library_->read.protocols) {
        if (language::variant_of(one.name).empty()) value(one.name, one.title);
      }
    }
    const bool arm = at(FileKind::batches, {"batches", "trial", "arms", "*"});
    if ((batch || arm) && place_.key == "variant") variants();
    if (at(FileKind::site, {}) && place_.key == "rules") {
      for (const language::RuleSet& one : library_->read.rule_sets) value(one.name, one.title);
    }
    if (at(FileKind::site, {}) && place_.key == "protocols") {
      value("budwood", "the library that came with the program");
    }
    if (at(FileKind::batches, {"batches", "lots"})) stock_of(place_.key);
    const bool stock = at(FileKind::site, {"lots", "*"}) || at(FileKind::site, {"mothers", "*"});
    if (stock && place_.key == "of") {
      for (const language::Protocol& one : library_->read.protocols) {
        for (const language::Supply& supply : one.supplies) value(supply.name, supply.title);
      }
    }
    const bool days = at(FileKind::site, {"working"}) || at(FileKind::site, {"crews", "*", "duty"});
    if (days && place_.key == "days") {
      for (const char* one : {"mon", "tue", "wed", "thu", "fri", "sat", "sun"}) value(one, "day");
    }
  }

  /// The lots and mother plants of a supply, as the site beside this file has them.
  void stock_of(const std::string& supply) {
    const auto site = workspace_.document(document_.path().parent_path() / "site.yaml");
    if (site == nullptr) return;
    text::Diagnostics unheard;
    const auto tree = book::read_tree(site->source(), unheard);
    if (!tree) return;
    for (const char* stock : {"lots", "mothers"}) {
      const book::Node* all = tree->find(stock);
      if (all == nullptr) continue;
      for (const book::Entry& one : all->entries) {
        const book::Node* of = one.value.find("of");
        if (of != nullptr && of->value == supply) value(one.key, stock);
      }
    }
  }

  void variants() {
    const std::string method = beside(document_, position_, "protocol");
    for (const language::Protocol& one : library_->read.protocols) {
      const std::string variant = language::variant_of(one.name);
      if (!variant.empty() && language::method_of(one.name) == method) value(variant, one.title);
    }
  }

  const language::Protocol* method_of_batch() const {
    const std::string name = beside(document_, position_, "protocol");
    for (const language::Protocol& one : library_->read.protocols) {
      if (one.name == name) return &one;
    }
    return nullptr;
  }

  const Workspace& workspace_;
  const Document& document_;
  Position position_;
  BookPlace place_;
  std::shared_ptr<const Library> library_;
  std::set<std::string> seen_;
  std::vector<Completion> out_;
};

}  // namespace

std::vector<Completion> complete_book(const Workspace& workspace, const Document& document,
                                      Position position) {
  return BookCompleter(workspace, document, position).complete();
}

}  // namespace budwood::editor
