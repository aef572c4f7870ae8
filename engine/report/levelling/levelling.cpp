#include <algorithm>
#include <cstdlib>
#include <ostream>

#include "report/formats/csv.hpp"
#include "report/formats/format.hpp"
#include "report/formats/json.hpp"
#include "report/formats/table.hpp"
#include "report/needs/needs_words.hpp"
#include "report/report.hpp"

namespace budwood::report {

namespace {

using calendar::Day;

std::string count_text(std::size_t count, const std::string& one, const std::string& many) {
  return std::to_string(count) + " " + (count == 1 ? one : many);
}

std::string summary(const plan::Levelling& found, bool fits) {
  std::string out = count_text(found.moves.size(), "batch moves", "batches move") + " of " +
                    std::to_string(found.batches) + ", ";
  if (found.unresolved.empty() && !fits) {
    out += "but what cannot move asks for too much.";
  } else if (found.unresolved.empty()) {
    out += "and all find room and hands.";
  } else {
    out += count_text(found.unresolved.size(), "batch finds", "batches find") + " no place.";
  }
  return out;
}

/// How much is late, and what is proven about it.
std::string late_text(const plan::Levelling& found) {
  if (found.late_days == 0) return "Nothing is late.";
  std::string out =
      "Late, times priority: " + calendar::days_text(static_cast<int>(found.late_days));
  if (!found.unresolved.empty()) return out + ".";
  if (found.late_days == found.least_late_days) return out + "; less is proven impossible.";
  return out + "; less than " + calendar::days_text(static_cast<int>(found.least_late_days)) +
         " is proven impossible.";
}

std::string shift_text(Day before, Day after) {
  if (after == before) return "stays";
  return calendar::days_text(std::abs(after - before)) + (after > before ? " later" : " earlier");
}

std::string work_text(const plan::BatchMove& move) {
  std::string out;
  if (move.stages > 0) out = count_text(static_cast<std::size_t>(move.stages), "stage", "stages");
  if (move.orders == 0) return out;
  return out + (out.empty() ? "" : ", ") +
         count_text(static_cast<std::size_t>(move.orders), "order", "orders");
}

void write_moves(std::ostream& out, const plan::Levelling& found, const Style& style) {
  using Kind = Table::Kind;
  Table table({{"batch", Kind::entry},
               {"starts", Kind::entry},
               {"", Kind::entry},
               {"ready", Kind::entry},
               {"", Kind::entry},
               {"moves", Kind::entry},
               {"because"}});
  for (const plan::BatchMove& move : found.moves) {
    table.add({move.batch, calendar::iso_date(move.start_after),
               shift_text(move.start_before, move.start_after),
               calendar::iso_date(move.ready_after),
               shift_text(move.ready_before, move.ready_after), work_text(move), move.because});
  }
  if (!table.empty()) {
    out << '\n';
    table.write(out, style);
  }
}

void write_lines(std::ostream& out, const std::string& text, std::size_t indent,
                 const Style& style) {
  for (const std::string& line : wrap(text, style.width - indent)) {
    out << std::string(indent, ' ') << line << '\n';
  }
}

void write_unresolved(std::ostream& out, const plan::Levelling& found, const Style& style) {
  for (const plan::Unresolved& one : found.unresolved) {
    out << '\n' << inked("No place for " + one.batch, Ink::warning, style) << '\n';
    for (const std::string& text : one.short_of) write_lines(out, text + ".", 2, style);
    for (const std::string& text : one.reliefs) {
      write_lines(out, "This would help: " + text, 2, style);
    }
  }
}

/// "places BM27-2 and BM27-5; 6 days less late: BM27-7".
std::string gives_text(const plan::Help& help) {
  std::string out;
  if (!help.places.empty()) out = "places " + text::list_words(help.places, "and");
  if (help.sooner.empty()) return out;
  return out + (out.empty() ? "" : "; ") + calendar::days_text(static_cast<int>(help.days_sooner)) +
         " less late: " + text::list_words(help.sooner, "and");
}

std::string price_text(const plan::Help& help, const plan::Levelling& found) {
  const bool room = std::any_of(help.more.begin(), help.more.end(),
                                [](const plan::Help::More& one) { return one.room; });
  if (room) return "to be hired";
  if (!help.price) return "no price known";
  if (*help.price == 0) return "";
  const auto& currency = found.book.site.currency;
  return money_text(*help.price) + (currency ? " " + currency->value : "");
}

void write_helps(std::ostream& out, const plan::Levelling& found, const Style& style) {
  if (found.helps.empty()) return;
  out << "\nWhat would help most, each by itself\n\n";
  Table table({{"change"}, {"costs"}, {"gives"}});
  for (const plan::Help& help : found.helps) {
    table.add({help.change, price_text(help, found), gives_text(help)});
  }
  table.write(out, style);
}

void write_proven(std::ostream& out, const plan::Levelling& found, const Style& style) {
  if (!found.proven_too_much.empty()) out << '\n';
  for (const std::vector<std::string>& batches : found.proven_too_much) {
    write_lines(out,
                batches.size() == 1
                    ? "Proven: " + batches.front() + " cannot find a place within what it allows."
                    : "Proven: within what they allow, " + text::list_words(batches, "and") +
                          " cannot all find a place.",
                0, style);
  }
}

void write_table(std::ostream& out, const plan::Levelling& found, bool fits, const Style& style) {
  write_lines(out, summary(found, fits), 0, style);
  write_lines(out, late_text(found), 0, style);
  if (!found.moves.empty() && found.moved_days > 0) {
    write_lines(out,
                "Moved from today's plan, stages and orders together: " +
                    calendar::days_text(static_cast<int>(found.moved_days)) + ".",
                0, style);
  }
  for (const std::string& batch : found.held) {
    write_lines(out, "Batch " + batch + " stays: its dates cannot be worked out anew.", 0, style);
  }
  write_moves(out, found, style);
  write_unresolved(out, found, style);
  write_helps(out, found, style);
  write_proven(out, found, style);
}

void write_csv(std::ostream& out, const plan::Levelling& found) {
  Csv csv(out);
  for (const char* head : {"batch", "placed", "start_before", "start_after", "ready_before",
                           "ready_after", "stages", "orders", "because", "helps"}) {
    csv.text(head);
  }
  csv.end_row();
  const auto placed = [&](const std::string& batch) {
    for (const plan::Unresolved& one : found.unresolved) {
      if (one.batch == batch) return false;
    }
    return true;
  };
  for (const plan::BatchMove& move : found.moves) {
    csv.text(move.batch).text(placed(move.batch) ? "yes" : "no");
    for (const Day day :
         {move.start_before, move.start_after, move.ready_before, move.ready_after}) {
      csv.text(calendar::iso_date(day));
    }
    csv.number(move.stages).number(move.orders).text(move.because).text("").end_row();
  }
  for (const plan::Unresolved& one : found.unresolved) {
    std::string because;
    std::string helps;
    for (const std::string& text : one.short_of) because += (because.empty() ? "" : "; ") + text;
    for (const std::string& text : one.reliefs) helps += (helps.empty() ? "" : " ") + text;
    csv.text(one.batch).text("no");
    for (int i = 0; i < 6; ++i) csv.text("");
    csv.text(because).text(helps).end_row();
  }
}

void write_json(std::ostream& out, const plan::Levelling& found, bool fits) {
  JsonWriter json(out);
  using Layout = JsonWriter::Layout;
  json.begin_object(Layout::lines);
  json.number("batches", found.batches);
  json.flag("fits", fits);
  json.number("late_days", static_cast<double>(found.late_days));
  json.number("least_late_days", static_cast<double>(found.least_late_days));
  json.number("moved_days", static_cast<double>(found.moved_days));
  json.number("rounds", static_cast<double>(found.rounds));
  json.texts("held", found.held);
  json.begin_list("moves", Layout::lines);
  for (const plan::BatchMove& move : found.moves) {
    json.begin_object();
    json.text("batch", move.batch);
    json.date("start_before", move.start_before);
    json.date("start_after", move.start_after);
    json.date("ready_before", move.ready_before);
    json.date("ready_after", move.ready_after);
    json.number("stages", move.stages);
    json.number("orders", move.orders);
    json.text("because", move.because);
    json.end();
  }
  json.end();
  json.begin_list("unresolved", Layout::lines);
  for (const plan::Unresolved& one : found.unresolved) {
    json.begin_object();
    json.text("batch", one.batch);
    json.texts("short_of", one.short_of);
    json.texts("helps", one.reliefs);
    json.end();
  }
  json.end();
  json.begin_list("would_help", Layout::lines);
  for (const plan::Help& help : found.helps) {
    json.begin_object();
    json.text("change", help.change);
    if (help.price) json.number("price", *help.price);
    json.begin_list("more");
    for (const plan::Help::More& one : help.more) {
      json.begin_object();
      json.text(one.room ? "room" : "crew", one.name);
      if (!one.room) json.flag("duty", one.duty);
      constexpr double hour = 3600;
      json.number(one.room ? "amount" : "hours", one.room ? one.amount : one.amount / hour);
      json.date("first", one.first);
      json.date("last", one.last);
      json.end();
    }
    json.end();
    json.texts("places", help.places);
    json.texts("sooner", help.sooner);
    json.number("days_sooner", static_cast<double>(help.days_sooner));
    json.end();
  }
  json.end();
  json.begin_list("proven_too_much", Layout::lines);
  for (const std::vector<std::string>& batches : found.proven_too_much) {
    json.begin_object();
    json.texts("batches", batches);
    json.end();
  }
  json.end();
  json.end();
}

}  // namespace

void write_levelling(std::ostream& out, const plan::Levelling& found, bool fits, Format format,
                     const Style& style) {
  if (format == Format::csv) return write_csv(out, found);
  if (format == Format::json) return write_json(out, found, fits);
  write_table(out, found, fits, style);
}

}  // namespace budwood::report
