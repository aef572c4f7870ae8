#include <algorithm>

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

/// Whether the record says that of that place already.
bool is_recorded(const Book& book, const record::Entry& entry) {
  return std::any_of(book.history.begin(), book.history.end(), [&](const record::Entry& one) {
    return one.batch == entry.batch && one.place == entry.place && one.what == entry.what;
  });
}

}  // namespace

std::vector<record::Entry> told_in_batches(const Book& book, calendar::Day day) {
  std::vector<record::Entry> out;
  const auto add = [&](record::Entry entry) {
    if (!is_recorded(book, entry)) out.push_back(std::move(entry));
  };
  for (const Batch& batch : book.batches) {
    for (const Pin& pin : batch.pins) {
      if (!pin.recorded) continue;
      const bool start = pin.side == Pin::Side::start;
      add(entry_of(batch, start ? record::What::started : record::What::ended, pin.stage, pin.day));
    }
    for (const OrderDay& done : batch.done) {
      add(entry_of(batch, record::What::done, done.order, done.day));
    }
    for (const Count& count : batch.counted) {
      const auto over = std::find_if(batch.pins.begin(), batch.pins.end(), [&](const Pin& pin) {
        return pin.recorded && pin.stage == count.stage && pin.side == Pin::Side::end;
      });
      record::Entry entry = entry_of(batch, record::What::counted, count.stage,
                                     over == batch.pins.end() ? day : over->day);
      entry.number = static_cast<double>(count.plants);
      entry.unit = "plants";
      add(std::move(entry));
    }
  }
  return out;
}

}  // namespace budwood::book
