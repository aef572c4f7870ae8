#include "language/layout/lines.hpp"

#include <algorithm>

namespace budwood::language {

namespace {

/// Columns further apart than this would tear their lines asunder.
constexpr std::size_t widest_gap = 28;

std::size_t width_of(const LaidLine& line) {
  std::size_t width = line.indent;
  for (const LaidLine::Cell& cell : line.cells) width += text::display_width(cell.text);
  return width;
}

/// Space in front of a column.
std::size_t gap_before(Column column) {
  return column == Column::details ? 2 : 1;
}

/// Where the column of a line begins; npos without that column.
std::size_t begin_of(const LaidLine& line, Column column) {
  std::size_t at = 0;
  for (const LaidLine::Cell& cell : line.cells) {
    if (at > 0) at += gap_before(cell.column);
    if (cell.column == column) return at;
    at += text::display_width(cell.text);
  }
  return std::string::npos;
}

bool near(std::size_t least, std::size_t most) {
  return most - least <= widest_gap;
}

void align_column(LaidLine* first, LaidLine* last, Column column) {
  std::size_t least = std::string::npos;
  std::size_t most = 0;
  for (const LaidLine* line = first; line != last; ++line) {
    const std::size_t begin = begin_of(*line, column);
    if (begin == std::string::npos) continue;
    least = std::min(least, begin);
    most = std::max(most, begin);
  }
  if (least == std::string::npos || !near(least, most)) return;
  for (LaidLine* line = first; line != last; ++line) {
    const std::size_t begin = begin_of(*line, column);
    if (begin == std::string::npos) continue;
    const auto cell = std::find_if(line->cells.begin(), line->cells.end(),
                                   [&](const auto& one) { return one.column == column; });
    std::prev(cell)->text += std::string(most - begin, ' ');
  }
}

void space_columns(LaidLine& line) {
  for (std::size_t i = 1; i < line.cells.size(); ++i) {
    line.cells[i].text.insert(0, gap_before(line.cells[i].column), ' ');
  }
}

/// Whether a line stands in the columns of the one above.
bool same_columns(const LaidLine& above, const LaidLine& line) {
  const bool whole = above.statement != 0 && line.statement != 0 && !line.goes_on;
  return whole && above.statement == line.statement && above.indent == line.indent &&
         !line.blank_before && !line.cells.empty() && !above.cells.empty();
}

/// Calls `work` for each run of lines of which each belongs to the one above.
template <typename Belongs, typename Work>
void for_runs(std::vector<LaidLine>& lines, const Belongs& belongs, const Work& work) {
  for (std::size_t first = 0; first < lines.size();) {
    std::size_t last = first + 1;
    while (last < lines.size() && belongs(lines[last - 1], lines[last])) ++last;
    work(lines.data() + first, lines.data() + last);
    first = last;
  }
}

void align_comments(LaidLine* first, LaidLine* last) {
  std::size_t least = std::string::npos;
  std::size_t most = 0;
  for (const LaidLine* line = first; line != last; ++line) {
    least = std::min(least, width_of(*line));
    most = std::max(most, width_of(*line));
  }
  for (LaidLine* line = first; line != last; ++line) {
    const std::size_t pad = near(least, most) ? most - width_of(*line) : 0;
    line->comment.insert(0, pad + 2, ' ');
  }
}

}  // namespace

std::string text_of(std::vector<LaidLine> lines) {
  for_runs(lines, same_columns, [](LaidLine* first, LaidLine* last) {
    for (const Column column : {Column::value, Column::range, Column::title, Column::unit,
                                Column::details, Column::meaning}) {
      align_column(first, last, column);
    }
    for (LaidLine* line = first; line != last; ++line) space_columns(*line);
  });
  const auto both_comments = [](const LaidLine& above, const LaidLine& line) {
    return !line.blank_before && !above.comment.empty() && !line.comment.empty() &&
           !above.cells.empty() && !line.cells.empty();
  };
  for_runs(lines, both_comments, [](LaidLine* first, LaidLine* last) {
    if (!first->comment.empty() && !first->cells.empty()) align_comments(first, last);
  });
  std::string out;
  for (const LaidLine& line : lines) {
    if (line.blank_before) out += '\n';
    out += std::string(line.indent, ' ');
    for (const LaidLine::Cell& cell : line.cells) out += cell.text;
    out += line.comment + '\n';
  }
  return out;
}

}  // namespace budwood::language
