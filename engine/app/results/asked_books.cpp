#include "app/results/asked_books.hpp"

#include "app/app.hpp"

namespace budwood::app {

namespace {

std::string name_of(const std::filesystem::path& folder) {
  const std::filesystem::path plain = std::filesystem::absolute(folder).lexically_normal();
  return (plain.has_filename() ? plain.filename() : plain.parent_path().filename()).string();
}

}  // namespace

AskedBooks read_books(std::vector<std::string> folders) {
  if (folders.empty()) folders.emplace_back(".");
  AskedBooks out;
  for (const std::string& folder : folders) {
    BookArguments book;
    book.folder = folder;
    out.planned.push_back(std::make_unique<PlannedBook>(book));
    const PlannedBook& planned = *out.planned.back();
    out.all_read = out.all_read && planned.book.has_value();
    if (planned.book) out.asked.push_back({name_of(folder), &planned.plan});
  }
  return out;
}

int finish_all(const AskedBooks& books, bool done) {
  int status = done && books.all_read ? exit_fine : exit_faults;
  for (const auto& one : books.planned) {
    if (report_problems(*one)) status = exit_faults;
  }
  return status;
}

void note_nothing(AskedBooks& books) {
  books.planned.front()->diagnostics.note(
      "no-results", {}, "Nothing was noted that this could be told from.",
      "Note counts as they come: budwood record BOOK \"A27-003/healing counted 61 of 80\"");
}

}  // namespace budwood::app
