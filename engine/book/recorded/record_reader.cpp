#include "book/book.hpp"

#include <algorithm>
#include <set>
#include <string_view>
#include <unordered_map>

#include "book/recorded/fact_maker.hpp"
#include "record/line.hpp"
#include "record/standing.hpp"
#include "threads/threads.hpp"

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

/// By name: the places of all batches that an entry of it is about, one, or all cultivars of one
/// that is split.
std::unordered_map<std::string_view, std::vector<std::size_t>> by_name(const Book& book) {
  std::unordered_map<std::string_view, std::vector<std::size_t>> out;
  for (std::size_t i = 0; i < book.batches.size(); ++i) {
    const Batch& batch = book.batches[i];
    out[batch.id.value].push_back(i);
    if (!batch.split_from.empty() && batch.split_from != batch.id.value) {
      out[batch.split_from].push_back(i);
    }
  }
  return out;
}

/// The places in the history of what became a fact of each batch, as noted. Notes also which
/// batches were looked at.
std::vector<std::vector<std::size_t>> facts_by_batch(Book& book) {
  const auto batches = by_name(book);
  std::vector<std::vector<std::size_t>> out(book.batches.size());
  for (std::size_t i = 0; i < book.history.size(); ++i) {
    const record::Entry& entry = book.history[i];
    const bool fact = is_fact(entry);
    const bool looked_at = entry.what == record::What::counted ||
                           entry.what == record::What::lost || entry.what == record::What::seen;
    const auto found = fact || looked_at ? batches.find(entry.batch) : batches.end();
    if (found == batches.end()) continue;
    for (const std::size_t place : found->second) {
      Batch& batch = book.batches[place];
      batch.looked_at = batch.looked_at || looked_at;
      if (fact) out[place].push_back(i);
    }
  }
  return out;
}

void make_facts(Book& book, const text::Source& lines, text::Diagnostics& diagnostics) {
  constexpr std::size_t batches_a_piece = 250;
  const auto facts = facts_by_batch(book);
  const threads::Pieces pieces{book.batches.size(), batches_a_piece};
  std::vector<text::Diagnostics> told(book.batches.size());
  threads::each_piece(pieces.number(), [&](std::size_t piece) {
    for (std::size_t b = pieces.begin(piece); b < pieces.end(piece); ++b) {
      if (facts[b].empty()) continue;
      FactMaker maker(book.batches[b], told[b]);
      for (const std::size_t i : facts[b]) maker.take({&book.history[i], lines.made_line(i)});
      maker.finish();
    }
  });
  for (const text::Diagnostics& of_batch : told) diagnostics.add_all(of_batch);
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
