#include "office/workbooks/whole.hpp"

#include <archive.h>
#include <archive_entry.h>
#include <expat.h>

#include <array>
#include <map>
#include <memory>
#include <new>
#include <type_traits>

namespace budwood::office {

namespace {

struct FreeArchive {
  void operator()(archive* one) const { archive_read_free(one); }
};
struct FreeParser {
  void operator()(XML_Parser one) const { XML_ParserFree(one); }
};
using Parser = std::unique_ptr<std::remove_pointer_t<XML_Parser>, FreeParser>;

/// One part of the workbook while it is read.
struct Part {
  SheetFacts facts;
  bool in_text = false;
};

void begin_element(void* data, const XML_Char* name, const XML_Char** /*attributes*/) {
  Part& part = *static_cast<Part*>(data);
  const std::string_view element = name;
  if (element == "c") ++part.facts.cells;
  part.in_text = element == "t";
}

void end_element(void* data, const XML_Char* /*name*/) {
  static_cast<Part*>(data)->in_text = false;
}

void characters(void* data, const XML_Char* /*text*/, int size) {
  Part& part = *static_cast<Part*>(data);
  if (part.in_text) part.facts.text += static_cast<std::size_t>(size);
}

/// Reads one part to its end; false when it is cut short or no XML.
bool read_part(archive* from, Part& part) {
  const Parser parser(XML_ParserCreate("UTF-8"));
  if (parser == nullptr) throw std::bad_alloc();
  XML_SetUserData(parser.get(), &part);
  XML_SetElementHandler(parser.get(), begin_element, end_element);
  XML_SetCharacterDataHandler(parser.get(), characters);
  std::array<char, 64U << 10U> piece;
  while (true) {
    const la_ssize_t got = archive_read_data(from, piece.data(), piece.size());
    if (got < 0) return false;
    const int last = got == 0 ? 1 : 0;
    if (XML_Parse(parser.get(), piece.data(), static_cast<int>(got), last) != XML_STATUS_OK) {
      return false;
    }
    if (last == 1) return true;
  }
}

}  // namespace

std::string missing_in(std::string_view workbook, const std::vector<SheetFacts>& sheets) {
  const std::unique_ptr<archive, FreeArchive> reader(archive_read_new());
  if (reader == nullptr) throw std::bad_alloc();
  archive_read_support_format_zip_seekable(reader.get());
  if (archive_read_open_memory(reader.get(), workbook.data(), workbook.size()) != ARCHIVE_OK) {
    return "it is no whole archive";
  }
  std::map<std::string, SheetFacts> found;
  archive_entry* entry = nullptr;
  int result = ARCHIVE_OK;
  while ((result = archive_read_next_header(reader.get(), &entry)) == ARCHIVE_OK) {
    const std::string name = archive_entry_pathname(entry);
    Part part;
    if (!read_part(reader.get(), part)) return "`" + name + "` in it is not whole";
    found[name] = part.facts;
  }
  if (result != ARCHIVE_EOF) return "it is no whole archive";
  for (std::size_t i = 0; i < sheets.size(); ++i) {
    const auto sheet = found.find("xl/worksheets/sheet" + std::to_string(i + 1) + ".xml");
    if (sheet == found.end() || sheet->second.cells != sheets[i].cells ||
        sheet->second.text != sheets[i].text) {
      return "cells of sheet " + std::to_string(i + 1) + " are missing";
    }
  }
  return "";
}

}  // namespace budwood::office
