#include "share/archive.hpp"

#include <archive.h>
#include <archive_entry.h>

#include <algorithm>
#include <array>
#include <memory>
#include <set>
#include <stdexcept>

namespace budwood::share {

namespace {

struct FreeReader {
  void operator()(archive* one) const { archive_read_free(one); }
};
struct FreeWriter {
  void operator()(archive* one) const { archive_write_free(one); }
};
struct FreeEntry {
  void operator()(archive_entry* one) const { archive_entry_free(one); }
};
using Reader = std::unique_ptr<archive, FreeReader>;
using Writer = std::unique_ptr<archive, FreeWriter>;
using Entry = std::unique_ptr<archive_entry, FreeEntry>;

char lower(char c) {
  return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
}
std::string lower(std::string_view text) {
  std::string out(text);
  std::transform(out.begin(), out.end(), out.begin(), [](char c) { return lower(c); });
  return out;
}

bool is_alphanumeric(char c) {
  const char l = lower(c);
  return (l >= 'a' && l <= 'z') || (c >= '0' && c <= '9');
}

/// Names that are no files on some systems, whatever follows them behind a point.
bool is_device(std::string_view name) {
  const std::string stem = lower(name.substr(0, name.find('.')));
  static const std::set<std::string> words = {"con", "prn", "aux", "nul"};
  const bool numbered = stem.size() == 4 && (stem.starts_with("com") || stem.starts_with("lpt")) &&
                        stem.back() >= '0' && stem.back() <= '9';
  return numbered || words.contains(stem);
}

bool is_plain_name(std::string_view name) {
  constexpr std::size_t longest = 120;
  if (name.empty() || name.size() > longest || !is_alphanumeric(name.front())) return false;
  if (!is_alphanumeric(name.back()) && name.back() != '_') return false;
  return !is_device(name) && std::all_of(name.begin(), name.end(), [](char c) {
    return is_alphanumeric(c) || c == '_' || c == '-' || c == '.';
  });
}

/// Collects what the library writes.
la_ssize_t append(archive*, void* out, const void* bytes, std::size_t size) {
  static_cast<std::string*>(out)->append(static_cast<const char*>(bytes), size);
  return static_cast<la_ssize_t>(size);
}

void must(int result, archive* writer) {
  if (result == ARCHIVE_OK) return;
  const char* why = archive_error_string(writer);
  throw std::runtime_error(std::string("The archive cannot be written: ") +
                           (why == nullptr ? "no reason given" : why));
}

/// Why an entry is refused by its head alone; "" when it is not.
std::string refusal(archive_entry* entry) {
  const char* raw = archive_entry_pathname(entry);
  if (raw == nullptr || !is_plain_path(raw)) {
    return "it holds a name that is not plain: letters, digits, `_`, `-` and `.` in at most two "
           "folders are";
  }
  const std::string name = "`" + std::string(raw) + "`";
  if (archive_entry_hardlink(entry) != nullptr || archive_entry_symlink(entry) != nullptr ||
      archive_entry_filetype(entry) != AE_IFREG) {
    return name + " in it is a link, a folder or a device, not a file";
  }
  if (archive_entry_is_encrypted(entry) != 0) return name + " in it is encrypted";
  if (archive_entry_size_is_set(entry) != 0 &&
      (archive_entry_size(entry) < 0 ||
       static_cast<std::size_t>(archive_entry_size(entry)) > largest_entry)) {
    return name + " in it is larger than 1 MB";
  }
  return "";
}

class ArchiveReading {
 public:
  explicit ArchiveReading(std::string_view bytes) : reader_(archive_read_new()) {
    if (reader_ == nullptr) throw std::bad_alloc();
    archive_read_support_format_zip_seekable(reader_.get());
    if (archive_read_open_memory(reader_.get(), bytes.data(), bytes.size()) != ARCHIVE_OK) {
      problem_ = "it is no ZIP archive, or only a part of one";
    }
  }

  ReadArchive run() {
    while (problem_.empty() && next()) {
    }
    if (!problem_.empty()) return {{}, problem_};
    if (files_.empty()) return {{}, "there is nothing in it"};
    return {std::move(files_), ""};
  }

 private:
  /// False at the end, and when something is wrong.
  bool next() {
    archive_entry* entry = nullptr;
    const int result = archive_read_next_header(reader_.get(), &entry);
    if (result == ARCHIVE_EOF) return false;
    if (result != ARCHIVE_OK) return refuse("it is damaged, or no ZIP archive");
    if (files_.size() == most_entries) return refuse("it holds more than 1000 files");
    if (const std::string why = refusal(entry); !why.empty()) return refuse(why);
    const std::string path = archive_entry_pathname(entry);
    if (!names_.insert(lower(path)).second) {
      return refuse("`" + path + "` stands in it twice, or twice but for capital letters");
    }
    files_.push_back({path, {}});
    return read_content(files_.back());
  }

  bool read_content(ArchivedFile& file) {
    std::array<char, 1U << 14U> buffer{};
    while (true) {
      const la_ssize_t got = archive_read_data(reader_.get(), buffer.data(), buffer.size());
      if (got == 0) return true;
      if (got < 0) return refuse("`" + file.path + "` in it is damaged");
      file.content.append(buffer.data(), static_cast<std::size_t>(got));
      total_ += static_cast<std::size_t>(got);
      if (file.content.size() > largest_entry) {
        return refuse("`" + file.path + "` in it is larger than 1 MB");
      }
      if (total_ > largest_content) return refuse("it holds more than 64 MB");
    }
  }

  bool refuse(std::string why) {
    problem_ = std::move(why);
    return false;
  }

  Reader reader_;
  std::vector<ArchivedFile> files_;
  std::set<std::string> names_;
  std::size_t total_ = 0;
  std::string problem_;
};

}  // namespace

bool is_plain_path(std::string_view path) {
  constexpr std::size_t most_folders = 2;
  std::size_t folders = 0;
  while (true) {
    const std::size_t slash = path.find('/');
    if (!is_plain_name(path.substr(0, slash))) return false;
    if (slash == std::string_view::npos) return true;
    if (++folders > most_folders) return false;
    path.remove_prefix(slash + 1);
  }
}

std::string write_archive(std::vector<ArchivedFile> files) {
  std::sort(files.begin(), files.end(),
            [](const ArchivedFile& a, const ArchivedFile& b) { return a.path < b.path; });
  std::string out;
  const Writer writer(archive_write_new());
  if (writer == nullptr) throw std::bad_alloc();
  archive* to = writer.get();
  must(archive_write_set_format_zip(to), to);
  must(archive_write_zip_set_compression_store(to), to);
  must(archive_write_set_bytes_in_last_block(to, 1), to);
  must(archive_write_open(to, &out, nullptr, append, nullptr), to);
  for (const ArchivedFile& file : files) {
    const Entry entry(archive_entry_new());
    if (entry == nullptr) throw std::bad_alloc();
    archive_entry_set_pathname(entry.get(), file.path.c_str());
    archive_entry_set_filetype(entry.get(), AE_IFREG);
    archive_entry_set_perm(entry.get(), 0644);
    archive_entry_set_size(entry.get(), static_cast<la_int64_t>(file.content.size()));
    must(archive_write_header(to, entry.get()), to);
    const la_ssize_t put = archive_write_data(to, file.content.data(), file.content.size());
    if (put != static_cast<la_ssize_t>(file.content.size())) must(ARCHIVE_FATAL, to);
  }
  must(archive_write_close(to), to);
  return out;
}

ReadArchive read_archive(std::string_view bytes) {
  return ArchiveReading(bytes).run();
}

}  // namespace budwood::share
