#include "editor/workspace.hpp"

#include <algorithm>
#include <set>

#include "book/with_library.hpp"
#include "book/yaml/yaml_tree.hpp"
#include "files/held.hpp"
#include "files/read.hpp"

namespace budwood::editor {

namespace fs = std::filesystem;

namespace {

/// Of a folder with more protocols than any library has the first are looked at.
constexpr std::size_t most_files = 500;
/// As many files as are kept of what lies on the disk.
constexpr std::size_t most_kept = 2000;

fs::path named(const fs::path& path) {
  return files::held_name(path);
}

bool is_there(const fs::path& path) {
  std::error_code ignored;
  return fs::exists(path, ignored);
}

}  // namespace

void Workspace::open(const fs::path& path, std::string text, std::int64_t version) {
  const fs::path name = named(path);
  if (text.starts_with("\xEF\xBB\xBF")) text.erase(0, 3);
  open_[name] = std::make_shared<Document>(name, std::move(text), version);
  ++changes_;
}

bool Workspace::change(const fs::path& path, const std::vector<Change>& changes,
                       std::int64_t version) {
  const auto found = open_.find(named(path));
  if (found == open_.end() || version < found->second->version()) return false;
  found->second =
      std::make_shared<Document>(found->first, changed(*found->second, changes), version);
  ++changes_;
  return true;
}

void Workspace::close(const fs::path& path) {
  open_.erase(named(path));
  ++changes_;
}

void Workspace::disk_changed() {
  listed_.clear();
  on_disk_.clear();
  books_.clear();
  seen_books_.reset();
  ++changes_;
}

void Workspace::set_roots(std::vector<fs::path> roots) {
  roots_.clear();
  for (const fs::path& root : roots) roots_.push_back(named(root));
  seen_books_.reset();
}

bool Workspace::is_open(const fs::path& path) const {
  return open_.contains(named(path));
}

std::vector<fs::path> Workspace::open_files() const {
  std::vector<fs::path> out;
  for (const auto& [path, document] : open_) out.push_back(path);
  return out;
}

SharedDocument Workspace::document(const fs::path& path) const {
  const fs::path name = named(path);
  if (const auto found = open_.find(name); found != open_.end()) return found->second;
  std::error_code failure;
  const fs::file_time_type time = fs::last_write_time(name, failure);
  const std::uintmax_t size = failure ? 0 : fs::file_size(name, failure);
  if (failure) return nullptr;
  if (on_disk_.size() > most_kept) on_disk_.clear();
  OnDisk& kept = on_disk_[name];
  if (kept.document != nullptr && kept.time == time && kept.size == size) return kept.document;
  files::Bytes read = files::read_bytes(name, files::largest_text);
  if (!read.ok() || text::find_invalid_utf8(read.bytes) != std::string::npos) {
    on_disk_.erase(name);
    return nullptr;
  }
  if (read.bytes.starts_with("\xEF\xBB\xBF")) read.bytes.erase(0, 3);
  kept = {time, size, std::make_shared<Document>(name, std::move(read.bytes), 0)};
  return kept.document;
}

const std::vector<fs::path>& Workspace::listed(const fs::path& folder) const {
  std::error_code failure;
  const fs::file_time_type time = fs::last_write_time(folder, failure);
  Listed& kept = listed_[folder];
  if (failure) {
    kept.files.clear();
    return kept.files;
  }
  if (kept.time == time && !kept.files.empty()) return kept.files;
  kept = {time, {}};
  for (fs::directory_iterator i(folder, failure), end; !failure && i != end; i.increment(failure)) {
    if (i->path().extension() == ".bud") kept.files.push_back(named(i->path()));
  }
  std::sort(kept.files.begin(), kept.files.end());
  if (kept.files.size() > most_files) kept.files.resize(most_files);
  return kept.files;
}

std::optional<fs::path> Workspace::book_folder(const fs::path& path) const {
  const fs::path folder = named(path).parent_path();
  const auto holds = [&](const char* file) {
    return is_there(folder / file) || open_.contains(folder / file);
  };
  if (holds("site.yaml") || holds("batches.yaml")) return folder;
  return std::nullopt;
}

/// The folder of protocols that the site of a book names; "" for none.
fs::path Workspace::protocols_of(const fs::path& book) const {
  const SharedDocument site = document(book / "site.yaml");
  if (site == nullptr) return {};
  text::Diagnostics unheard;
  const auto tree = book::read_tree(site->source(), unheard);
  const book::Node* protocols = tree ? tree->find("protocols") : nullptr;
  if (protocols == nullptr || protocols->value.empty()) return {};
  return named(book::protocols_folder(book, protocols->value));
}

std::vector<fs::path> Workspace::folders_around(const fs::path& path) const {
  const fs::path folder = named(path).parent_path();
  std::vector<fs::path> folders{folder};
  if (const auto book = book_folder(path)) {
    if (fs::path protocols = protocols_of(*book); !protocols.empty()) {
      folders.push_back(std::move(protocols));
    }
  }
  // Rule sets lie in a folder of their own beside the protocols.
  if (folder.filename() == "rules") folders.push_back(folder.parent_path());
  const std::size_t count = folders.size();
  for (std::size_t i = 0; i < count; ++i) folders.push_back(folders[i] / "rules");
  std::set<fs::path> seen;
  std::erase_if(folders, [&](const fs::path& one) { return !seen.insert(one).second; });
  return folders;
}

const std::vector<Workspace::BookSeen>& Workspace::books_below_roots() const {
  if (seen_books_) return *seen_books_;
  constexpr std::size_t most_entries = 20'000;
  constexpr int deepest = 4;
  seen_books_.emplace();
  std::size_t entries = 0;
  for (const fs::path& root : roots_) {
    std::error_code failure;
    fs::recursive_directory_iterator i(root, fs::directory_options::skip_permission_denied,
                                       failure);
    for (const fs::recursive_directory_iterator end;
         !failure && i != end && ++entries < most_entries; i.increment(failure)) {
      const bool hidden = i->path().filename().native().starts_with('.');
      if (hidden || i.depth() >= deepest) i.disable_recursion_pending();
      if (i->path().filename() != "site.yaml") continue;
      const fs::path folder = named(i->path()).parent_path();
      seen_books_->push_back({folder, protocols_of(folder)});
    }
  }
  return *seen_books_;
}

std::vector<fs::path> Workspace::books_around(const fs::path& path) const {
  std::set<fs::path> out;
  const std::vector<fs::path> around = folders_around(path);
  if (const auto own = book_folder(path)) out.insert(*own);
  for (const BookSeen& one : books_below_roots()) {
    const bool uses = std::any_of(around.begin(), around.end(), [&](const fs::path& folder) {
      return folder == one.folder || folder == one.protocols;
    });
    if (uses) out.insert(one.folder);
  }
  return {out.begin(), out.end()};
}

std::vector<SharedDocument> Workspace::related_files(const fs::path& path) const {
  std::vector<fs::path> folders = folders_around(path);
  for (const fs::path& one : books_around(path)) {
    if (std::find(folders.begin(), folders.end(), one) == folders.end()) folders.push_back(one);
  }
  return files_in(folders);
}

std::vector<SharedDocument> Workspace::files_in(const std::vector<fs::path>& folders) const {
  std::vector<fs::path> paths;
  for (const fs::path& folder : folders) {
    const std::vector<fs::path>& files = listed(folder);
    paths.insert(paths.end(), files.begin(), files.end());
    for (const auto& [name, document] : open_) {
      const bool here = name.parent_path() == folder && document->kind() == FileKind::protocol;
      if (here && std::find(paths.begin(), paths.end(), name) == paths.end()) paths.push_back(name);
    }
  }
  std::vector<SharedDocument> out;
  for (const fs::path& one : paths) {
    if (SharedDocument read = document(one)) out.push_back(std::move(read));
  }
  return out;
}

std::vector<SharedDocument> Workspace::files_around(const fs::path& path) const {
  return files_in(folders_around(path));
}

namespace {

std::shared_ptr<const Library> read_together(std::vector<SharedDocument> documents) {
  auto fresh = std::make_shared<Library>();
  std::vector<const text::Source*> sources;
  for (const SharedDocument& one : documents) sources.push_back(&one->source());
  text::Diagnostics unheard;
  fresh->read = language::read(sources, unheard);
  fresh->documents = std::move(documents);
  return fresh;
}

}  // namespace

std::shared_ptr<const Library> Workspace::library_of(const fs::path& folder,
                                                     std::vector<SharedDocument> documents) const {
  std::shared_ptr<const Library>& kept = libraries_[folder];
  if (kept == nullptr || kept->documents != documents) kept = read_together(std::move(documents));
  return kept;
}

std::shared_ptr<const Library> Workspace::library(const fs::path& path) const {
  return library_of(named(path).parent_path(), files_around(path));
}

/// Of the files around, those that hold a rule set; less the one that is asked about.
std::shared_ptr<const Library> Workspace::rule_library(const Document& document) const {
  std::vector<SharedDocument> documents;
  for (const SharedDocument& one : files_around(document.path())) {
    const auto& owners = one->written().owners;
    const bool rules = std::any_of(owners.begin(), owners.end(), [](const auto& owner) {
      return owner.kind == language::NameKind::rules;
    });
    if (rules && one->path() != document.path()) documents.push_back(one);
  }
  std::shared_ptr<const Library>& kept = rules_[document.path().parent_path()];
  if (kept == nullptr || kept->documents != documents) kept = read_together(std::move(documents));
  return kept;
}

std::shared_ptr<const WorkedBook> Workspace::kept_book(const fs::path& path) const {
  const auto folder = book_folder(path);
  const auto kept = folder ? books_.find(*folder) : books_.end();
  return kept == books_.end() ? nullptr : kept->second.book;
}

std::shared_ptr<const WorkedBook> Workspace::worked_book(const fs::path& path) const {
  const auto folder = book_folder(path);
  if (!folder) return nullptr;
  KeptBook& kept = books_[*folder];
  if (kept.book != nullptr && kept.changes == changes_) return kept.book;
  auto fresh = std::make_shared<WorkedBook>();
  files::Texts texts;
  for (const auto& [name, document] : open_) texts[name] = std::string(document->text());
  const files::HeldTexts held(texts);
  const auto read_kept = [&](const std::vector<book::LibraryFolder>& folders,
                             const book::WantedNames&, text::Sources&, text::Diagnostics&) {
    std::vector<fs::path> paths;
    for (const book::LibraryFolder& one : folders) {
      paths.push_back(named(one.path));
      paths.push_back(named(one.path / "rules"));
    }
    fresh->library = library_of(*folder, files_in(paths));
    return fresh->library->read;
  };
  fresh->book = book::read_with_library(*folder, read_kept, fresh->sources, fresh->diagnostics);
  if (fresh->book) book::follow_record(*fresh->book, fresh->sources, fresh->diagnostics);
  if (fresh->book) fresh->plan = plan::make_plan(*fresh->book, fresh->diagnostics);
  kept = {changes_, std::move(fresh)};
  return kept.book;
}

}  // namespace budwood::editor
