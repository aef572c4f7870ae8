#include <algorithm>
#include <map>
#include <ostream>

#include "report/differences/comparison.hpp"
#include "report/formats/csv.hpp"
#include "report/formats/format.hpp"
#include "report/formats/json.hpp"
#include "report/formats/pieces.hpp"
#include "report/formats/table.hpp"
#include "report/formats/wording.hpp"
#include "report/needs/needs_tables.hpp"
#include "report/needs/needs_words.hpp"
#include "report/report.hpp"
#include "report/sheet/sheet_cells.hpp"
#include "sheet/columns/shown.hpp"

namespace budwood::report {

namespace {

using plan::Mark;
using sheet::CellId;
using BatchRange = std::pair<std::size_t, std::size_t>;  ///< places in SheetPart::batches

/// A value with the sign of where it comes from.
std::string marked(const plan::Plan& plan, const SheetPart& part, CellId cell,
                   const plan::BatchPlan& batch) {
  const sheet::Row row = plan.row_of(batch);
  const std::string value = cell_reading(row, cell, part.units[cell]).shown;
  const std::string_view sign = mark_sign(plan::mark_of(row, cell));
  return value + (sign.empty() ? "" : " " + std::string(sign));
}

/// How wide a column of a batch is at least.
std::size_t width_of(const plan::Plan& plan, const SheetPart& part, const plan::BatchPlan& batch) {
  std::size_t width = text::display_width(text::printable(plan.facts_of(batch).id.value));
  for (const CellGroup& group : part.groups) {
    for (const CellId cell : group.cells) {
      width = std::max(width, text::display_width(marked(plan, part, cell, batch)));
    }
  }
  return width;
}

std::size_t names_width(const plan::Plan& plan, const SheetPart& part) {
  std::size_t width = 0;
  for (const CellGroup& group : part.groups) {
    width = std::max(width, text::display_width(text::printable(group.title)));
    for (const CellId cell : group.cells) {
      const std::string& name = plan.sheets[part.sheet].layout().cell(cell).name;
      width = std::max(width, gap + text::display_width(name));
    }
  }
  return width;
}

/// So many batches side by side as the page has room for, at least one.
std::vector<BatchRange> pages_of(const plan::Plan& plan, const SheetPart& part,
                                 const Style& style) {
  const std::size_t names = table_indent + names_width(plan, part);
  std::vector<BatchRange> pages;
  std::size_t taken = 0;
  for (std::size_t i = 0; i < part.batches.size(); ++i) {
    const std::size_t width = gap + width_of(plan, part, *part.batches[i]);
    if (pages.empty() || taken + width > style.width) {
      pages.push_back({i, i});
      taken = names;
    }
    taken += width;
    pages.back().second = i + 1;
  }
  return pages;
}

void write_page(std::ostream& out, const plan::Plan& plan, const SheetPart& part,
                const BatchRange& page, const Style& style) {
  std::vector<Table::Column> columns = {{""}};
  for (std::size_t i = page.first; i < page.second; ++i) {
    columns.push_back({plan.facts_of(*part.batches[i]).id.value, Table::Kind::entry});
  }
  Table table(std::move(columns));
  for (const CellGroup& group : part.groups) {
    table.add({group.title});
    for (const CellId cell : group.cells) {
      std::vector<std::string> row = {plan.sheets[part.sheet].layout().cell(cell).name};
      for (std::size_t i = page.first; i < page.second; ++i) {
        row.push_back(marked(plan, part, cell, *part.batches[i]));
      }
      table.add(std::move(row));
    }
  }
  out << '\n';
  table.write(out, style, table_indent);
}

/// What the signs that occur mean, and why values are missing.
void write_legend(std::ostream& out, const plan::Plan& plan, const std::vector<SheetPart>& parts,
                  const Style& style) {
  std::vector<std::string> pieces;
  for (const Mark mark : marks_in(plan)) {
    pieces.push_back(std::string(mark_sign(mark)) + " " + std::string(mark_meaning(mark)));
  }
  out << '\n';
  write_remark(out, joined(pieces, ", ") + "; what has no sign is worked out or usual.", style);
  for (const SheetPart& part : parts) {
    for (const plan::BatchPlan* batch : part.batches) {
      const sheet::Row row = plan.row_of(*batch);
      const auto origin = sheet::origin_of_no_value(row);
      if (!origin) continue;
      const sheet::Cell& cell = row.layout().cell(*origin);
      write_remark(out,
                   plan.facts_of(*batch).id.value + ": there is no value for " +
                       sheet::describe(cell) + " (" + file_and_line(cell.span) +
                       "), so what rests on it has none.",
                   style);
    }
  }
}

void write_table(std::ostream& out, const plan::Plan& plan, const std::vector<SheetPart>& parts,
                 const Style& style) {
  for (const std::string& line : wrap("Sheet of " + plan.book->site.name.value, style.width)) {
    out << inked(line, Ink::strong, style) << '\n';
  }
  for (const SheetPart& part : parts) {
    const language::Protocol& protocol = plan.sheets[part.sheet].layout().protocol;
    out << '\n';
    const std::string title = shown_name(protocol);
    for (const std::string& line :
         wrap(title + ", edition " + std::to_string(protocol.edition), style.width)) {
      out << inked(line, Ink::strong, style) << '\n';
    }
    for (const BatchRange& page : pages_of(plan, part, style)) {
      write_page(out, plan, part, page, style);
    }
  }
  if (parts.empty()) {
    out << "\nNothing: no batch has a plan.\n";
  } else {
    write_legend(out, plan, parts, style);
  }
}

/// Calls `write(group, cell, reading)` for every value of a batch.
template <class Write>
void for_each_value(const sheet::Row& row, const SheetPart& part, Write write) {
  for (const CellGroup& group : part.groups) {
    for (const CellId cell : group.cells) {
      write(group, cell, bare_reading(row, cell, part.units[cell]));
    }
  }
}

/// Dates have no unit when they stand alone.
std::string unit_of(const Reading& reading) {
  return reading.kind == Reading::Kind::date ? "" : reading.unit_name();
}

void write_csv_rows(Csv& csv, const plan::Plan& plan, const SheetPart& part,
                    const plan::BatchPlan& batch) {
  const language::Protocol& protocol = plan.protocol_of(batch);
  const sheet::Row row = plan.row_of(batch);
  for_each_value(row, part, [&](const CellGroup& group, CellId cell, const Reading& reading) {
    csv.text(plan.facts_of(batch).id.value).text(protocol.name);
    csv.number(protocol.edition).text(group.stage);
    csv.text(row.layout().cell(cell).name);
    write_reading(csv, reading);
    csv.text(unit_of(reading));
    csv.text(mark_word(plan::mark_of(row, cell)));
    csv.text(plan::layer_of(row, cell)).end_row();
  });
}

void write_csv(std::ostream& out, const plan::Plan& plan, const std::vector<SheetPart>& parts) {
  Csv csv(out);
  for (const char* name :
       {"batch", "protocol", "edition", "stage", "cell", "value", "unit", "mark", "layer"}) {
    csv.text(name);
  }
  csv.end_row();
  constexpr std::size_t batches_a_piece = 100;
  for (const SheetPart& part : parts) {
    write_in_pieces(
        out, part.batches.size(),
        [&](std::ostream& piece, std::size_t from, std::size_t to) {
          Csv rows(piece);
          for (std::size_t i = from; i < to; ++i)
            write_csv_rows(rows, plan, part, *part.batches[i]);
        },
        batches_a_piece);
  }
}

void write_json(std::ostream& out, const plan::Plan& plan, const std::vector<SheetPart>& parts) {
  JsonWriter json(out);
  json.begin_object(JsonWriter::Layout::lines);
  json.text("site", plan.book->site.name.value);
  json.begin_list("cells", JsonWriter::Layout::lines);
  for (const SheetPart& part : parts) {
    for (const plan::BatchPlan* batch : part.batches) {
      const language::Protocol& protocol = plan.protocol_of(*batch);
      const sheet::Row row = plan.row_of(*batch);
      for_each_value(row, part, [&](const CellGroup& group, CellId cell, const Reading& reading) {
        json.begin_object();
        json.text("batch", plan.facts_of(*batch).id.value);
        json.text("protocol", protocol.name);
        json.number("edition", protocol.edition);
        json.text("stage", group.stage);
        json.text("cell", row.layout().cell(cell).name);
        write_reading(json, "value", reading);
        json.text("unit", unit_of(reading));
        json.text("mark", mark_word(plan::mark_of(row, cell)));
        json.text("layer", plan::layer_of(row, cell));
        json.end();
      });
    }
  }
  json.end();
  json.end();
}

/// The cells of a batch that differ.
void add_cells(Differences& rows, const Comparison& both, const SheetPart& part,
               const plan::BatchPlan& batch, const plan::BatchPlan& other) {
  const sheet::Row before = both.before.row_of(batch);
  const sheet::Row after = both.after.row_of(other);
  for (const CellGroup& group : part.groups) {
    for (const CellId cell : group.cells) {
      add_difference(
          rows, {"cell", both.before.facts_of(batch).id.value, before.layout().cell(cell).name, "",
                 "", cell_reading(before, cell, part.units[cell]),
                 cell_reading(after, cell, part.units[cell])});
    }
  }
}

}  // namespace

void write_sheet(std::ostream& out, const plan::Plan& plan, const SheetView& view, Format format,
                 const Style& style) {
  const std::vector<SheetPart> parts = sheet_parts(plan, view);
  switch (format) {
    case Format::table:
      write_table(out, plan, parts, style);
      break;
    case Format::csv:
      write_csv(out, plan, parts);
      break;
    case Format::json:
      write_json(out, plan, parts);
      break;
  }
}

void write_sheet_differences(std::ostream& out, const Comparison& both, const SheetView& view,
                             Format format, const Style& style) {
  std::map<const plan::BatchPlan*, const plan::BatchPlan*> after;
  for (const BatchPair& pair : pairs_of(both)) {
    if (pair.before != nullptr && pair.after != nullptr) after[pair.before] = pair.after;
  }
  Differences rows;
  for (const SheetPart& part : sheet_parts(both.before, view)) {
    for (const plan::BatchPlan* batch : part.batches) {
      const auto other = after.find(batch);
      if (other != after.end()) add_cells(rows, both, part, *batch, *other->second);
    }
  }
  if (format == Format::table) {
    write_changes_head(out, both, style);
    write_differences_table(out, rows, "Value", style);
    if (rows.empty()) out << "\nNone of these values changes.\n";
    return;
  }
  Differences all = change_rows(both);
  all.insert(all.end(), rows.begin(), rows.end());
  if (format == Format::csv) return write_differences_csv(out, all);
  write_differences_json(out, both.before.book->site.name.value, all);
}

}  // namespace budwood::report
