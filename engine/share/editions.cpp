#include "share/editions.hpp"

#include <algorithm>
#include <tuple>

namespace budwood::share {

namespace {

template <typename Item>
EditionFacts facts_of(const Item& item) {
  EditionFacts out;
  out.name = item.name;
  out.edition = item.edition;
  out.title = item.title;
  out.fingerprint = item.fingerprint;
  out.span = item.span;
  return out;
}

std::vector<EditionFacts> list(const std::vector<language::Protocol>& protocols,
                               const std::vector<language::RuleSet>& rule_sets) {
  std::vector<EditionFacts> out;
  for (const language::Protocol& one : protocols) {
    if (one.of_site) continue;
    out.push_back(facts_of(one));
    for (const language::Layer& base : bases_of(one)) {
      out.back().rests_on.push_back(described(base));
    }
  }
  for (const language::RuleSet& one : rule_sets) {
    out.push_back(facts_of(one));
    out.back().rule_set = true;
  }
  std::stable_sort(out.begin(), out.end(), [](const EditionFacts& a, const EditionFacts& b) {
    return std::tie(a.rule_set, a.name, a.edition) < std::tie(b.rule_set, b.name, b.edition);
  });
  return out;
}

EditionFacts* find(std::vector<EditionFacts>& all, bool rule_set, const std::string& name,
                   int edition) {
  const auto found = std::find_if(all.begin(), all.end(), [&](const EditionFacts& one) {
    return one.rule_set == rule_set && one.name == name && one.edition == edition;
  });
  return found == all.end() ? nullptr : &*found;
}

}  // namespace

std::vector<language::Layer> bases_of(const language::Protocol& protocol) {
  std::vector<language::Layer> out = protocol.layers;
  std::erase_if(out, [&](const language::Layer& layer) {
    return layer.name == protocol.name && layer.edition == protocol.edition;
  });
  return out;
}

std::string described(const language::Layer& layer) {
  return layer.name + " edition " + std::to_string(layer.edition);
}

std::vector<EditionFacts> list_editions(const language::Document& document) {
  return list(document.protocols, document.rule_sets);
}

std::vector<EditionFacts> list_editions(const book::Book& book) {
  std::vector<EditionFacts> out = list(book.protocols, book.rule_sets);
  for (const book::Batch& batch : book.batches) {
    const language::Protocol* protocol = book::protocol_of(book, batch);
    if (protocol == nullptr || protocol->of_site) continue;
    std::vector<std::string>& users = find(out, false, protocol->name, protocol->edition)->batches;
    // Cultivars of a batch share its name.
    if (users.empty() || users.back() != batch.id.value) users.push_back(batch.id.value);
  }
  for (const language::RuleSet* set : book::followed_rules(book)) {
    find(out, true, set->name, set->edition)->followed = true;
  }
  for (const book::KeptEdition& kept : book.kept) {
    EditionFacts* now = find(out, kept.rule_set, kept.name, kept.edition);
    if (now != nullptr) now->changed = now->fingerprint != kept.fingerprint;
  }
  return out;
}

std::string move_batch(book::Book& book, const std::string& batch, std::optional<int> edition) {
  std::vector<book::Batch*> moved;
  std::vector<std::string> ids;
  for (book::Batch& one : book.batches) {
    ids.push_back(one.id.value);
    if (one.id.value == batch) moved.push_back(&one);
  }
  if (moved.empty()) {
    const std::string advice = text::did_you_mean(batch, ids);
    return "There is no batch `" + batch + "`." + (advice.empty() ? "" : " " + advice);
  }
  const book::Batch& first = *moved.front();
  const std::string& name = first.protocol.value;
  if (first.edition) {
    return "Batch `" + batch + "` says in batches.yaml that it is on edition " +
           std::to_string(first.edition->value) + " of `" + name + "`: change it there.";
  }
  std::vector<std::string> editions;
  int newest = 0;
  bool known = false;
  for (const language::Protocol& protocol : book.protocols) {
    if (protocol.name != name) continue;
    editions.push_back(std::to_string(protocol.edition));
    newest = std::max(newest, protocol.edition);
    known = known || protocol.edition == edition;
  }
  if (editions.empty()) return "There is no protocol `" + name + "` to move `" + batch + "` to.";
  if (edition && !known) {
    return "There is no edition " + std::to_string(*edition) + " of `" + name +
           "`; there is edition " + text::list_words(editions) + ".";
  }
  for (book::Batch* one : moved) {
    one->kept_edition = book::Placed<int>{edition.value_or(newest), {}};
  }
  return "";
}

book::Book with_other_protocol(const book::Book& book, const language::Protocol& from,
                               const language::Protocol& to) {
  book::Book out = book;
  for (std::size_t i = 0; i < out.batches.size(); ++i) {
    book::Batch& batch = out.batches[i];
    const language::Protocol* now = book::protocol_of(book, batch);
    if (now == nullptr || now->name != from.name || now->edition != from.edition) continue;
    batch.protocol.value = to.name;
    batch.edition = book::Placed<int>{to.edition, batch.protocol.span};
  }
  const auto same =
      std::find_if(out.protocols.begin(), out.protocols.end(), [&](const language::Protocol& one) {
        return one.name == to.name && one.edition == to.edition;
      });
  if (same != out.protocols.end()) {
    *same = to;
  } else {
    out.protocols.push_back(to);
  }
  return out;
}

}  // namespace budwood::share
