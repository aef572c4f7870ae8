/// The values of a sheet, a column for each cell. What no batch can change has one value for
/// all rows: of a real protocol that is more than half of its cells. The others go a block of
/// 256 rows at a time through all cells, so that what is read again is still in the cache.
#pragma once

#include <cstdint>
#include <limits>
#include <span>
#include <vector>

namespace budwood::sheet {

/// A cell of a template; a column of a sheet.
using CellId = std::uint32_t;
inline constexpr CellId no_cell = 0xFFFFFFFFU;

inline constexpr double no_value = std::numeric_limits<double>::quiet_NaN();

/// A run of rows of a column; `same`: one value stands for all of them.
struct Operand {
  const double* values = nullptr;
  bool same = false;
};

/// The values of a sheet: a column of doubles for each cell. A cell that rests on nothing that a
/// batch or a site can change has one value for all rows.
class Columns {
 public:
  explicit Columns(std::size_t cells = 0) : columns_(cells) {}

  double at(CellId cell, std::size_t row) const {
    const Column& column = columns_[cell];
    return column.values[row & column.mask];
  }
  Operand from(CellId cell, std::size_t row) const {
    const Column& column = columns_[cell];
    return {column.values.data() + (row & column.mask), column.mask == 0};
  }
  /// All values of a cell; a single one when it is the same everywhere.
  std::span<const double> of(CellId cell) const { return columns_[cell].values; }
  bool is_same(CellId cell) const { return columns_[cell].mask == 0; }

  void set(CellId cell, std::size_t row, double value) { columns_[cell].values[row] = value; }
  /// Where the values of a cell begin that is not the same everywhere.
  double* begin(CellId cell) { return columns_[cell].values.data(); }
  void set_same(CellId cell, double value) {
    columns_[cell].values.assign(1, value);
    columns_[cell].mask = 0;
  }
  /// New rows have no value.
  void resize(std::size_t rows) {
    for (Column& column : columns_) {
      if (column.mask != 0) column.values.resize(rows, no_value);
    }
  }

 private:
  struct Column {
    std::vector<double> values;
    std::size_t mask = SIZE_MAX;  ///< 0: the same everywhere
  };
  std::vector<Column> columns_;
};

}  // namespace budwood::sheet
