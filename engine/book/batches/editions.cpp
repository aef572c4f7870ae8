#include <algorithm>
#include <map>

#include "book/batches/batch.hpp"
#include "book/batches/editions.hpp"
#include "book/book.hpp"
#include "book/library.hpp"

namespace budwood::book {

const language::Protocol* protocol_of(const Book& book, const Batch& batch) {
  const Placed<int>* edition = wanted_edition(batch);
  const language::Protocol* newest = nullptr;
  for (const language::Protocol& protocol : book.protocols) {
    if (protocol.name != batch.protocol.value) continue;
    if (edition != nullptr && protocol.edition == edition->value) return &protocol;
    if (newest == nullptr || protocol.edition > newest->edition) newest = &protocol;
  }
  return edition == nullptr ? newest : nullptr;
}

bool under_way(const Batch& batch) {
  const bool recorded = std::any_of(batch.pins.begin(), batch.pins.end(),
                                    [](const Pin& pin) { return pin.recorded; });
  return recorded || batch.looked_at || !batch.counted.empty() || !batch.done.empty();
}

std::vector<const language::RuleSet*> followed_rules(const Book& book) {
  std::vector<const language::RuleSet*> out;
  for (const Placed<std::string>& name : book.site.rules) {
    const language::RuleSet* set = newest_rules(book.rule_sets, name.value);
    if (set != nullptr) out.push_back(set);
  }
  return out;
}

namespace {

/// Name and edition.
using EditionKey = std::pair<std::string, int>;

class Writer {
 public:
  Writer(const Book& book, Keeping keeping) : book_(book), keeping_(keeping) {}

  std::string write() {
    for (const Batch& batch : book_.batches) add(batch);
    for (const language::RuleSet* set : followed_rules(book_)) {
      rules_[{set->name, set->edition}] = kept_or(true, *set);
    }
    std::string out =
        "# The editions that this book is on. `budwood editions BOOK --keep` writes this file "
        "anew;\n"
        "# a batch goes on to another edition with `budwood editions BOOK --move BATCH`.\n"
        "editions:\n";
    write_entries(out, "protocol", protocols_);
    write_entries(out, "rules", rules_);
    if (protocols_.empty() && rules_.empty()) out += "  []\n";
    out += "batches:\n";
    for (const auto& [id, key] : batches_) {
      out += "  " + id + ": " + key.first + " edition " + std::to_string(key.second) + "\n";
    }
    if (batches_.empty()) out += "  {}\n";
    return out;
  }

 private:
  const KeptEdition* kept(bool rule_set, const std::string& name, int edition) const {
    const auto found = std::find_if(book_.kept.begin(), book_.kept.end(), [&](const auto& one) {
      return one.rule_set == rule_set && one.name == name && one.edition == edition;
    });
    return found == book_.kept.end() ? nullptr : &*found;
  }

  template <typename Item>
  std::string kept_or(bool rule_set, const Item& item) const {
    const KeptEdition* before =
        keeping_ == Keeping::anew ? nullptr : kept(rule_set, item.name, item.edition);
    return before != nullptr ? before->fingerprint : item.fingerprint;
  }

  void add(const Batch& batch) {
    if (const language::Protocol* protocol = protocol_of(book_, batch)) {
      if (protocol->of_site) return;
      const EditionKey key{protocol->name, protocol->edition};
      protocols_[key] = kept_or(false, *protocol);
      batches_[batch.id.value] = key;
      return;
    }
    // The protocol cannot be read just now; that is no reason to forget the edition.
    if (!batch.kept_edition) return;
    const EditionKey key{batch.protocol.value, batch.kept_edition->value};
    batches_[batch.id.value] = key;
    const KeptEdition* before = kept(false, key.first, key.second);
    if (before != nullptr) protocols_[key] = before->fingerprint;
  }

  static void write_entries(std::string& out, const char* kind,
                            const std::map<EditionKey, std::string>& entries) {
    for (const auto& [key, fingerprint] : entries) {
      out += "  - " + std::string(kind) + ": " + key.first +
             "\n    edition: " + std::to_string(key.second) + "\n    fingerprint: " + fingerprint +
             "\n";
    }
  }

  const Book& book_;
  Keeping keeping_;
  std::map<EditionKey, std::string> protocols_, rules_;
  std::map<std::string, EditionKey> batches_;
};

}  // namespace

std::string editions_yaml(const Book& book, Keeping keeping) {
  return Writer(book, keeping).write();
}

}  // namespace budwood::book
