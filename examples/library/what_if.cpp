// Budwood as a library: load a book, listen, edit, read, take the edit back.
#include <iostream>
#include <numeric>

#include "plan/plan.hpp"
#include "sheet/columns/shown.hpp"
#include "sheet/site/site_sheets.hpp"

using namespace budwood;

int main(int argc, char** argv) {
  text::Sources sources;
  text::Diagnostics problems;
  const auto book = book::read_book(argc > 1 ? argv[1] : ".", sources, problems);
  if (!book) return 1;
  plan::Plan plan = plan::make_plan(*book, problems);
  if (plan.batches.empty()) return 1;
  const sheet::BatchKey batch = plan.batches.front().key();
  sheet::SiteSheets sheets(std::move(plan.sheets));
  const sheet::Sheet& sheet = sheets[batch.sheet];

  sheets.subscribe([&](const sheet::Changes& changes) {
    for (const auto& one : changes.values) {
      const std::string& name = sheet.layout().cell(one.cell).name;
      if (name != "grafting.start" && name != "grafting.plants") continue;
      std::cout << "  " << name << " is now " << shown(sheet::Row(sheet, one.batch.row), one.cell)
                << '\n';
    }
  });
  const auto tell = [&](const std::string& refused) {
    const auto crew = sheets.totals().find(sheet::Resource::Kind::crew, "grafting");
    const auto profile = sheets.totals().profile(crew.value_or(0));
    const double sum = std::accumulate(profile.days.begin(), profile.days.end(), 0.0) / 3600;
    std::cout << (refused.empty() ? "Done." : refused) << " Grafting in all: " << sum << " h\n";
  };

  tell("");
  tell(sheets.apply(sheet::SetReady{batch, *sheet.batch(batch.row).ready - 7}));
  tell(sheets.apply(sheet::SetInput{batch, sheet.layout().find("take"), 0.7}));
  tell(sheets.apply(sheet::SetInput{batch, sheet.layout().find("take"), 7}));
  while (sheets.undo()) tell("");
}
