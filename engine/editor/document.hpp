#pragma once

#include <cstdint>
#include <filesystem>
#include <memory>
#include <optional>
#include <string>

#include "editor/positions.hpp"
#include "language/editing/written.hpp"
#include "text/text.hpp"

namespace budwood::editor {

/// Another text for a stretch of a document; all of it where no range is told.
struct Change {
  std::optional<Range> range;
  std::string text;
};

/// What a file is for Budwood, by its name.
enum class FileKind : std::uint8_t { protocol, site, batches, other };
FileKind kind_of(const std::filesystem::path& path);

/// A text with what is known of it. Never changes, so that it can be handed on while the next one
/// is being typed.
class Document {
 public:
  Document(std::filesystem::path path, std::string text, std::int64_t version);

  const std::filesystem::path& path() const { return path_; }
  std::int64_t version() const { return version_; }
  FileKind kind() const { return kind_; }
  const text::Source& source() const { return source_; }
  std::string_view text() const { return source_.text(); }
  const Lines& lines() const { return lines_; }
  /// What stands in a protocol file, worked out when it is first asked for.
  const language::Written& written() const;

  Range range(const text::Span& span) const { return lines_.range(span.begin, span.end); }
  std::uint32_t offset(Position position) const {
    return static_cast<std::uint32_t>(lines_.offset(position));
  }

 private:
  std::filesystem::path path_;
  std::int64_t version_;
  FileKind kind_;
  text::Source source_;
  Lines lines_;
  mutable std::unique_ptr<language::Written> written_;
};

/// The text of a document with changes, each in the places that the ones before it have made.
std::string changed(const Document& document, const std::vector<Change>& changes);

}  // namespace budwood::editor
