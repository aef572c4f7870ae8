#include "office/workbooks/grid.hpp"

#include <xlsxwriter.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>

#include "files/signals.hpp"
#include "office/calendar/plain_text.hpp"

namespace budwood::office {

namespace {

/// Two rows are for the totals.
constexpr std::uint32_t last_row = LXW_ROW_MAX - 3;

/// Spreadsheets count days from 30 December 1899, Budwood from 1 January 1970.
constexpr double days_to_1970 = 25569;

/// Without the noise of binary fractions.
double tidy(double value) {
  constexpr int digits = 12;
  return std::strtod(units::format_number(value, digits).c_str(), nullptr);
}

std::string number_format(Show show, double value) {
  switch (show) {
    case Show::date:
      return "yyyy-mm-dd";
    case Show::money:
    case Show::hours:
      return "#,##0.00";
    case Show::share:
      return "0.0%";
    case Show::number:
      if (value == std::trunc(value)) return "#,##0";
      return std::abs(value) < 1 ? "0.00##" : "#,##0.00##";
    case Show::filled_in:
      return "@";
    case Show::text:
    case Show::prose:
      break;
  }
  return "General";
}

/// The sign behind a value: literal text of its number format.
std::string with_sign(std::string format, const std::string& sign) {
  if (sign.empty()) return format;
  return format + "\" " + sign + "\"";
}

bool same(double a, double b) {
  return std::abs(a - b) <= sheet::slack(a, b);
}

}  // namespace

Grid::Grid(WorkbookFile& file, const std::string& name, std::vector<Column> columns, int kept)
    : file_(file),
      name_(file.free_name(name)),
      columns_(std::move(columns)),
      sums_(columns_.size(), 0) {
  if (!file_.ok()) return;
  if (columns_.size() > LXW_COL_MAX) {
    file_.fail("The sheet `" + name_ + "` would have " + std::to_string(columns_.size()) +
               " columns; a spreadsheet holds " + std::to_string(LXW_COL_MAX) +
               ". Choose a part of the book.");
    return;
  }
  const files::HeldSignals
      held;  // the library opens a file of its own, and then takes its name away
  sheet_ = workbook_add_worksheet(file_.book_, name_.c_str());
  if (sheet_ == nullptr) {
    file_.fail("The sheet `" + name_ + "` could not be made.");
    return;
  }
  for (std::size_t i = 0; i < columns_.size(); ++i) {
    const auto column = static_cast<lxw_col_t>(i);
    worksheet_set_column(sheet_, column, column, columns_[i].width, nullptr);
    const std::string head = cell_text(columns_[i].head);
    wrote(worksheet_write_string(sheet_, 0, column, head.c_str(), file_.head_format()),
          head.size());
  }
  worksheet_freeze_panes(sheet_, 1, static_cast<lxw_col_t>(kept));
  worksheet_set_landscape(sheet_);
  worksheet_fit_to_pages(sheet_, 1, 0);
  worksheet_repeat_rows(sheet_, 0, 0);
  worksheet_set_header(sheet_,
                       ("&L" + header_text(file_.site_) + "&R" + header_text(name_)).c_str());
  worksheet_set_footer(sheet_, "&CPage &P of &N");
  row_ = 1;
}

std::string Grid::cell(std::size_t column, std::uint32_t row) const {
  char name[LXW_MAX_CELL_NAME_LENGTH];
  lxw_rowcol_to_cell(name, row, static_cast<lxw_col_t>(column));
  return name;
}

void Grid::step() {
  ++column_;
  show_.reset();
  sign_.clear();
}

/// Keeps account of a cell, so that one that is lost on the way to the file is missed.
void Grid::wrote(int error, std::size_t text) {
  if (error != LXW_NO_ERROR) {
    file_.fail("A cell of the sheet `" + name_ +
               "` could not be written: " + lxw_strerror(static_cast<lxw_error>(error)) + ".");
    return;
  }
  ++facts_.cells;
  facts_.text += text;
}

lxw_format* Grid::format(double value) {
  const Show show = show_.value_or(columns_[column_].show);
  return file_.format(with_sign(number_format(show, value), sign_), show == Show::prose);
}

Grid& Grid::text(std::string_view text) {
  if (!file_.ok()) return *this;
  if (!text.empty()) {
    const std::string whole = cell_text(text);
    const Show show = show_.value_or(columns_[column_].show);
    lxw_format* shown =
        file_.format(sign_.empty() ? "General" : with_sign("@", sign_), show == Show::prose);
    wrote(
        worksheet_write_string(sheet_, row_, static_cast<lxw_col_t>(column_), whole.c_str(), shown),
        whole.size());
    file_.size_ += whole.size();
  }
  step();
  return *this;
}

void Grid::put(double value, lxw_format* format) {
  wrote(worksheet_write_number(sheet_, row_, static_cast<lxw_col_t>(column_), value, format));
  sums_[column_] += value;
}

Grid& Grid::number(double value) {
  if (!file_.ok()) return *this;
  if (std::isfinite(value)) put(tidy(value), format(tidy(value)));
  step();
  return *this;
}

Grid& Grid::number(const std::optional<double>& value) {
  return value ? number(*value) : blank();
}

Grid& Grid::date(calendar::Day day) {
  return date_value(static_cast<double>(day));
}

Grid& Grid::date_value(double day) {
  if (!file_.ok()) return *this;
  if (std::isfinite(day)) put(day + days_to_1970, format(day));
  step();
  return *this;
}

Grid& Grid::blank() {
  if (file_.ok()) step();
  return *this;
}

Grid& Grid::to_fill() {
  if (!file_.ok()) return *this;
  wrote(worksheet_write_blank(sheet_, row_, static_cast<lxw_col_t>(column_),
                              file_.format(number_format(Show::filled_in, 0), false)));
  step();
  return *this;
}

Grid& Grid::formula(const std::string& text, double own, double value) {
  if (!file_.ok() || !std::isfinite(value) || !same(own, value)) return number(value);
  const double shown = tidy(value);
  wrote(worksheet_write_formula_num(sheet_, row_, static_cast<lxw_col_t>(column_),
                                    ("=" + text).c_str(), format(shown), shown));
  sums_[column_] += shown;
  step();
  return *this;
}

Grid& Grid::as(Show show, std::string_view sign) {
  show_ = show;
  sign_ = sign;
  return *this;
}

void Grid::end_row() {
  if (!file_.ok()) return;
  constexpr std::uint64_t bytes_a_cell = 80;
  file_.size_ += bytes_a_cell * column_;
  column_ = 0;
  if (++row_ > last_row) {
    file_.fail("The sheet `" + name_ + "` would have more than " + std::to_string(last_row - 1) +
               " rows, the most that a spreadsheet holds. Choose a part of the book, or CSV.");
  }
}

void Grid::finish() {
  if (!file_.ok() || row_ <= 1) return;
  const std::uint32_t end = row_ - 1;
  worksheet_autofilter(sheet_, 0, 0, end, static_cast<lxw_col_t>(columns_.size() - 1));
  if (std::none_of(columns_.begin(), columns_.end(), [](const Column& c) { return c.total; })) {
    return;
  }
  ++row_;  // an empty row keeps the totals out of the filter
  text("Rows shown");
  for (std::size_t i = 1; i < columns_.size(); ++i) {
    if (!columns_[i].total) {
      blank();
      continue;
    }
    const double sum = sums_[i];
    formula("SUBTOTAL(109," + cell(i, 1) + ":" + cell(i, end) + ")", sum, sum);
  }
}

}  // namespace budwood::office
