#pragma once

#include <archive.h>
#include <archive_entry.h>
#include <doctest/doctest.h>

#include <array>
#include <string>
#include <vector>

/// What is inside a workbook.
namespace budwood::office::test {

struct Part {
  std::string name;
  std::string content;
};

inline std::vector<Part> parts_of(const std::string& bytes) {
  std::vector<Part> out;
  archive* reader = archive_read_new();
  archive_read_support_format_zip_seekable(reader);
  REQUIRE(archive_read_open_memory(reader, bytes.data(), bytes.size()) == ARCHIVE_OK);
  archive_entry* entry = nullptr;
  while (archive_read_next_header(reader, &entry) == ARCHIVE_OK) {
    out.push_back({archive_entry_pathname(entry), {}});
    std::array<char, 4096> piece;
    for (la_ssize_t got; (got = archive_read_data(reader, piece.data(), piece.size())) > 0;) {
      out.back().content.append(piece.data(), static_cast<std::size_t>(got));
    }
  }
  archive_read_free(reader);
  return out;
}

/// What a cell of the first, second, ... sheet shows as it is opened: "" of an empty one.
inline std::string shown_in(const std::string& bytes, int sheet, const std::string& cell) {
  const std::string name = "xl/worksheets/sheet" + std::to_string(sheet) + ".xml";
  for (const Part& part : parts_of(bytes)) {
    if (part.name != name) continue;
    const std::size_t begin = part.content.find("<c r=\"" + cell + "\"");
    if (begin == std::string::npos) return "";
    const std::string whole = part.content.substr(begin, part.content.find("</c>", begin) - begin);
    for (const std::string tag : {"<v>", "<t>"}) {
      const std::size_t value = whole.find(tag);
      if (value == std::string::npos) continue;
      const std::size_t from = value + tag.size();
      return whole.substr(from, whole.find("</", from) - from);
    }
  }
  return "";
}

}  // namespace budwood::office::test
