#include "editor/document.hpp"

#include <algorithm>

namespace budwood::editor {

FileKind kind_of(const std::filesystem::path& path) {
  if (path.extension() == ".bud") return FileKind::protocol;
  if (path.filename() == "site.yaml") return FileKind::site;
  return path.filename() == "batches.yaml" ? FileKind::batches : FileKind::other;
}

Document::Document(std::filesystem::path path, std::string text, std::int64_t version)
    : path_(std::move(path)),
      version_(version),
      kind_(kind_of(path_)),
      source_(path_.generic_string(), std::move(text)),
      lines_(source_.text()) {}

const language::Written& Document::written() const {
  if (written_ == nullptr) {
    written_ = std::make_unique<language::Written>(
        kind_ == FileKind::protocol ? language::look_at(source_) : language::Written{});
  }
  return *written_;
}

std::string changed(const Document& document, const std::vector<Change>& changes) {
  std::string text(document.text());
  for (const Change& change : changes) {
    if (!change.range) {
      text = change.text;
      continue;
    }
    const Lines lines(text);
    const std::size_t begin = lines.offset(change.range->begin);
    const std::size_t end = std::max(begin, lines.offset(change.range->end));
    text.replace(begin, end - begin, change.text);
  }
  return text;
}

}  // namespace budwood::editor
