#include "editor/books/names.hpp"

#include "book/yaml/yaml_tree.hpp"

namespace budwood::editor {

namespace {

using book::Entry;
using book::Node;

/// Looks through the files of one book.
class Looker {
 public:
  Looker(const Document& document, NameSpace space, const std::string& name,
         const std::set<std::string>& protocols)
      : document_(document), space_(space), name_(name), protocols_(protocols) {}

  std::vector<Location> look() {
    text::Diagnostics unheard;
    const auto tree = book::read_tree(document_.source(), unheard);
    if (!tree) return {};
    if (document_.kind() == FileKind::site) {
      site(*tree);
    } else if (const Node* batches = tree->find("batches")) {
      for (const Node& one : batches->items) batch(one);
    }
    return std::move(out_);
  }

 private:
  void site(const Node& tree) {
    if (space_ == NameSpace::supply) {
      keys(tree.find("supplies"));
      for (const char* stock : {"lots", "mothers"}) {
        const Node* all_of_them = tree.find(stock);
        if (all_of_them == nullptr) continue;
        for (const Entry& one : all_of_them->entries) scalar(one.value.find("of"));
      }
    }
    if (const Node* recipes = tree.find("recipes")) {
      if (space_ == NameSpace::supply) keys(recipes);
      for (const Entry& one : recipes->entries) {
        if (space_ == NameSpace::supply) keys(one.value.find("of"));
        if (space_ == NameSpace::crew) scalar(one.value.find("crew"));
      }
    }
    if (space_ == NameSpace::room) keys(tree.find("rooms"));
    if (space_ == NameSpace::crew) {
      keys(tree.find("crews"));
      for (const char* key : {"moving", "spacing", "picking"}) {
        const Node* who = tree.find(key);
        if (who != nullptr) scalar(who->find("crew"));
      }
      rounds(tree.find("rooms"));
    }
    if (space_ == NameSpace::rules) all(tree.find("rules"));
    if (space_ == NameSpace::rule) keys(tree.find("waive"));
    if (const Node* names = tree.find("names")) own_names(*names);
    if (const Node* inputs = tree.find("inputs")) {
      for (const Entry& entry : inputs->entries) {
        if (space_ == NameSpace::protocol) key(entry);
        if (space_ == NameSpace::value && protocols_.contains(entry.key)) keys(&entry.value);
      }
    }
  }

  /// Who goes round through the rooms.
  void rounds(const Node* rooms) {
    if (rooms == nullptr) return;
    for (const Entry& room : rooms->entries) {
      const Node* scout = room.value.find("scout");
      if (scout != nullptr) scalar(scout->find("crew"));
    }
  }

  /// `names:` holds the protocol's own names, some with what kind they are of.
  void own_names(const Node& names) {
    const std::string kind = space_ == NameSpace::room   ? "room "
                             : space_ == NameSpace::crew ? "crew "
                                                         : "supply ";
    const bool named =
        space_ == NameSpace::room || space_ == NameSpace::crew || space_ == NameSpace::supply;
    if (!named) return;
    for (const Entry& entry : names.entries) {
      if (entry.key == name_ || entry.key == kind + name_) add(entry.key_span);
    }
  }

  void batch(const Node& one) {
    const Node* protocol = one.find("protocol");
    if (protocol == nullptr) return;
    if (space_ == NameSpace::protocol) front(*protocol);
    const std::string method = protocol->value.substr(0, protocol->value.find_first_of(". "));
    if (!protocols_.contains(method)) return;
    if (space_ == NameSpace::supply) keys(one.find("lots"));
    if (space_ == NameSpace::value) {
      keys(one.find("set"));
      stages(one);
    }
  }

  /// Stages are named in front of what is told of them: `grafting.start`, `grafting/2/1`.
  void stages(const Node& node) {
    for (const Entry& entry : node.entries) {
      const bool named = entry.key.starts_with(name_ + ".") || entry.key.starts_with(name_ + "/");
      if (named) add(entry.key_span);
      if (entry.key != "set" && entry.key != "lots" && entry.key != "note") stages(entry.value);
    }
    for (const Node& item : node.items) stages(item);
    const bool scalar = node.kind == Node::Kind::scalar;
    if (scalar && (node.value == name_ || node.value.starts_with(name_ + "/"))) add(node.span);
  }

  void keys(const Node* map) {
    if (map == nullptr) return;
    for (const Entry& entry : map->entries) key(entry);
  }
  void key(const Entry& entry) {
    if (entry.key == name_) add(entry.key_span);
  }
  void scalar(const Node* node) {
    if (node != nullptr && node->value == name_) add(node->span);
  }
  void all(const Node* list) {
    if (list == nullptr) return;
    for (const Node& item : list->items) scalar(&item);
  }
  /// A protocol with its variant or edition behind it.
  void front(const Node& node) {
    const std::string& value = node.value;
    const bool whole =
        value == name_ || value.starts_with(name_ + ".") || value.starts_with(name_ + " ");
    if (whole) add(node.span);
  }

  /// The name in a key or value, which may stand in quotes.
  void add(const text::Span& span) {
    const std::size_t at = text::text_of(span).find(name_);
    if (at == std::string_view::npos) return;
    const std::size_t begin = span.begin + at;
    out_.push_back({document_.path(), document_.lines().range(begin, begin + name_.size())});
  }

  const Document& document_;
  NameSpace space_;
  const std::string& name_;
  const std::set<std::string>& protocols_;
  std::vector<Location> out_;
};

}  // namespace

std::vector<Location> places_in_books(const Workspace& workspace, const Document& document,
                                      const Family& family, NameSpace space,
                                      const std::string& name, std::size_t owner) {
  std::vector<Location> out;
  const std::set<std::string> protocols = family.names(document, owner);
  for (const std::filesystem::path& folder : workspace.books_around(document.path())) {
    for (const char* file : {"site.yaml", "batches.yaml"}) {
      const SharedDocument one = workspace.document(folder / file);
      if (one == nullptr) continue;
      const std::vector<Location> found = Looker(*one, space, name, protocols).look();
      out.insert(out.end(), found.begin(), found.end());
    }
  }
  return out;
}

}  // namespace budwood::editor
