/// Sheets of a workbook, row by row. Private to this module.
///
/// A formula stands only where it gives the value of the plan: it is held against what its
/// arithmetic comes to, and where the two differ (surplus is thrown out, a count was recorded)
/// the value stands alone.
#pragma once

#include <cstdint>
#include <deque>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "calendar/calendar.hpp"
#include "files/temporary_file.hpp"
#include "office/workbooks/whole.hpp"
#include "office/workbooks/workbook.hpp"

struct lxw_format;
struct lxw_workbook;
struct lxw_worksheet;

namespace budwood::office {

/// How a column shows what stands in it.
enum class Show : std::uint8_t {
  text,
  prose,  ///< text that goes over several lines
  date,
  number,  ///< whole, or with as many places as it needs
  money,
  hours,
  share,      ///< of 1, as a percentage
  filled_in,  ///< by people, as they type it: a spreadsheet makes no dates and no fractions of it
};

struct Column {
  std::string head;  ///< with the unit
  Show show = Show::text;
  double width = 10;   ///< in characters
  bool total = false;  ///< added up below
};

class WorkbookFile;

/// One sheet. Its rows are written from top to bottom, each from left to right, and are gone from
/// memory then: a season has hundreds of thousands.
class Grid {
 public:
  /// `kept` columns stay in view on the left.
  Grid(WorkbookFile& file, const std::string& name, std::vector<Column> columns, int kept);

  Grid& text(std::string_view text);
  Grid& date(calendar::Day day);
  /// Nothing for a value that is no number.
  Grid& date_value(double day);
  Grid& number(double value);
  Grid& number(const std::optional<double>& value);
  Grid& blank();
  /// An empty cell for people to write in.
  Grid& to_fill();
  /// A formula, with the value that it has. `own` is what its arithmetic gives; where that is not
  /// the value that the plan has, the value stands alone.
  Grid& formula(const std::string& text, double own, double value);
  /// What the next cell shows, where it is not what its column does. `sign` stands behind it.
  Grid& as(Show show, std::string_view sign = "");

  /// "E7": a column of this row, or of an earlier one.
  std::string cell(std::size_t column) const { return cell(column, row_); }
  std::string cell(std::size_t column, std::uint32_t row) const;
  std::uint32_t row() const { return row_; }
  void end_row();
  /// Totals of what a filter leaves, filter, panes, and how it is printed.
  void finish();

 private:
  friend class WorkbookFile;
  lxw_format* format(double value);
  void put(double value, lxw_format* format);
  void wrote(int error, std::size_t text = 0);
  void step();

  WorkbookFile& file_;
  lxw_worksheet* sheet_ = nullptr;
  std::string name_;
  std::vector<Column> columns_;
  std::vector<double> sums_;
  SheetFacts facts_;
  std::uint32_t row_ = 0;
  std::size_t column_ = 0;
  std::optional<Show> show_;
  std::string sign_;
};

/// A workbook in the making.
class WorkbookFile {
 public:
  explicit WorkbookFile(const plan::Plan& plan);
  ~WorkbookFile();
  WorkbookFile(const WorkbookFile&) = delete;
  WorkbookFile& operator=(const WorkbookFile&) = delete;

  Grid& add(const std::string& name, std::vector<Column> columns, int kept = 0);
  bool ok() const { return problem_.empty(); }
  /// The file; nothing may be written afterwards.
  Workbook finish(std::size_t found);

 private:
  friend class Grid;
  void fail(const std::string& problem);
  lxw_format* format(const std::string& number_format, bool wraps);
  lxw_format* head_format();
  std::string free_name(const std::string& name);
  /// Whether the temporary folder has room for what is still to be put together.
  void check_room();
  /// The bytes of the file that was put together, when they hold all that they should.
  std::string read_back();

  std::string site_;
  std::string folder_;                          ///< for temporary files
  std::unique_ptr<files::TemporaryFile> file_;  ///< in which it is put together
  lxw_workbook* book_ = nullptr;
  std::deque<Grid> grids_;
  std::map<std::pair<std::string, bool>, lxw_format*> formats_;
  lxw_format* head_format_ = nullptr;
  std::vector<std::string> names_;
  std::string problem_;
  std::uint64_t size_ = 0;  ///< of all cells as XML, roughly and rather too large; bytes
};

}  // namespace budwood::office
