#include <set>

#include "revision/pieces.hpp"

namespace budwood::revision {

namespace {

/// Whether an entry is about a batch that follows this protocol, by a variant or as it is written.
bool is_of(const book::Book& book, const Wish& wish, const record::Entry& entry) {
  for (const book::Batch& batch : book.batches) {
    if (batch.id.value != entry.batch && batch.split_from != entry.batch) continue;
    const language::Protocol* protocol = book::protocol_of(book, batch);
    return protocol != nullptr && language::method_of(protocol->name) == wish.protocol->name &&
           protocol->edition == wish.protocol->edition;
  }
  return false;
}

std::string told_by(const record::Entry& entry) {
  return " (" + (entry.by.empty() ? "" : entry.by + ", ") + entry.batch + ", " +
         calendar::iso_date(entry.day) + ")";
}

}  // namespace

void put_lessons(const book::Book& book, const Wish& wish, std::string_view written,
                 language::ProtocolText& text, Revision& out) {
  std::set<std::string> put;
  for (const record::Entry& entry : book.history) {
    if (entry.what != record::What::lesson || !is_of(book, wish, entry)) continue;
    const std::string stage(record::stage_of(entry));
    const std::string about = stage.empty() ? "lesson" : "lesson for " + stage;
    if (!put.insert(stage + "/" + entry.words).second) continue;
    const std::string quoted = language::quoted_text(entry.words);
    if (written.find(quoted.substr(1, quoted.size() - 2)) != std::string_view::npos) {
      out.left.push_back({about, "", entry.words, "it stands in the text already"});
      continue;
    }
    // Of a stage that a base brings it is a note on the whole.
    const std::string words = "Lesson: " + entry.words + told_by(entry);
    if (!text.add_note(stage, words)) text.add_note("", words);
    out.steps.push_back({about, "", entry.words, "noted" + told_by(entry)});
  }
}

}  // namespace budwood::revision
