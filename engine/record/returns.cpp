#include "record/returns.hpp"

#include <algorithm>

#include "calendar/calendar.hpp"
#include "language/parse/entry_reader.hpp"

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

std::string as_text(const std::string& words) {
  std::string out = "\"";
  for (const char c : on_one_line(words)) {
    if (c == '"' || c == '\\') out += '\\';
    out += c;
  }
  return out + "\"";
}

bool is_number(const std::string& text) {
  return !text.empty() && text.find_first_not_of("0123456789.") == std::string::npos;
}

/// "6.5" are hours, "6:10" is 6 h 10 min; anything else stands as it is.
std::string time_of(const std::string& text) {
  if (is_number(text)) return text + " h";
  const std::size_t colon = text.find(':');
  if (colon == std::string::npos || colon == 0) return text;
  const std::string hours = text.substr(0, colon);
  const std::string minutes = text.substr(colon + 1);
  const bool clock = is_number(hours) && is_number(minutes) && minutes.size() == 2;
  return clock ? hours + " h " + minutes + " min" : text;
}

}  // namespace

std::string cell_name(std::size_t row, std::size_t column) {
  std::string letters;
  for (std::size_t left = column + 1; left > 0; left = (left - 1) / 26) {
    letters.insert(letters.begin(), static_cast<char>('A' + (left - 1) % 26));
  }
  return letters + std::to_string(row + 1);
}

Returns::Returns(const ReturnTable& table, text::Sources& sources)
    : table_(table), sources_(sources) {}

const Cell* Returns::cell(std::size_t row, ReturnColumn column) const {
  const std::size_t place = columns_.at(static_cast<std::size_t>(column));
  const std::vector<Cell>& cells = table_.rows[row];
  if (place == no_column || place >= cells.size()) return nullptr;
  return trimmed(cells[place].text).empty() ? nullptr : &cells[place];
}

/// Marks that the following text of a line is from a cell.
void Returns::piece(std::size_t row, ReturnColumn column, const std::string& text) {
  const std::size_t place = columns_.at(static_cast<std::size_t>(column));
  pieces_.push_back({text_.size(), row, place == no_column ? 0 : place});
  text_ += text;
}

text::Diagnostic Returns::at(const Piece& piece, text::Diagnostic d) const {
  const std::vector<Cell>& cells = table_.rows[piece.row];
  const std::size_t row = table_.numbers[piece.row];
  const std::string head = trimmed(table_.rows.front()[piece.column].text);
  d.message = "Row " + std::to_string(row) + ", column `" + head + "` (" +
              cell_name(row - 1, piece.column) + "): " + d.message;
  d.span = piece.column < cells.size() ? cells[piece.column].span : text::Span{};
  return d;
}

void Returns::wrong(const std::string& code, std::size_t row, ReturnColumn column,
                    const std::string& message, const std::string& advice) {
  text::Diagnostic d;
  d.code = code;
  d.message = message;
  d.advice = advice;
  of_cells_.add(at({0, row, columns_.at(static_cast<std::size_t>(column))}, std::move(d)));
}

bool Returns::find_columns(text::Diagnostics& found) {
  columns_.fill(no_column);
  if (table_.rows.empty()) {
    found.error("missing-column", {}, "`" + table_.name + "` has no rows.", "");
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
    found.error("missing-column", heads.empty() ? text::Span{} : heads.front().span,
                "`" + table_.name + "` has no column `" + return_heads.at(c) + "`.",
                "`budwood plan BOOK --returns --format xlsx` writes a sheet to fill in.");
  }
  return all;
}

/// "callus 70 %; 61 of 80": a line each.
void Returns::add_sights(std::size_t row, const std::string& order) {
  const Cell* seen = cell(row, ReturnColumn::seen);
  if (seen == nullptr) return;
  const std::size_t slash = order.find('/');
  const std::string stage = order.substr(0, std::min(order.find('/', slash + 1), order.size()));
  std::string rest = on_one_line(seen->text) + ";";
  for (std::size_t end = 0; (end = rest.find(';')) != std::string::npos; rest.erase(0, end + 1)) {
    const std::string one = trimmed(rest.substr(0, end));
    if (one.empty()) continue;
    const bool count = one.front() >= '0' && one.front() <= '9';
    const bool has_word = one.starts_with("not seen ") || one.starts_with("seen ") ||
                          one.starts_with("lost ") || one.starts_with("counted ");
    piece(row, ReturnColumn::order, stage);
    piece(row, ReturnColumn::seen, (has_word ? " " : count ? " counted " : " seen ") + one);
    piece(row, ReturnColumn::done_on, " on " + trimmed(cell(row, ReturnColumn::done_on)->text));
    if (const Cell* by = cell(row, ReturnColumn::by)) {
      piece(row, ReturnColumn::by, " by " + as_text(trimmed(by->text)));
    }
    end_line();
  }
}

void Returns::add_row(std::size_t row) {
  bool filled = false;
  for (std::size_t c = 1; c < return_columns; ++c) {
    filled = filled || cell(row, static_cast<ReturnColumn>(c)) != nullptr;
  }
  if (!filled) return;
  if (cell(row, ReturnColumn::order) == nullptr) {
    return wrong("no-order", row, ReturnColumn::order,
                 "This row was filled in, but names no order.",
                 "Copy the order from the plan, such as `BM27-1/grafting/2/1`.");
  }
  const Cell* day = cell(row, ReturnColumn::done_on);
  if (day == nullptr) {
    return wrong("no-day", row, ReturnColumn::done_on,
                 "This row was filled in, but does not say on which day the work was done.",
                 "Write the day like 2027-04-08, or `left out`.");
  }
  const std::string when = on_one_line(trimmed(day->text));
  const bool left_out = lower(when) == "left out";
  if (!left_out && !calendar::parse_iso_date(when)) {
    return wrong("no-such-date", row, ReturnColumn::done_on,
                 "`" + text::shortened(when) + "` is no day.", "Write the day like 2027-04-08.");
  }
  const std::string order = on_one_line(trimmed(cell(row, ReturnColumn::order)->text));
  piece(row, ReturnColumn::order, order);
  piece(row, ReturnColumn::done_on, left_out ? " left out" : " done on " + when);
  if (const Cell* by = cell(row, ReturnColumn::by)) {
    piece(row, ReturnColumn::by, " by " + as_text(trimmed(by->text)));
  }
  if (const Cell* plants = cell(row, ReturnColumn::plants)) {
    const std::string number = on_one_line(trimmed(plants->text));
    const bool says_so = number.ends_with(" plants") || number.ends_with(" plant");
    piece(row, ReturnColumn::plants, ", " + number + (says_so ? "" : " plants"));
  }
  if (const Cell* hours = cell(row, ReturnColumn::hours)) {
    piece(row, ReturnColumn::hours, ", " + time_of(on_one_line(trimmed(hours->text))));
  }
  if (const Cell* note = cell(row, ReturnColumn::note)) {
    piece(row, ReturnColumn::note, ", " + as_text(trimmed(note->text)));
  }
  end_line();
  if (!left_out) add_sights(row, order);
}

std::vector<language::syntax::EntryLine> Returns::lines(text::Diagnostics& found) {
  if (!find_columns(of_cells_)) return {};
  for (std::size_t row = 1; row < table_.rows.size(); ++row) add_row(row);
  source_ = &sources_.add(table_.name, text_);
  return language::read_entries(*source_, found);
}

void Returns::tell(const text::Diagnostics& found, text::Diagnostics& diagnostics) const {
  for (const text::Diagnostic& d : of_cells_.sorted()) diagnostics.add(d);
  for (text::Diagnostic d : found.sorted()) {
    if (d.span.source == nullptr || d.span.source != source_ || pieces_.empty()) {
      diagnostics.add(std::move(d));
      continue;
    }
    auto after =
        std::upper_bound(pieces_.begin(), pieces_.end(), d.span.begin,
                         [](std::size_t place, const Piece& one) { return place < one.begin; });
    if (after != pieces_.begin()) --after;
    d.related.clear();
    diagnostics.add(at(*after, std::move(d)));
  }
}

}  // namespace budwood::record
