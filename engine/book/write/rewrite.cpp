#include "book/write/rewrite.hpp"

#include <algorithm>
#include <array>
#include <map>

#include "book/book.hpp"
#include "book/write/scalars.hpp"
#include "book/yaml/yaml_tree.hpp"

namespace budwood::book {

namespace {

constexpr std::array<std::string_view, 3> own_dates = {"ready", "start", "not_before"};

bool is_own_date(std::string_view key) {
  return std::find(own_dates.begin(), own_dates.end(), key) != own_dates.end();
}

std::string not_by_itself(const std::string& batch) {
  return "`" + batch + "` does not stand by itself in batches.yaml: change it there.";
}

/// A file of batches with the tree that says where its values stand.
class BatchesFile {
 public:
  explicit BatchesFile(const std::string& text) : source_("batches.yaml", text) {
    text::Diagnostics diagnostics;
    tree_ = read_tree(source_, diagnostics);
  }

  std::string_view text() const { return source_.text(); }
  const Node* list() const { return tree_ ? tree_->find("batches") : nullptr; }
  /// The map of a batch; nullptr when it does not stand by itself in the file.
  const Node* batch(const std::string& id) const {
    const Node* list = this->list();
    if (list == nullptr) return nullptr;
    for (const Node& one : list->items) {
      const Node* name = one.find("batch");
      if (name != nullptr && name->value == id) return &one;
    }
    return nullptr;
  }
  const Node* value(const Rewrite& change) const {
    const Node* at = batch(change.batch);
    for (const std::string& key : change.keys) at = at == nullptr ? nullptr : at->find(key);
    return at;
  }

 private:
  text::Source source_;
  std::optional<Node> tree_;
};

/// One change at the places where things stand.
class Rewriting {
 public:
  Rewriting(std::string& text, const Rewrite& wanted) : text_(text), file_(text), wanted_(wanted) {}

  std::string run() {
    const Node* batch = file_.batch(wanted_.batch);
    if (batch == nullptr) {
      return not_by_itself(wanted_.batch);
    }
    if (!wanted_.value) return take_out(*batch);
    const std::string& first = wanted_.keys.front();
    const Entry* there = entry_of(*batch, first);
    if (wanted_.keys.size() == 1) {
      if (there != nullptr) return replace(there->value, as_scalar(*wanted_.value));
      if (is_own_date(first)) {
        for (const Entry& other : batch->entries) {
          if (is_own_date(other.key)) return replace_entry(other);
        }
      }
      return insert(*batch, first + ": " + as_scalar(*wanted_.value));
    }
    const std::string line = wanted_.keys.back() + ": " + as_scalar(*wanted_.value);
    if (there == nullptr) return insert(*batch, first + ": {" + line + "}");
    if (there->value.kind == Node::Kind::null) {
      text_.insert(there->key_span.end + 1, " {" + line + "}");
      return "";
    }
    if (there->value.kind != Node::Kind::map) return in_file();
    const Entry* inner = entry_of(there->value, wanted_.keys.back());
    if (inner != nullptr) return replace(inner->value, as_scalar(*wanted_.value));
    return insert(there->value, line);
  }

 private:
  static const Entry* entry_of(const Node& map, const std::string& key) {
    for (const Entry& entry : map.entries) {
      if (entry.key == key) return &entry;
    }
    return nullptr;
  }
  std::string in_file() const {
    return "`" + wanted_.keys.front() + "` of `" + wanted_.batch +
           "` is written in a way that is only changed in batches.yaml itself.";
  }
  bool is_flow(const Node& map) const {
    return map.span.begin < text_.size() && text_[map.span.begin] == '{';
  }
  /// Whether a value begins and ends on one line, at places that are known.
  bool on_one_line(const Node& node) const {
    const std::string_view written = text::text_of(node.span);
    if (written.find('\n') != std::string_view::npos) return false;
    if (node.kind == Node::Kind::scalar) {
      return written == node.value || written.starts_with('"') || written.starts_with('\'');
    }
    if (node.kind == Node::Kind::null) return true;
    return !written.empty() && (written.front() == '{' || written.front() == '[');
  }
  std::size_t line_start(std::size_t at) const {
    const std::size_t before = at == 0 ? std::string::npos : text_.rfind('\n', at - 1);
    return before == std::string::npos ? 0 : before + 1;
  }
  std::size_t line_end(std::size_t at) const {
    return std::min(text_.find('\n', at), text_.size());
  }
  std::string line_break() const { return text_.find("\r\n") == std::string::npos ? "\n" : "\r\n"; }

  std::string replace(const Node& node, const std::string& value) {
    if (node.kind == Node::Kind::null) {
      text_.insert(node.span.end + 1, " " + value);  // behind the colon of its key
      return "";
    }
    if (node.kind != Node::Kind::scalar || !on_one_line(node)) return in_file();
    text_.replace(node.span.begin, node.span.end - node.span.begin, value);
    return "";
  }
  std::string replace_entry(const Entry& old) {
    if (old.value.kind != Node::Kind::scalar || !on_one_line(old.value)) return in_file();
    text_.replace(old.key_span.begin, old.value.span.end - old.key_span.begin,
                  wanted_.keys.front() + ": " + as_scalar(*wanted_.value));
    return "";
  }

  /// Behind the last entry of the map of which the end is known.
  std::string insert(const Node& map, const std::string& entry) {
    if (is_flow(map)) {
      const std::size_t at = map.entries.empty() ? map.span.begin + 1 : end_of(map.entries.back());
      text_.insert(at, map.entries.empty() ? entry : ", " + entry);
      return "";
    }
    const auto last = std::find_if(map.entries.rbegin(), map.entries.rend(),
                                   [&](const Entry& one) { return on_one_line(one.value); });
    if (last == map.entries.rend()) return in_file();
    const std::size_t column = last->key_span.begin - line_start(last->key_span.begin);
    std::size_t at = line_end(last->value.span.end);
    if (at > 0 && text_[at - 1] == '\r') --at;
    text_.insert(at, line_break() + std::string(column, ' ') + entry);
    return "";
  }
  /// Where an entry ends, with the bracket of its value.
  std::size_t end_of(const Entry& entry) const {
    const Node& value = entry.value;
    if (value.kind != Node::Kind::map && value.kind != Node::Kind::list) return value.span.end;
    const char open = text_[value.span.begin];
    const std::size_t close = text_.find(open == '{' ? '}' : ']', value.span.end);
    return open != '{' && open != '[' ? value.span.end : std::min(close, text_.size() - 1) + 1;
  }

  std::string take_out(const Node& batch) {
    const Entry* entry = entry_of(batch, wanted_.keys.front());
    const Node* map = &batch;
    if (entry != nullptr && wanted_.keys.size() > 1) {
      const Entry* inner = entry_of(entry->value, wanted_.keys.back());
      if (inner == nullptr) return "";
      if (entry->value.entries.size() > 1) {
        map = &entry->value;
        entry = inner;
      }
    }
    if (entry == nullptr) return "";
    return is_flow(*map) ? cut_from_flow(*map, *entry) : cut_line(*map, *entry);
  }
  std::string cut_from_flow(const Node& map, const Entry& entry) {
    const auto place = static_cast<std::size_t>(&entry - map.entries.data());
    const std::size_t begin = place > 0 ? end_of(map.entries[place - 1]) : entry.key_span.begin;
    const bool first_of_more = place == 0 && map.entries.size() > 1;
    const std::size_t end = first_of_more ? map.entries[1].key_span.begin : end_of(entry);
    text_.erase(begin, end - begin);
    return "";
  }
  std::string cut_line(const Node& map, const Entry& entry) {
    const std::size_t begin = line_start(entry.key_span.begin);
    const bool alone =
        text_.find_first_not_of(' ', begin) == static_cast<std::size_t>(entry.key_span.begin);
    // The only entry of a map below its key: all its lines go.
    const Node& value = entry.value;
    const bool below = value.kind == Node::Kind::map && !is_flow(value);
    if (!alone || map.entries.size() < 2) return in_file();
    if (below && !std::all_of(value.entries.begin(), value.entries.end(),
                              [&](const Entry& one) { return on_one_line(one.value); })) {
      return in_file();
    }
    if (!below && !on_one_line(value)) return in_file();
    const std::size_t last =
        below ? line_end(value.entries.back().value.span.end) : line_end(end_of(entry));
    const std::size_t comment = text_.find('#', below ? last : end_of(entry));
    if (comment < last) {
      text_.erase(entry.key_span.begin, comment - entry.key_span.begin);
      return "";
    }
    text_.erase(begin, std::min(last + 1, text_.size()) - begin);
    return "";
  }

  std::string& text_;
  const BatchesFile file_;  ///< the text as it was before
  const Rewrite& wanted_;
};

/// Whether the text says what was wanted, and says the rest as before is for the caller to rely on:
/// only the bytes of that one value were touched.
bool says(const std::string& text, const Rewrite& wanted) {
  const BatchesFile file(text);
  const Node* found = file.value(wanted);
  if (!wanted.value) return found == nullptr && file.batch(wanted.batch) != nullptr;
  return found != nullptr && found->kind == Node::Kind::scalar && found->value == *wanted.value;
}

}  // namespace

BatchesText::BatchesText(std::string text) {
  const BatchesFile file(text);
  std::vector<std::size_t> begins;
  if (const Node* list = file.list()) {
    for (const Node& one : list->items) {
      const std::size_t begin = text.rfind('\n', one.span.begin) + 1;  // npos + 1 is 0
      const std::size_t first = text.find_first_not_of(' ', begin);
      const bool own_line = text[first] == '-' && (begins.empty() || begin > begins.back());
      if (!own_line) break;
      begins.push_back(begin);
      if (const Node* name = one.find("batch")) places_.emplace(name->value, begins.size());
    }
    if (begins.size() != list->items.size()) begins.clear();
  }
  if (begins.empty()) places_.clear();
  if (!begins.empty())
    head_ = text.find("\r\n") == std::string::npos ? "batches:\n" : "batches:\r\n";
  std::size_t end = begins.empty() ? text.size() : begins.front();
  pieces_.push_back(text.substr(0, end));
  for (std::size_t i = 0; i < begins.size(); ++i) {
    end = i + 1 < begins.size() ? begins[i + 1] : text.size();
    pieces_.push_back(text.substr(begins[i], end - begins[i]));
  }
}

std::string BatchesText::text() const {
  std::string out;
  for (const std::string& piece : pieces_) out += piece;
  return out;
}

bool BatchesText::is(std::string_view text) const {
  for (const std::string& piece : pieces_) {
    if (!text.starts_with(piece)) return false;
    text.remove_prefix(piece.size());
  }
  return text.empty();
}

std::optional<std::size_t> BatchesText::piece_of(const std::string& batch) const {
  if (head_.empty()) return 0;
  const auto found = places_.find(batch);
  return found == places_.end() ? std::nullopt : std::optional(found->second);
}

std::string BatchesText::alone(const std::string& piece) const {
  return head_ + piece;
}

std::string BatchesText::rewrite(const std::vector<Rewrite>& changes) {
  std::map<std::size_t, std::string> fresh;
  for (const Rewrite& change : changes) {
    const auto piece = piece_of(change.batch);
    if (!piece) return not_by_itself(change.batch);
    std::string& text = fresh.try_emplace(*piece, alone(pieces_[*piece])).first->second;
    std::string problem = Rewriting(text, change).run();
    if (problem.empty() && !says(text, change)) {
      problem = "`" + change.keys.front() + "` of `" + change.batch +
                "` could not be changed where it stands: change it in batches.yaml.";
    }
    if (!problem.empty()) return problem;
  }
  for (auto& [piece, text] : fresh) pieces_[piece] = text.substr(head_.size());
  return "";
}

std::optional<std::string> BatchesText::written_value(const std::string& batch,
                                                      const std::vector<std::string>& keys) const {
  const auto piece = piece_of(batch);
  if (!piece) return std::nullopt;
  const BatchesFile file(alone(pieces_[*piece]));
  const Node* found = file.value({batch, keys, std::nullopt});
  if (found == nullptr || found->kind != Node::Kind::scalar) return std::nullopt;
  return found->value;
}

std::string append_batch(std::string& text, const Batch& batch) {
  const BatchesFile file(text);
  const Node* list = file.list();
  const std::string refusal = "A batch can only be added to a list of batches in batches.yaml.";
  if (list == nullptr) return refusal;
  std::size_t column = 2;
  const std::size_t at = text.size();
  if (!list->items.empty()) {
    const std::size_t first = list->items.front().span.begin;
    const std::size_t line = text.rfind('\n', first) + 1;  // npos + 1 is 0
    column = text.find_first_not_of(' ', line) - line;
    if (text[line + column] != '-') return refusal;
  } else if (list->kind != Node::Kind::null) {
    return refusal;
  }
  const std::string lines = batch_yaml(batch);
  constexpr std::size_t usual_column = 2;
  std::string moved;
  for (std::size_t begin = 0; begin < lines.size();) {
    const std::size_t end = lines.find('\n', begin);
    moved += std::string(column, ' ') +
             lines.substr(begin + usual_column, end - begin - usual_column) +
             (text.find("\r\n") == std::string::npos ? "\n" : "\r\n");
    begin = end + 1;
  }
  std::string out = text;
  if (!out.empty() && out.back() != '\n') moved = "\n" + moved;
  out.insert(at, moved);
  const BatchesFile again(out);
  const Node* grown = again.list();
  const bool right = grown != nullptr && grown->items.size() == list->items.size() + 1 &&
                     again.batch(batch.id.value) == &grown->items.back();
  if (!right) return refusal;
  text = std::move(out);
  return "";
}

}  // namespace budwood::book
