#include <fcntl.h>
#include <unistd.h>
#include <xlsxwriter.h>

#include <algorithm>
#include <cerrno>
#include <filesystem>
#include <system_error>

#include "files/read.hpp"
#include "files/signals.hpp"
#include "office/calendar/plain_text.hpp"
#include "office/workbooks/grid.hpp"

namespace budwood::office {

namespace fs = std::filesystem;

namespace {

/// A workbook says when it was made. There is no clock, so that the same plan gives the same
/// bytes: it is always the first moment of 2020.
constexpr std::time_t made_at = 1577836800;

std::string lower(std::string text) {
  for (char& c : text) {
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  }
  return text;
}

}  // namespace

WorkbookFile::WorkbookFile(const plan::Plan& plan) : site_(plan.book->site.name.value) {
  std::error_code failure;
  folder_ = fs::temp_directory_path(failure).string();
  constexpr mode_t only_owner = 0600;
  if (!failure) {
    file_ = std::make_unique<files::TemporaryFile>(folder_, only_owner);
    failure.assign(file_->error(), std::generic_category());
  }
  if (failure) {
    fail("There is no temporary file to put the spreadsheet together in: " + failure.message() +
         ".");
    return;
  }
  lxw_workbook_options options{};
  options.constant_memory = LXW_TRUE;
  options.tmpdir = folder_.data();
  book_ = workbook_new_opt(file_->path().c_str(), &options);
  if (book_ == nullptr) {
    fail("The spreadsheet could not be begun: no memory.");
    return;
  }
  lxw_doc_properties properties{};
  std::string title = header_text(site_);
  properties.title = title.data();
  properties.created = made_at;
  workbook_set_properties(book_, &properties);
}

WorkbookFile::~WorkbookFile() {
  if (book_ != nullptr) lxw_workbook_free(book_);
}

void WorkbookFile::fail(const std::string& problem) {
  if (ok()) problem_ = problem;
}

Grid& WorkbookFile::add(const std::string& name, std::vector<Column> columns, int kept) {
  return grids_.emplace_back(*this, name, std::move(columns), kept);
}

std::string WorkbookFile::free_name(const std::string& name) {
  const auto taken = [&](const std::string& one) {
    return std::find(names_.begin(), names_.end(), lower(one)) != names_.end();
  };
  std::string out = sheet_name(name);
  constexpr std::size_t room_for_number = 22;
  for (int i = 2; taken(out); ++i) {
    const std::size_t end = text::fitting_bytes(out, room_for_number);
    out = sheet_name(out.substr(0, end) + " " + std::to_string(i));
  }
  names_.push_back(lower(out));
  return out;
}

lxw_format* WorkbookFile::format(const std::string& number_format, bool wraps) {
  lxw_format*& out = formats_[{number_format, wraps}];
  if (out == nullptr) {
    out = workbook_add_format(book_);
    format_set_num_format(out, number_format.c_str());
    format_set_align(out, LXW_ALIGN_VERTICAL_TOP);
    if (wraps) format_set_text_wrap(out);
  }
  return out;
}

lxw_format* WorkbookFile::head_format() {
  if (head_format_ == nullptr) {
    head_format_ = workbook_add_format(book_);
    format_set_bold(head_format_);
    format_set_text_wrap(head_format_);
    format_set_align(head_format_, LXW_ALIGN_VERTICAL_TOP);
    format_set_bottom(head_format_, LXW_BORDER_THIN);
  }
  return head_format_;
}

/// There has to be room for the copy of each sheet that the library makes, and for the file.
void WorkbookFile::check_room() {
  constexpr std::uint64_t at_least = 1U << 16U;
  int error = posix_fallocate(file_->descriptor(), 0, static_cast<off_t>(at_least + 2 * size_));
  if (error == 0 && ::ftruncate(file_->descriptor(), 0) != 0) error = errno;
  if (error == 0) return;
  fail("The spreadsheet could not be put together in `" + folder_ + "`: " + files::reason(error) +
       ".");
}

std::string WorkbookFile::read_back() {
  constexpr std::size_t largest = 1U << 31U;
  files::Bytes read = files::read_bytes(file_->path(), largest);
  if (!read.ok()) {
    fail("The spreadsheet could not be read back.");
    return {};
  }
  std::vector<SheetFacts> sheets;
  for (const Grid& grid : grids_) sheets.push_back(grid.facts_);
  if (const std::string why = missing_in(read.bytes, sheets); !why.empty()) {
    fail("The spreadsheet could not be put together in `" + folder_ + "`: " + why +
         ". See that there is room, and that files may be written there.");
    return {};
  }
  return std::move(read.bytes);
}

Workbook WorkbookFile::finish(std::size_t found) {
  for (Grid& grid : grids_) grid.finish();
  if (ok()) check_room();
  Workbook out;
  if (ok()) {
    const files::HeldSignals held;  // the library has a file of its own for each part
    const lxw_error error = workbook_close(book_);
    book_ = nullptr;
    if (error != LXW_NO_ERROR) {
      fail(std::string("The spreadsheet could not be put together: ") + lxw_strerror(error));
    }
  }
  if (ok()) out.bytes = read_back();
  if (!ok()) out.bytes.clear();
  out.problem = problem_;
  out.found = found;
  return out;
}

}  // namespace budwood::office
