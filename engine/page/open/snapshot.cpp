#include "page/open/snapshot.hpp"

#include "plan/needs/needs.hpp"

namespace budwood::page {

BookFiles::BookFiles(const std::filesystem::path& folder)
    : book(book::read_written_book(folder, sources, diagnostics)) {}

Snapshot::Snapshot(const std::filesystem::path& folder, std::optional<calendar::Day> today)
    : Snapshot(std::make_shared<const BookFiles>(folder), today) {}

Snapshot::Snapshot(std::shared_ptr<const BookFiles> read, std::optional<calendar::Day> today)
    : files(std::move(read)), diagnostics(files->diagnostics), written(files->book) {
  if (!written) return;
  book = *written;
  book::follow_record(*book, sources, diagnostics);
  for (const text::Diagnostic& d : diagnostics.sorted()) {
    knows_record_ = knows_record_ && d.code != "no-record";
  }
  if (today) book->today = today;
  plan = plan::make_plan(*book, diagnostics);
  plan::check_site_supplies(plan, diagnostics);
  live = std::make_unique<LiveSheet>(plan);
  for (std::size_t i = 0; i < plan.batches.size(); ++i) {
    batches_.emplace(plan.facts_of(plan.batches[i]).id.value, i);
  }
  for (std::size_t i = 0; i < book->history.size(); ++i) {
    noted_.emplace(record::whole_place(book->history[i]), i);
  }
}

const plan::BatchPlan* Snapshot::batch(const std::string& id) const {
  const auto found = batches_.find(id);
  return found == batches_.end() ? nullptr : &plan.batches[found->second];
}

std::vector<const record::Entry*> Snapshot::noted_of(const std::string& place) const {
  std::vector<const record::Entry*> out;
  const auto [first, last] = noted_.equal_range(place);
  for (auto one = first; one != last; ++one) out.push_back(&book->history[one->second]);
  return out;
}

}  // namespace budwood::page
