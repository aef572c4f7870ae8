#include "book/recorded/record_reader.hpp"

#include <algorithm>
#include <unordered_map>

#include "record/line.hpp"
#include "record/standing.hpp"

namespace budwood::book {

namespace {

using record::What;

/// The lines of entries as one source, each with its span.
class EntryLines {
 public:
  explicit EntryLines(const std::vector<record::Entry>& entries) {
    for (const record::Entry& entry : entries) {
      begins_.push_back(text_.size());
      text_ += record::line_of(entry) + "\n";
    }
    begins_.push_back(text_.size());
  }

  std::vector<text::Span> add_to(text::Sources& sources, const std::string& name) {
    const text::Source& source = sources.add(name, std::move(text_));
    std::vector<text::Span> out;
    for (std::size_t i = 0; i + 1 < begins_.size(); ++i) {
      out.push_back({&source, static_cast<std::uint32_t>(begins_[i]),
                     static_cast<std::uint32_t>(begins_[i + 1] - 1)});
    }
    return out;
  }

 private:
  std::string text_;
  std::vector<std::size_t> begins_;
};

bool says_of_dates(What what) {
  return what == What::started || what == What::ended;
}

bool is_fact(What what) {
  return says_of_dates(what) || what == What::done || what == What::left_out ||
         what == What::stopped;
}

/// Whether an entry tells how many of a whole stage there are: no sample, and no tray of it.
bool counts_stage(const record::Entry& entry) {
  const bool plants = entry.what == What::counted || entry.what == What::lost;
  return plants && entry.number && !entry.of && entry.tray.empty() && !entry.place.empty();
}

class FactMaker {
 public:
  FactMaker(Batch& batch, text::Diagnostics& diagnostics)
      : batch_(batch), diagnostics_(diagnostics) {}

  void take(const record::Entry& entry, const text::Span& span) {
    if (says_of_dates(entry.what)) date(entry, span);
    if (entry.what == What::done) done(entry, span);
    if (entry.what == What::left_out) {
      batch_.left_out.push_back({std::string(entry.place), entry.day, span});
    }
    if (entry.what == What::stopped) {
      batch_.stopped = Placed<calendar::Day>{entry.day, span};
      batch_.stopped_because = entry.words;
    }
  }

  /// Entries of one stage by day, of a day as noted: the last count holds, less what was lost
  /// since.
  void count(const record::Entry& entry, const text::Span& span) {
    const std::string stage(record::stage_of(entry));
    const auto plants = static_cast<std::int64_t>(*entry.number);
    const auto found = std::find_if(counted_.begin(), counted_.end(),
                                    [&](const Count& one) { return one.stage == stage; });
    if (entry.what == What::counted) {
      if (found == counted_.end()) {
        counted_.push_back({stage, plants, span});
      } else {
        *found = {stage, plants, span};
      }
    } else if (found != counted_.end()) {
      found->plants = std::max<std::int64_t>(0, found->plants - plants);
      found->span = span;
    }
  }

  void finish() {
    for (const Count& count : counted_) {
      const auto old = std::find_if(batch_.counted.begin(), batch_.counted.end(),
                                    [&](const Count& one) { return one.stage == count.stage; });
      if (old == batch_.counted.end()) {
        batch_.counted.push_back(count);
        continue;
      }
      if (old->plants != count.plants) differs(old->span, count.span);
      *old = count;
    }
  }

 private:
  void differs(const text::Span& before, const text::Span& now) {
    text::Diagnostic d;
    d.severity = text::Severity::warning;
    d.code = "record-differs";
    d.span = now;
    d.message =
        "Batch `" + batch_.id.value + "`: this was told otherwise before; the plan goes by this.";
    d.advice =
        "Take what is wrong out: `budwood record BOOK \"withdraw ENTRY ...\"`, or the key in "
        "batches.yaml.";
    d.related.push_back({before, "told otherwise here"});
    diagnostics_.add(std::move(d));
  }

  void date(const record::Entry& entry, const text::Span& span) {
    Pin pin;
    pin.stage = std::string(record::stage_of(entry));
    pin.side = entry.what == What::started ? Pin::Side::start : Pin::Side::end;
    pin.day = entry.day;
    pin.span = span;
    pin.recorded = true;
    std::erase_if(batch_.pins, [&](const Pin& old) {
      const bool same = old.stage == pin.stage && old.side == pin.side;
      if (same && old.recorded && old.day != pin.day) differs(old.span, pin.span);
      return same;
    });
    batch_.pins.push_back(pin);
  }

  void done(const record::Entry& entry, const text::Span& span) {
    std::erase_if(batch_.done, [&](const OrderDay& old) {
      const bool same = old.order == entry.place;
      if (same && old.day != entry.day) differs(old.span, span);
      return same;
    });
    batch_.done.push_back({entry.place, entry.day, span});
  }

  Batch& batch_;
  text::Diagnostics& diagnostics_;
  std::vector<Count> counted_;
};

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

void make_facts(Book& book, const std::vector<text::Span>& spans, text::Diagnostics& diagnostics) {
  auto batches = by_name(book);
  std::unordered_map<Batch*, FactMaker> makers;
  std::vector<std::pair<std::size_t, Batch*>> counts;
  for (std::size_t i = 0; i < book.history.size(); ++i) {
    const record::Entry& entry = book.history[i];
    for (Batch* batch : batches[entry.batch]) {
      if (batch->id.value == entry.batch && counts_stage(entry)) {
        counts.emplace_back(i, batch);
        makers.try_emplace(batch, *batch, diagnostics);
        continue;
      }
      if (!is_fact(entry.what)) continue;
      makers.try_emplace(batch, *batch, diagnostics).first->second.take(entry, spans[i]);
    }
  }
  std::stable_sort(counts.begin(), counts.end(), [&](const auto& one, const auto& other) {
    return book.history[one.first].day < book.history[other.first].day;
  });
  for (const auto& [i, batch] : counts) makers.at(batch).count(book.history[i], spans[i]);
  for (Batch& batch : book.batches) {
    if (const auto found = makers.find(&batch); found != makers.end()) found->second.finish();
  }
}

}  // namespace

record::Where record_of(const Book& book) {
  return {book.folder / record::record_file, book.site.record ? book.site.record->value : ""};
}

void read_record(Book& book, text::Sources& sources, text::Diagnostics& diagnostics) {
  hint_at_keys(book, diagnostics);
  const text::Span place = book.site.record ? book.site.record->span : text::Span{};
  record::Opened opened = record::open(record_of(book), record::Access::read);
  std::vector<record::Entry> entries;
  if (opened.store != nullptr) {
    record::Query query;
    for (const Batch& batch : book.batches) {
      query.batches.push_back(batch.id.value);
      if (!batch.split_from.empty()) query.batches.push_back(batch.split_from);
    }
    query.batches.emplace_back();  // stock is of no batch
    std::sort(query.batches.begin(), query.batches.end());
    query.batches.erase(std::unique(query.batches.begin(), query.batches.end()),
                        query.batches.end());
    opened.problem = opened.store->read(query, entries);
  }
  if (!opened.problem.empty()) {
    diagnostics.error("no-record", place, opened.problem,
                      "Without the record the plan would not know what has happened.");
    return;
  }
  book.history = record::standing(std::move(entries));
  if (book.history.empty()) return;
  for (const record::Entry& entry : book.history) {
    book.today = std::max(book.today.value_or(entry.day), entry.day);
  }
  const std::string name =
      book.site.record ? "record" : (book.folder / record::record_file).generic_string();
  make_facts(book, EntryLines(book.history).add_to(sources, name), diagnostics);
}

}  // namespace budwood::book
