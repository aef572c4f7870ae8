#include "book/book.hpp"

#include <algorithm>
#include <set>
#include <unordered_map>

#include "book/recorded/fact_maker.hpp"
#include "record/line.hpp"
#include "record/standing.hpp"

namespace budwood::book {

namespace {

/// What batches.yaml itself says happened is told once: there is a better place for it.
void hint_at_keys(const Book& book, text::Diagnostics& diagnostics) {
  for (const Batch& batch : book.batches) {
    const auto pin = std::find_if(batch.pins.begin(), batch.pins.end(),
                                  [](const Pin& one) { return one.recorded; });
    const text::Span span = pin != batch.pins.end()  ? pin->span
                            : !batch.counted.empty() ? batch.counted.front().span
                            : !batch.done.empty()    ? batch.done.front().span
                                                     : text::Span{};
    if (span.source == nullptr) continue;
    diagnostics.note(
        "kept-in-batches", span,
        "What happened stands in batches.yaml; the record is the place for it.",
        "`budwood record BOOK --from-book` takes it over; then `recorded` and `done` can "
        "be taken out.");
    return;
  }
}

/// All batches that an entry of this name is about: one, or all cultivars of one that is split.
std::unordered_map<std::string, std::vector<Batch*>> by_name(Book& book) {
  std::unordered_map<std::string, std::vector<Batch*>> out;
  for (Batch& batch : book.batches) {
    out[batch.id.value].push_back(&batch);
    if (!batch.split_from.empty() && batch.split_from != batch.id.value) {
      out[batch.split_from].push_back(&batch);
    }
  }
  return out;
}

void make_facts(Book& book, const text::Source& lines, text::Diagnostics& diagnostics) {
  const auto batches = by_name(book);
  std::unordered_map<const Batch*, FactMaker> makers;
  for (std::size_t i = 0; i < book.history.size(); ++i) {
    const record::Entry& entry = book.history[i];
    const bool fact = is_fact(entry);
    const bool looked_at = entry.what == record::What::counted ||
                           entry.what == record::What::lost || entry.what == record::What::seen;
    const auto found = fact || looked_at ? batches.find(entry.batch) : batches.end();
    if (found == batches.end()) continue;
    for (Batch* batch : found->second) {
      batch->looked_at = batch->looked_at || looked_at;
      if (!fact) continue;
      makers.try_emplace(batch, *batch, diagnostics)
          .first->second.take({&entry, lines.made_line(i)});
    }
  }
  for (const Batch& batch : book.batches) {
    if (const auto found = makers.find(&batch); found != makers.end()) found->second.finish();
  }
}

}  // namespace

std::optional<record::Where> record_of(const Book& book) {
  record::Where out{book.folder / record::record_file, ""};
  if (book.site.record_span.source == nullptr) return out;
  if (!book.site.record) return std::nullopt;
  out.server = book.site.record->value;
  return out;
}

std::vector<std::string> names_of(const std::vector<Batch>& batches) {
  std::set<std::string> out;
  for (const Batch& batch : batches) {
    out.insert(batch.id.value);
    if (!batch.split_from.empty()) out.insert(batch.split_from);
  }
  return {out.begin(), out.end()};
}

void follow(Book& book, std::vector<record::Entry> entries, text::Sources& sources,
            text::Diagnostics& diagnostics) {
  book.history = record::History(record::standing(std::move(entries)));
  if (book.history.empty()) return;
  for (const record::Entry& entry : book.history) {
    book.today = std::max(book.today.value_or(entry.day), entry.day);
  }
  const std::string name =
      book.site.record ? "record" : (book.folder / record::record_file).generic_string();
  const text::Source& lines = sources.add(
      name, book.history.size(),
      [history = book.history](std::size_t line) { return record::line_of(history[line]); });
  book.history_lines = &lines;
  make_facts(book, lines, diagnostics);
}

const record::Entry* entry_at(const Book& book, const text::Span& place) {
  if (place.source == nullptr || place.source != book.history_lines) return nullptr;
  return &book.history[place.source->line_of(place.begin) - 1];
}

void follow_record(Book& book, text::Sources& sources, text::Diagnostics& diagnostics) {
  hint_at_keys(book, diagnostics);
  const std::optional<record::Where> where = record_of(book);
  if (!where) return;
  record::Opened opened = record::open(*where, record::Access::read);
  std::vector<record::Entry> entries;
  if (opened.store != nullptr) {
    record::Query query;
    query.batches = names_of(book.batches);
    query.batches.emplace_back();  // stock is of no batch
    opened.problem = opened.store->read(query, entries);
  }
  if (!opened.problem.empty()) {
    diagnostics.error("no-record", book.site.record_span, opened.problem,
                      "Without the record the plan would not know what has happened.");
    return;
  }
  follow(book, std::move(entries), sources, diagnostics);
}

}  // namespace budwood::book
