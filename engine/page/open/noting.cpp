#include "page/open/noting.hpp"

#include "language/parse/entry_reader.hpp"
#include "plan/noting/book_known.hpp"
#include "record/line.hpp"
#include "report/results/learned_report.hpp"
#include "results/learn.hpp"

namespace budwood::page {

namespace {

using language::syntax::EntryLine;

class Noting {
 public:
  Noting(const book::Book& written, record::Store& store, const Noter& noter,
         text::Sources& sources)
      : written_(written), store_(store), noter_(noter), sources_(sources) {}

  void take(const SentEntry& sent) {
    TakenEntry out;
    out.id = sent.id;
    if (sent.id.size() != record::id_length || !record::is_id(sent.id)) {
      out.said.error("bad-id", {}, "This entry has no id by which it could be known again.");
    } else {
      take_named(sent, out);
    }
    taken_.push_back(std::move(out));
  }

  std::vector<TakenEntry> give() { return std::move(taken_); }

 private:
  void take_named(const SentEntry& sent, TakenEntry& out) {
    std::vector<record::Entry> there;
    if (const std::string problem = store_.find(sent.id, there); !problem.empty()) {
      out.said.error("no-record", {}, problem);
      return;
    }
    if (!there.empty()) {
      out.state = TakenEntry::State::known;
      out.line = record::line_of(there.front());
      return;
    }
    const std::vector<EntryLine> lines =
        language::read_entries(sources_.add("entry", sent.line), out.said);
    if (out.said.has_errors()) return;
    if (lines.size() != 1) {
      out.said.error("one-entry", {}, "An entry is one line.");
      return;
    }
    note_line(lines.front(), sent.id, out);
  }

  void note_line(const EntryLine& line, const std::string& id, TakenEntry& out) {
    plan::BookKnown known(written_, {line}, &store_);
    auto entry = record::understand(line, known, {record::day_now(), noter_.name}, out.said);
    if (!known.problem().empty()) out.said.error("no-record", {}, known.problem());
    if (!entry || out.said.has_errors()) return;
    if (!noter_.for_others && entry->by != noter_.name) {
      out.said.error("other-name", {},
                     "You are signed in as " + noter_.name + ": what you note bears your name.",
                     "Leave `by` away. Who may plan may note for others.");
      return;
    }
    entry->id = id;
    entry->noted = record::moment_now();
    const std::vector<record::Fresh> fresh = {{*entry, line.span}};
    record::check_together(known.noted(), fresh, known, out.said);
    if (out.said.has_errors()) return;
    const auto with = known.with(fresh);
    out.said.add_all(known.said_of(*with));
    for (const results::BelowExpectation& one : results::newly_below(known.plan(), with->plan)) {
      report::tell_below(one, out.said);
    }
    std::vector<record::Entry> entries = {*entry};
    record::Added added;
    if (const std::string problem = store_.add(entries, added); !problem.empty()) {
      out.said.error("no-record", {}, problem);
      return;
    }
    out.state = TakenEntry::State::noted;
    out.line = record::line_of(entries.front());
  }

  const book::Book& written_;
  record::Store& store_;
  const Noter& noter_;
  text::Sources& sources_;
  std::vector<TakenEntry> taken_;
};

std::vector<TakenEntry> refuse_all(const std::vector<SentEntry>& sent, const std::string& why) {
  std::vector<TakenEntry> out;
  for (const SentEntry& one : sent) {
    out.push_back({one.id, TakenEntry::State::refused, one.line, {}});
    out.back().said.error("no-record", {}, why);
  }
  return out;
}

}  // namespace

std::vector<TakenEntry> note(OpenBook& book, const std::vector<SentEntry>& sent, const Noter& noter,
                             text::Sources& sources) {
  const std::lock_guard lock(book.writing);
  const std::shared_ptr<Snapshot> now = book.now();
  const auto where = now->written ? book::record_of(*now->written) : std::nullopt;
  if (!where) return refuse_all(sent, "Where the record is, site.yaml does not say.");
  const record::Opened opened = record::open(*where, record::Access::write);
  if (opened.store == nullptr) return refuse_all(sent, opened.problem);
  Noting noting(*now->written, *opened.store, noter, sources);
  for (const SentEntry& one : sent) noting.take(one);
  book.look();
  return noting.give();
}

}  // namespace budwood::page
