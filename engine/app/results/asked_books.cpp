#include "app/results/asked_books.hpp"

#include <filesystem>
#include <set>
#include <unordered_map>

#include "app/app.hpp"

namespace budwood::app {

namespace {

std::string name_of(const std::filesystem::path& folder) {
  const std::filesystem::path plain = std::filesystem::absolute(folder).lexically_normal();
  return (plain.has_filename() ? plain.filename() : plain.parent_path().filename()).string();
}

/// Every count of a book that is named twice, or of a copy of one, would count twice.
std::string told_twice(const AskedBooks& books) {
  if (books.planned.size() < 2) return "";
  std::unordered_map<std::string, const PlannedBook*> entries;
  std::set<std::filesystem::path> folders;
  for (const auto& planned : books.planned) {
    if (!planned->book) continue;
    std::error_code failure;
    if (!folders.insert(std::filesystem::weakly_canonical(planned->folder, failure)).second) {
      return "`" + planned->folder.generic_string() +
             "` is named twice, so all of it would count twice.";
    }
    for (const record::Entry& entry : planned->book->history) {
      const auto [known, fresh] = entries.try_emplace(entry.id, planned.get());
      if (fresh || known->second == planned.get()) continue;
      return "`" + known->second->folder.generic_string() + "` and `" +
             planned->folder.generic_string() + "` hold the same entries, such as " +
             entry.id.substr(0, 8) +
             ": one is a copy of the other, and all of it would count twice.";
    }
  }
  return "";
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
  out.problem = told_twice(out);
  return out;
}

int finish_all(const AskedBooks& books, bool done) {
  int status = done && books.all_read ? exit_fine : exit_faults;
  for (const auto& one : books.planned) {
    if (report_problems(*one)) status = exit_faults;
  }
  return status;
}

int refuse(const AskedBooks& books) {
  finish_all(books, false);
  complain(books.problem);
  return exit_misuse;
}

void note_nothing(AskedBooks& books) {
  books.planned.front()->diagnostics.note(
      "no-results", {}, "Nothing was noted that this could be told from.",
      "Note counts as they come: budwood record BOOK \"A27-003/healing counted 61 of 80\"");
}

}  // namespace budwood::app
