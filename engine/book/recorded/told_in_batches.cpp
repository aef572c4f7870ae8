#include <algorithm>
#include <map>
#include <set>

#include "book/book.hpp"

namespace budwood::book {

namespace {

record::Entry entry_of(const Batch& batch, record::What what, const std::string& place,
                       calendar::Day day) {
  record::Entry out;
  out.id = record::new_id();
  out.noted = record::moment_now();
  out.day = day;
  out.batch = batch.id.value;
  out.place = place;
  out.what = what;
  return out;
}

/// What stands in batches.yaml itself: the rest is of the record, which goes before it.
bool stands_in_file(const Batch& batch, const text::Span& span) {
  return span.source != nullptr && span.source == batch.id.span.source;
}

/// One fact of a batch, and where it is written.
struct Told {
  record::Entry entry;
  text::Span span;
};

std::vector<Told> told_of(const Batch& batch, calendar::Day day) {
  std::vector<Told> out;
  const auto add = [&](record::Entry entry, const text::Span& span) {
    if (stands_in_file(batch, span)) out.push_back({std::move(entry), span});
  };
  for (const Pin& pin : batch.pins) {
    if (!pin.recorded) continue;
    const bool start = pin.side == Pin::Side::start;
    add(entry_of(batch, start ? record::What::started : record::What::ended, pin.stage, pin.day),
        pin.span);
  }
  for (const OrderDay& done : batch.done) {
    add(entry_of(batch, record::What::done, done.order, done.day), done.span);
  }
  for (const Count& count : batch.counted) {
    const auto over = std::find_if(batch.pins.begin(), batch.pins.end(), [&](const Pin& pin) {
      return pin.recorded && pin.stage == count.stage && pin.side == Pin::Side::end;
    });
    record::Entry entry = entry_of(batch, record::What::counted, count.stage,
                                   over == batch.pins.end() ? day : over->day);
    entry.number = static_cast<double>(count.plants);
    entry.unit = "plants";
    add(std::move(entry), count.span);
  }
  return out;
}

}  // namespace

std::vector<record::Entry> told_in_batches(const Book& book, calendar::Day day) {
  // What is written once of a batch of cultivars is one entry of all of them, unless the record
  // knows more of some.
  std::map<std::string, std::size_t> cultivars;
  std::map<std::uint32_t, std::size_t> times;
  std::vector<std::pair<const Batch*, Told>> all;
  for (const Batch& batch : book.batches) {
    if (!batch.split_from.empty()) ++cultivars[batch.split_from];
    for (Told& one : told_of(batch, day)) {
      ++times[one.span.begin];
      all.emplace_back(&batch, std::move(one));
    }
  }
  std::vector<record::Entry> out;
  std::set<std::uint32_t> told;
  for (auto& [batch, one] : all) {
    const bool whole =
        !batch->split_from.empty() && times[one.span.begin] == cultivars[batch->split_from];
    if (whole && !told.insert(one.span.begin).second) continue;
    if (whole) one.entry.batch = batch->split_from;
    out.push_back(std::move(one.entry));
  }
  return out;
}

}  // namespace budwood::book
