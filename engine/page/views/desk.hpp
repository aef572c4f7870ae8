#pragma once

#include <filesystem>
#include <memory>
#include <mutex>
#include <string>

#include "editor/workspace.hpp"
#include "page/open/snapshot.hpp"
#include "page/views/json.hpp"

namespace budwood::page {

/// Where somebody types a method in the browser: what the engine says of the text, what would mend
/// it and what may stand at a place. The same as an editor is told by the language server, of the
/// file as it is typed and of all others as they lie on the disk. Places are lines and UTF-16 code
/// units from 1, as `place` of a diagnostic has them.
class Desk {
 public:
  explicit Desk(std::filesystem::path book) : book_(std::move(book)) {}

  /// {"said": [diagnostic with "mends"], "fine": no error}. A mend is {"title", "edits": [{place,
  /// "text"}]}; those that would change other files are for editors.
  Json check(const Snapshot& now, const std::string& file, const std::string& text);
  /// {"choices": [{"label", "detail", "insert", place}]}, the likeliest first.
  Json complete(const Snapshot& now, const std::string& file, const std::string& text,
                editor::Position position);
  /// {"text"}: what the thing at a place means, as `point_at` says it, "" when there is nothing to
  /// say.
  Json point(const Snapshot& now, const std::string& file, const std::string& text,
             editor::Position position);
  /// {"text"}: laid out as usual; {"said"} why it cannot be.
  Json tidy(const std::string& file, const std::string& text) const;

 private:
  /// The text as the file of the book; nullptr when the book has no such file.
  editor::SharedDocument typed(const Snapshot& now, const std::string& file,
                               const std::string& text);

  std::filesystem::path book_;
  std::mutex mutex_;
  std::unique_ptr<editor::Workspace> workspace_;
  std::uint64_t turn_ = 0;  ///< of the book as the workspace knows it
};

}  // namespace budwood::page
