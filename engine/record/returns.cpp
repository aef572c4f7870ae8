#include "record/returns.hpp"

#include <algorithm>

#include "calendar/calendar.hpp"
#include "language/parse/entry_reader.hpp"
#include "record/cell_values.hpp"
#include "record/entry.hpp"

namespace budwood::record {

namespace {

constexpr std::size_t no_column = static_cast<std::size_t>(-1);

std::string trimmed(std::string_view text) {
  const auto is_space = [](char c) { return c == ' ' || c == '\t' || c == '\r' || c == '\n'; };
  while (!text.empty() && is_space(text.front())) text.remove_prefix(1);
  while (!text.empty() && is_space(text.back())) text.remove_suffix(1);
  return std::string(text);
}

std::string lower(std::string text) {
  for (char& c : text) {
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  }
  return text;
}

/// What a line is made of must not end it.
std::string on_one_line(std::string text) {
  for (char& c : text) {
    if (static_cast<unsigned char>(c) < 0x20) c = ' ';
  }
  return text;
}

bool is_left_out(const std::string& when) {
  return lower(when) == "left out";
}

/// The first of a letter outside of text in quotes, from a place on; npos when there is none.
std::size_t outside_quotes(const std::string& text, char letter, std::size_t from) {
  bool quoted = false;
  for (std::size_t i = from; i < text.size(); ++i) {
    if (quoted && text[i] == '\\') {
      ++i;
    } else if (text[i] == '"') {
      quoted = !quoted;
    } else if (!quoted && text[i] == letter) {
      return i;
    }
  }
  return std::string::npos;
}

/// What stands between `;`, without what is empty.
std::vector<std::string> parts_of(const std::string& text) {
  std::vector<std::string> out;
  for (std::size_t begin = 0; begin <= text.size();) {
    const std::size_t end = std::min(outside_quotes(text, ';', begin), text.size());
    std::string one = trimmed(text.substr(begin, end - begin));
    if (!one.empty()) out.push_back(std::move(one));
    begin = end + 1;
  }
  return out;
}

}  // namespace

std::string cell_name(std::size_t row, std::size_t column) {
  std::string letters;
  for (std::size_t left = column + 1; left > 0; left = (left - 1) / 26) {
    letters.insert(letters.begin(), static_cast<char>('A' + (left - 1) % 26));
  }
  return letters + std::to_string(row + 1);
}

text::Span Returns::CellText::add(std::size_t row, std::size_t column, const std::string& text) {
  pieces_.push_back({text_.size(), row, column == no_column ? 0 : column});
  text_ += text;
  return {nullptr, static_cast<std::uint32_t>(pieces_.back().begin),
          static_cast<std::uint32_t>(text_.size())};
}

const text::Source& Returns::CellText::keep(text::Sources& sources, const std::string& name) {
  source_ = &sources.add(name, text_);
  return *source_;
}

const Returns::CellText::Piece& Returns::CellText::piece_at(std::size_t place) const {
  auto after = std::upper_bound(pieces_.begin(), pieces_.end(), place,
                                [](std::size_t at, const Piece& one) { return at < one.begin; });
  if (after != pieces_.begin()) --after;
  return *after;
}

Returns::Returns(const ReturnTable& table, text::Sources& sources)
    : table_(table), sources_(sources) {}

std::size_t Returns::column_of(ReturnColumn column) const {
  return columns_.at(static_cast<std::size_t>(column));
}

const Cell* Returns::cell(std::size_t row, ReturnColumn column) const {
  const std::size_t place = column_of(column);
  const std::vector<Cell>& cells = table_.rows[row];
  if (place == no_column || place >= cells.size()) return nullptr;
  return trimmed(cells[place].text).empty() ? nullptr : &cells[place];
}

text::Diagnostic Returns::at(std::size_t row, std::size_t column, text::Diagnostic d) const {
  const std::vector<Cell>& cells = table_.rows[row];
  const std::size_t number = table_.numbers[row];
  const std::string head = trimmed(table_.rows.front()[column].text);
  d.message = "Row " + std::to_string(number) + ", column `" + head + "` (" +
              cell_name(number - 1, column) + "): " + d.message;
  d.span = column < cells.size() ? cells[column].span : text::Span{};
  return d;
}

void Returns::wrong(const std::string& code, std::size_t row, ReturnColumn column,
                    const std::string& message, const std::string& advice) {
  text::Diagnostic d;
  d.code = code;
  d.message = message;
  d.advice = advice;
  of_cells_.add(at(row, column_of(column), std::move(d)));
}

bool Returns::find_columns() {
  columns_.fill(no_column);
  if (table_.rows.empty()) {
    of_cells_.error("missing-column", {}, "`" + table_.name + "` has no rows.", "");
    return false;
  }
  const std::vector<Cell>& heads = table_.rows.front();
  for (std::size_t i = 0; i < heads.size(); ++i) {
    for (std::size_t c = 0; c < return_columns; ++c) {
      if (columns_[c] == no_column && lower(trimmed(heads[i].text)) == lower(return_heads.at(c))) {
        columns_[c] = i;
      }
    }
  }
  bool all = true;
  for (const ReturnColumn needed : {ReturnColumn::order, ReturnColumn::done_on}) {
    const std::size_t c = static_cast<std::size_t>(needed);
    if (columns_[c] != no_column) continue;
    all = false;
    of_cells_.error("missing-column", heads.empty() ? text::Span{} : heads.front().span,
                    "`" + table_.name + "` has no column `" + return_heads.at(c) + "`.",
                    "`budwood plan BOOK --returns --format xlsx` writes a sheet to fill in.");
  }
  return all;
}

/// What a cell says, on one line, with its place.
language::syntax::Text Returns::text_of(std::size_t row, ReturnColumn column) {
  const std::string text = on_one_line(trimmed(cell(row, column)->text));
  return {text, cells_.add(row, column_of(column), text)};
}

/// Whether a row that was filled in says what it must, and nothing that does not go together.
bool Returns::is_sound(std::size_t row) {
  if (cell(row, ReturnColumn::order) == nullptr) {
    wrong("no-order", row, ReturnColumn::order, "This row was filled in, but names no order.",
          "Copy the order from the plan, such as `BM27-1/grafting/2/1`.");
    return false;
  }
  const Cell* day = cell(row, ReturnColumn::done_on);
  if (day == nullptr) {
    wrong("no-day", row, ReturnColumn::done_on,
          "This row was filled in, but does not say on which day the work was done.",
          "Write the day like 2027-04-08, or `left out`.");
    return false;
  }
  const std::string when = on_one_line(trimmed(day->text));
  if (is_left_out(when)) return is_sound_left_out(row);
  if (calendar::parse_iso_date(when)) return true;
  wrong("no-such-date", row, ReturnColumn::done_on, "`" + text::shortened(when) + "` is no day.",
        "Write the day like 2027-04-08.");
  return false;
}

bool Returns::is_sound_left_out(std::size_t row) {
  bool sound = true;
  for (const ReturnColumn column : {ReturnColumn::plants, ReturnColumn::seen}) {
    if (cell(row, column) == nullptr) continue;
    wrong("does-not-go", row, column, "The work was left out, so this does not go with it.",
          "Take it out, or write the day in `Done on`.");
    sound = false;
  }
  if (cell(row, ReturnColumn::note) == nullptr) {
    const bool there = column_of(ReturnColumn::note) != no_column;
    wrong("no-words", row, there ? ReturnColumn::note : ReturnColumn::done_on,
          "The work was left out, and nobody says why.", "Write why in the column `Note`.");
    sound = false;
  }
  return sound;
}

void Returns::add_row(std::size_t row) {
  bool filled = false;
  for (std::size_t c = 1; c < return_columns; ++c) {
    filled = filled || cell(row, static_cast<ReturnColumn>(c)) != nullptr;
  }
  if (!filled || !is_sound(row)) return;
  Line line;
  line.place = text_of(row, ReturnColumn::order);
  line.span = line.place.span;
  const language::syntax::Text when = text_of(row, ReturnColumn::done_on);
  const bool left_out = is_left_out(when.value);
  line.kind = left_out ? What::left_out : What::done;
  line.kind_span = when.span;
  if (!left_out) line.day = when;
  if (cell(row, ReturnColumn::by) != nullptr) line.by = text_of(row, ReturnColumn::by);
  if (cell(row, ReturnColumn::note) != nullptr) line.words = text_of(row, ReturnColumn::note);
  add_numbers(row, line);
  if (!left_out) add_sights(row, line);
  lines_.push_back(std::move(line));
  rows_.push_back(row);
}

void Returns::add_numbers(std::size_t row, Line& line) {
  if (cell(row, ReturnColumn::plants) != nullptr) {
    const language::syntax::Text plants = text_of(row, ReturnColumn::plants);
    line.number = read_plants(plants);
    if (!line.number) {
      wrong("bad-cell", row, ReturnColumn::plants,
            "`" + text::shortened(plants.value) + "` is no number of plants.",
            "Write it like `291`, or `281 of 300`.");
    }
  }
  if (cell(row, ReturnColumn::hours) != nullptr) {
    const language::syntax::Text hours = text_of(row, ReturnColumn::hours);
    line.time = read_time(hours);
    if (!line.time) {
      wrong("bad-cell", row, ReturnColumn::hours,
            "`" + text::shortened(hours.value) + "` is no time.",
            "Write hours like `6.5`, `6:10` or `6 h 10 min`.");
    }
  }
}

/// "callus 70 %; 61 of 80": a line each.
void Returns::add_sights(std::size_t row, const Line& work) {
  const Cell* seen = cell(row, ReturnColumn::seen);
  if (seen == nullptr) return;
  const std::string& order = work.place.value;
  const std::size_t slash = order.find('/');
  const std::string stage = order.substr(0, std::min(order.find('/', slash + 1), order.size()));
  for (const std::string& one : parts_of(on_one_line(seen->text))) {
    if (outside_quotes(one, '#', 0) != std::string::npos) {
      wrong("bad-cell", row, ReturnColumn::seen, "`#` does not fit here.",
            "Write remarks in the column `Note`.");
      continue;
    }
    const bool count = one.front() >= '0' && one.front() <= '9';
    const bool has_word = one.starts_with("not seen ") || one.starts_with("seen ") ||
                          one.starts_with("lost ") || one.starts_with("counted ");
    sights_.add(row, column_of(ReturnColumn::order), stage);
    sights_.add(row, column_of(ReturnColumn::seen),
                (has_word ? " "
                 : count  ? " counted "
                          : " seen ") +
                    one);
    sights_.end_line();
  }
}

/// The lines of what was seen; day and person are those of the row where they do not say them.
std::vector<Returns::Line> Returns::read_sights(text::Diagnostics& found) {
  std::vector<Line> out = language::read_entries(sights_.keep(sources_, table_.name), found);
  for (Line& line : out) {
    const auto row = std::lower_bound(rows_.begin(), rows_.end(), row_of_sight(line));
    const Line& work = lines_[static_cast<std::size_t>(row - rows_.begin())];
    if (!line.day) line.day = work.day;
    if (!line.by) line.by = work.by;
  }
  return out;
}

std::size_t Returns::row_of_sight(const Line& line) const {
  return sights_.piece_at(line.span.begin).row;
}

std::vector<language::syntax::EntryLine> Returns::lines(text::Diagnostics& found) {
  if (!find_columns()) return {};
  for (std::size_t row = 1; row < table_.rows.size(); ++row) add_row(row);
  const text::Source& source = cells_.keep(sources_, table_.name);
  for (Line& line : lines_) {
    for (text::Span* span : {&line.place.span, &line.span, &line.kind_span}) span->source = &source;
    for (auto* text : {&line.day, &line.by, &line.words}) {
      if (*text) (*text)->span.source = &source;
    }
    for (auto* number : {&line.number, &line.time}) {
      if (*number) (*number)->span.source = &source;
    }
  }
  // As the rows stand: the work, and what was seen at it.
  std::vector<Line> sights = read_sights(found);
  std::vector<Line> out;
  auto next = sights.begin();
  for (std::size_t i = 0; i < lines_.size(); ++i) {
    out.push_back(lines_[i]);
    while (next != sights.end() && row_of_sight(*next) == rows_[i]) out.push_back(*next++);
  }
  return out;
}

void Returns::tell(const text::Diagnostics& found, text::Diagnostics& diagnostics) const {
  for (const text::Diagnostic& d : of_cells_.sorted()) diagnostics.add(d);
  for (text::Diagnostic d : found.sorted()) {
    const CellText* from = nullptr;
    for (const CellText* one : {&cells_, &sights_}) {
      if (d.span.source != nullptr && d.span.source == one->source()) from = one;
    }
    if (from == nullptr) {
      diagnostics.add(std::move(d));
      continue;
    }
    const CellText::Piece& piece = from->piece_at(d.span.begin);
    d.related.clear();
    diagnostics.add(at(piece.row, piece.column, std::move(d)));
  }
}

}  // namespace budwood::record
