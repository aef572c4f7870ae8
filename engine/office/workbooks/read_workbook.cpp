#include "office/workbooks/read_workbook.hpp"

#include <archive.h>
#include <archive_entry.h>
#include <expat.h>

#include <array>
#include <cmath>
#include <cstdlib>
#include <cstring>
#include <map>
#include <memory>
#include <new>
#include <type_traits>

#include "calendar/calendar.hpp"

namespace budwood::office {

namespace {

constexpr std::size_t largest_part = 256U << 20U;
constexpr std::size_t most_rows = 200'000;
constexpr std::size_t most_columns = 1000;
constexpr std::size_t most_cells = 4'000'000;

struct FreeReadArchive {
  void operator()(archive* one) const { archive_read_free(one); }
};
struct FreeReadParser {
  void operator()(XML_Parser one) const { XML_ParserFree(one); }
};

const char* attribute(const XML_Char** attributes, const char* name) {
  for (; *attributes != nullptr; attributes += 2) {
    if (std::strcmp(attributes[0], name) == 0) return attributes[1];
  }
  return nullptr;
}

/// Takes the elements of one part of a workbook as they come.
class PartReader {
 public:
  PartReader() = default;
  virtual ~PartReader() = default;
  PartReader(const PartReader&) = delete;
  PartReader& operator=(const PartReader&) = delete;

  virtual void begin(std::string_view element, const XML_Char** attributes) = 0;
  virtual void end(std::string_view element) = 0;
  virtual void text(std::string_view text) = 0;
  /// Whether it is more than anybody fills in.
  virtual bool too_large() const { return false; }
};

/// xl/sharedStrings.xml: the texts that cells name by number.
class SharedTexts : public PartReader {
 public:
  void begin(std::string_view element, const XML_Char** /*attributes*/) override {
    if (element == "si") texts.emplace_back();
    if (element == "rPh") in_reading_ = true;  // how a word is pronounced
    in_text_ = element == "t" && !in_reading_;
  }
  void end(std::string_view element) override {
    in_text_ = false;
    if (element == "rPh") in_reading_ = false;
  }
  void text(std::string_view text) override {
    if (in_text_ && !texts.empty()) texts.back() += text;
  }

  std::vector<std::string> texts;

 private:
  bool in_text_ = false, in_reading_ = false;
};

enum class Number : std::uint8_t { plain, date, time };

/// xl/styles.xml: which cells show a number as a date or a time of day.
class Styles : public PartReader {
 public:
  void begin(std::string_view element, const XML_Char** attributes) override {
    if (element == "cellXfs") in_cells_ = true;
    if (element == "numFmt") {
      const char* id = attribute(attributes, "numFmtId");
      const char* code = attribute(attributes, "formatCode");
      if (id != nullptr && code != nullptr) own_[std::atoi(id)] = kind_of(code);
    }
    if (element == "xf" && in_cells_) {
      const char* id = attribute(attributes, "numFmtId");
      cells_.push_back(id == nullptr ? 0 : std::atoi(id));
    }
  }
  void end(std::string_view element) override {
    if (element == "cellXfs") in_cells_ = false;
  }
  void text(std::string_view /*text*/) override {}

  Number of(std::size_t style) const {
    if (style >= cells_.size()) return Number::plain;
    const int id = cells_[style];
    const auto own = own_.find(id);
    if (own != own_.end()) return own->second;
    // The numbers that ECMA-376, 18.8.30 gives to usual formats.
    if ((id >= 14 && id <= 17) || id == 22) return Number::date;
    return (id >= 18 && id <= 21) || (id >= 45 && id <= 47) ? Number::time : Number::plain;
  }

 private:
  static Number kind_of(std::string_view code) {
    bool quoted = false;
    bool bracketed = false;  // [Red], [$-409]
    bool time = false;
    for (const char c : code) {
      if (c == '"') quoted = !quoted;
      if (c == '[' || c == ']') bracketed = c == '[';
      if (quoted || bracketed) continue;
      if (c == 'y' || c == 'Y' || c == 'd' || c == 'D') return Number::date;
      time = time || c == 'h' || c == 'H' || c == 's' || c == 'S';
    }
    return time && code.find(':') != std::string_view::npos ? Number::time : Number::plain;
  }

  bool in_cells_ = false;
  std::map<int, Number> own_;
  std::vector<int> cells_;
};

/// "F7" as row and column from 0; false when it is none.
bool read_address(const char* address, std::size_t& row, std::size_t& column) {
  column = 0;
  row = 0;
  const char* c = address;
  for (; *c >= 'A' && *c <= 'Z' && column < most_columns; ++c) {
    column = column * 26 + static_cast<std::size_t>(*c - 'A' + 1);
  }
  for (; *c >= '0' && *c <= '9' && row <= most_rows; ++c) {
    row = row * 10 + static_cast<std::size_t>(*c - '0');
  }
  if (*c != '\0' || row == 0 || column == 0) return false;
  --row;
  --column;
  return true;
}

/// A number as the screen shows it.
std::string shown(const std::string& digits, Number kind) {
  char* end = nullptr;
  const double value = std::strtod(digits.c_str(), &end);
  if (end == digits.c_str() || !std::isfinite(value)) return digits;
  constexpr double days_to_1970 = 25569;
  constexpr double last_day = 109'000;
  if (kind == Number::date && value >= days_to_1970 && value < last_day) {
    return calendar::iso_date(static_cast<calendar::Day>(std::floor(value) - days_to_1970));
  }
  if (kind == Number::time && value >= 0 && value < 366) {
    const long minutes = std::lround(value * 24 * 60);
    const std::string rest = std::to_string(100 + minutes % 60).substr(1);
    return std::to_string(minutes / 60) + ":" + rest;
  }
  return digits;
}

/// xl/worksheets/sheet1.xml.
class SheetCells : public PartReader {
 public:
  SheetCells(const SharedTexts& texts, const Styles& styles) : texts_(texts), styles_(styles) {}

  void begin(std::string_view element, const XML_Char** attributes) override {
    if (element == "c") {
      const char* address = attribute(attributes, "r");
      has_place_ = address != nullptr && read_address(address, row_, column_);
      const char* type = attribute(attributes, "t");
      type_ = type == nullptr ? "" : type;
      const char* style = attribute(attributes, "s");
      style_ = style == nullptr ? 0 : static_cast<std::size_t>(std::max(0, std::atoi(style)));
      value_.clear();
    }
    if (element == "rPh") in_reading_ = true;
    in_value_ = (element == "v" || element == "t") && !in_reading_;
  }
  void text(std::string_view text) override {
    if (in_value_) value_ += text;
  }
  void end(std::string_view element) override {
    in_value_ = false;
    if (element == "rPh") in_reading_ = false;
    if (element == "c" && has_place_ && !value_.empty()) keep();
  }
  bool too_large() const override { return too_large_; }

  std::vector<std::vector<std::string>> rows;

 private:
  void keep() {
    if (row_ >= most_rows || column_ >= most_columns || ++kept_ > most_cells) {
      too_large_ = true;
      return;
    }
    if (rows.size() <= row_) rows.resize(row_ + 1);
    if (rows[row_].size() <= column_) {
      kept_ += column_ - rows[row_].size();
      rows[row_].resize(column_ + 1);
    }
    rows[row_][column_] = value();
  }

  std::string value() const {
    if (type_ == "s") {
      const std::size_t place = std::strtoul(value_.c_str(), nullptr, 10);
      return place < texts_.texts.size() ? texts_.texts[place] : std::string();
    }
    const bool number = type_.empty() || type_ == "n";
    return number ? shown(value_, styles_.of(style_)) : value_;
  }

  const SharedTexts& texts_;
  const Styles& styles_;
  bool has_place_ = false, in_value_ = false, in_reading_ = false, too_large_ = false;
  std::size_t row_ = 0, column_ = 0, style_ = 0, kept_ = 0;
  std::string type_, value_;
};

using ReadParser = std::unique_ptr<std::remove_pointer_t<XML_Parser>, FreeReadParser>;

/// Reads XML to its end; false when it is cut short, no XML, or too large.
bool read_xml(const std::string& xml, PartReader& part) {
  const ReadParser parser(XML_ParserCreate(nullptr));
  if (parser == nullptr) throw std::bad_alloc();
  XML_SetUserData(parser.get(), &part);
  XML_SetElementHandler(
      parser.get(),
      [](void* data, const XML_Char* name, const XML_Char** attributes) {
        static_cast<PartReader*>(data)->begin(name, attributes);
      },
      [](void* data, const XML_Char* name) { static_cast<PartReader*>(data)->end(name); });
  XML_SetCharacterDataHandler(parser.get(), [](void* data, const XML_Char* text, int size) {
    static_cast<PartReader*>(data)->text({text, static_cast<std::size_t>(size)});
  });
  return XML_Parse(parser.get(), xml.data(), static_cast<int>(xml.size()), 1) == XML_STATUS_OK &&
         !part.too_large();
}

/// The parts of a workbook that are read, by name; "" says what is wrong.
std::string read_parts(std::string_view bytes, std::map<std::string, std::string>& parts) {
  const std::unique_ptr<archive, FreeReadArchive> reader(archive_read_new());
  if (reader == nullptr) throw std::bad_alloc();
  archive_read_support_format_zip_seekable(reader.get());
  if (archive_read_open_memory(reader.get(), bytes.data(), bytes.size()) != ARCHIVE_OK) {
    return "It is no workbook (XLSX).";
  }
  archive_entry* entry = nullptr;
  int result = ARCHIVE_OK;
  while ((result = archive_read_next_header(reader.get(), &entry)) == ARCHIVE_OK) {
    const char* name = archive_entry_pathname(entry);
    const auto part = name == nullptr ? parts.end() : parts.find(name);
    if (part == parts.end()) continue;
    std::array<char, 64U << 10U> piece{};
    part->second.clear();
    la_ssize_t got = 0;
    while ((got = archive_read_data(reader.get(), piece.data(), piece.size())) > 0) {
      part->second.append(piece.data(), static_cast<std::size_t>(got));
      if (part->second.size() > largest_part) return "It is larger than any work sheet.";
    }
    if (got < 0) return "It is not whole.";
  }
  return result == ARCHIVE_EOF ? "" : "It is not whole.";
}

}  // namespace

ReadSheet read_workbook(std::string_view bytes) {
  ReadSheet out;
  const std::string texts = "xl/sharedStrings.xml";
  const std::string styles = "xl/styles.xml";
  const std::string sheet = "xl/worksheets/sheet1.xml";
  std::map<std::string, std::string> parts = {{texts, ""}, {styles, ""}, {sheet, ""}};
  out.problem = read_parts(bytes, parts);
  if (!out.problem.empty()) return out;
  if (parts[sheet].empty()) {
    out.problem = "It is no workbook (XLSX): it has no first sheet.";
    return out;
  }
  SharedTexts shared;
  Styles formats;
  const bool read = (parts[texts].empty() || read_xml(parts[texts], shared)) &&
                    (parts[styles].empty() || read_xml(parts[styles], formats));
  SheetCells cells(shared, formats);
  if (!read || !read_xml(parts[sheet], cells)) {
    out.problem = cells.too_large() ? "It is larger than any work sheet." : "It is not whole.";
    return out;
  }
  out.rows = std::move(cells.rows);
  return out;
}

}  // namespace budwood::office
