/// The files that somebody works on, and those around them: what is open counts as it was typed,
/// the rest as it lies on the disk. What both an editor and the page show is asked for here or by a
/// function on a workspace (completion.hpp, pointing.hpp, names.hpp, mends.hpp, outline.hpp,
/// lens.hpp); none of them knows how it is shown.
///
///   Workspace workspace;
///   workspace.open("graft.bud", "protocol graft \"Graft\" { ... }", 1);
///   for (const Finding& one : workspace.findings("graft.bud")) ...
#pragma once

#include <filesystem>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "book/book.hpp"
#include "editor/document.hpp"
#include "plan/plan.hpp"

namespace budwood::editor {

/// A place in a file.
struct Location {
  std::filesystem::path path;
  Range range;
};

/// A diagnostic as it is shown in a file.
struct Finding {
  struct Related {
    Location where;
    std::string message;
  };
  text::Severity severity = text::Severity::error;
  std::string code;
  Range range;
  std::string message;
  std::string advice;
  std::vector<Related> related;
};

using SharedDocument = std::shared_ptr<const Document>;

/// What can be read of some protocol files together, mistakes left out.
struct Library {
  std::vector<SharedDocument> documents;  ///< that the models point into
  language::Document read;
};

/// A book worked out. Its parts point into each other, so it stays where it is made.
struct WorkedBook {
  text::Sources sources;
  text::Diagnostics diagnostics;
  std::shared_ptr<const Library> library;  ///< that its protocols point into
  std::optional<book::Book> book;
  plan::Plan plan;
};

class Workspace {
 public:
  /// A file is opened: from now on its text is what is told here.
  void open(const std::filesystem::path& path, std::string text, std::int64_t version);
  /// False when the file is not open, or when it had a later version already.
  bool change(const std::filesystem::path& path, const std::vector<Change>& changes,
              std::int64_t version);
  void close(const std::filesystem::path& path);
  /// The folders in which books are looked for: what is open in the editor as a whole.
  void set_roots(std::vector<std::filesystem::path> roots);
  /// Something was written to the disk by others.
  void disk_changed();

  /// An open file or one on the disk; nullptr when it cannot be read.
  SharedDocument document(const std::filesystem::path& path) const;
  bool is_open(const std::filesystem::path& path) const;
  std::vector<std::filesystem::path> open_files() const;

  /// Everything that is wrong with a file, by its places.
  std::vector<Finding> findings(const std::filesystem::path& path) const;

  /// The protocol files that belong together with a file: those beside it and in the folder of
  /// rules there, and those of the folder that its site names; by folder and name.
  std::vector<SharedDocument> files_around(const std::filesystem::path& path) const;
  /// The same, and the protocols of all books that use them or that they use.
  std::vector<SharedDocument> related_files(const std::filesystem::path& path) const;
  /// The folders of the books that a file belongs to: its own, and those below the roots whose site
  /// names its folder.
  std::vector<std::filesystem::path> books_around(const std::filesystem::path& path) const;
  /// The folder of the book in which a file stands; nothing when it stands in none.
  std::optional<std::filesystem::path> book_folder(const std::filesystem::path& path) const;
  /// That book, read and planned; nullptr when there is none. Kept until something changes.
  std::shared_ptr<const WorkedBook> worked_book(const std::filesystem::path& path) const;
  /// The same as it was worked out last, though something may have changed since; nullptr when
  /// nobody has asked for it.
  std::shared_ptr<const WorkedBook> kept_book(const std::filesystem::path& path) const;
  /// The protocols and rule sets around a file. Kept until one of them changes.
  std::shared_ptr<const Library> library(const std::filesystem::path& path) const;

 private:
  struct OnDisk {
    std::filesystem::file_time_type time;
    std::uintmax_t size = 0;
    SharedDocument document;
  };
  struct Listed {
    std::filesystem::file_time_type time;
    std::vector<std::filesystem::path> files;
  };
  struct KeptBook {
    std::uint64_t changes = 0;
    std::shared_ptr<const WorkedBook> book;
  };

  std::vector<Finding> protocol_findings(const Document& document) const;
  std::vector<Finding> book_findings(const Document& document) const;
  std::vector<SharedDocument> bases_of(const Document& document) const;
  std::shared_ptr<const Library> rule_library(const Document& document) const;
  std::shared_ptr<const Library> library_of(const std::filesystem::path& folder,
                                            std::vector<SharedDocument> documents) const;
  std::vector<SharedDocument> files_in(const std::vector<std::filesystem::path>& folders) const;
  const std::vector<std::filesystem::path>& listed(const std::filesystem::path& folder) const;
  std::vector<std::filesystem::path> folders_around(const std::filesystem::path& path) const;
  std::vector<Finding> shown(const text::Diagnostics& diagnostics, const Document& document) const;
  Finding shown(const text::Diagnostic& diagnostic, const Document& document) const;

  struct BookSeen {
    std::filesystem::path folder;
    std::filesystem::path protocols;  ///< the folder that its site names; "" for none
  };
  const std::vector<BookSeen>& books_below_roots() const;
  std::filesystem::path protocols_of(const std::filesystem::path& book) const;

  std::map<std::filesystem::path, SharedDocument> open_;
  std::vector<std::filesystem::path> roots_;
  mutable std::optional<std::vector<BookSeen>> seen_books_;
  std::uint64_t changes_ = 0;  ///< of anything: what is kept of a book is as old as its number
  mutable std::map<std::filesystem::path, OnDisk> on_disk_;
  mutable std::map<std::filesystem::path, Listed> listed_;
  mutable std::map<std::filesystem::path, KeptBook> books_;
  mutable std::map<std::filesystem::path, std::shared_ptr<const Library>> libraries_;
  mutable std::map<std::filesystem::path, std::shared_ptr<const Library>> rules_;
};

}  // namespace budwood::editor
