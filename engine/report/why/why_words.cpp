#include "report/why/why_words.hpp"

#include <cmath>
#include <ostream>

#include "report/formats/wording.hpp"
#include "sheet/columns/shown.hpp"

namespace budwood::report {

std::string Asked::text(sheet::CellId cell, double value) const {
  using Kind = CellRole::Kind;
  const CellRole& role = roles[cell];
  if (std::isnan(value)) return "-";
  if (role.kind == Kind::hours || role.kind == Kind::all_hours || role.kind == Kind::work_time) {
    return value <= 0 ? "0 h" : time_text(value);
  }
  if (role.kind == Kind::amount) {
    return units::format(value, supply_of(role).unit);
  }
  if (role.kind == Kind::days) {
    return calendar::days_text(static_cast<int>(value));
  }
  return value_text(value, t.cell(cell).type, t.protocol.system, t.cell(cell).unit);
}

const language::Supply& Asked::supply_of(const CellRole& role) const {
  return t.protocol.supplies[row.stage(role.stage).works[role.work].uses[role.use].supply];
}

std::string Asked::stage(language::StageId stage) const {
  return "`" + row.stage(stage).name + "`";
}

language::StageId Asked::stage_of(sheet::CellId cell) const {
  const std::string& name = t.cell(cell).name;
  const std::string first = name.substr(0, name.find('.'));
  if (first.size() == name.size()) return {};
  return t.protocol.stages.find(first);
}

std::string Asked::told_by(const text::Span& span) const {
  const record::Entry* entry = book::entry_at(*plan.book, span);
  if (entry == nullptr) return "";
  return (entry->by.empty() ? "" : " by " + entry->by) + " on " +
         DayWords::whole(record::day_of_moment(entry->noted));
}

std::string Asked::as_recorded(const text::Span& span) const {
  const record::Entry* entry = book::entry_at(*plan.book, span);
  if (entry == nullptr || entry->what != record::What::done) {
    return ", as recorded" + told_by(span);
  }
  return ", because `" + record::whole_place(*entry) + "` was done on " +
         DayWords::whole(entry->day) + ", as recorded" + told_by(span);
}

std::string at(const text::Span& span, const std::string& more) {
  const std::string place = file_and_line(span);
  return place.empty() ? "" : " (" + place.substr(place.rfind('/') + 1) + more + ")";
}

std::string Asked::at(const text::Span& span) const {
  // Nobody finds a line of the record by its number, but anybody an entry by its name.
  if (book::entry_at(*plan.book, span) != nullptr) return " (" + place_text(plan, span) + ")";
  const language::Layer* layer = language::layer_of(t.protocol, span);
  if (layer == nullptr || layer == &t.protocol.layers.front()) return report::at(span);
  return report::at(span, ", `" + layer->name + "` edition " + std::to_string(layer->edition));
}

std::string value_text(double value, const language::Type& type, units::System system,
                       const std::optional<units::Unit>& unit) {
  const bool date = !unit && type.kind == language::Type::Kind::date;
  return date ? short_date(value) : sheet::shown(value, type, unit, 6, system);
}

std::string DayWords::operator()(calendar::Day day) const {
  return std::string(calendar::short_name(calendar::weekday(day))) + " " + bare(day);
}

std::string DayWords::bare(calendar::Day day) const {
  const calendar::Date date = calendar::date_of(day);
  return calendar::describe(calendar::YearDay{date.month, date.day}) +
         (date.year == year_ ? "" : " " + std::to_string(date.year));
}

std::string DayWords::whole(calendar::Day day) {
  const calendar::Date date = calendar::date_of(day);
  return std::string(calendar::short_name(calendar::weekday(day))) + " " +
         calendar::describe(calendar::YearDay{date.month, date.day}) + " " +
         std::to_string(date.year);
}

void Paragraphs::write(const std::string& text, int depth) {
  const auto indent = static_cast<std::size_t>(2 * depth);
  const std::size_t width = style_.width > indent + 20 ? style_.width - indent - 2 : 20;
  bool first = true;
  for (const std::string& line : wrap(text, width)) {
    out_ << std::string(indent + (first ? 0 : 2), ' ') << line << '\n';
    first = false;
  }
}

void Paragraphs::end(const std::string& noun) {
  if (folded_ > 0) {
    write("... " + counted(folded_, "more " + noun) + "; " + std::string(style_.for_all) +
              " shows them.",
          1);
  }
  folded_ = 0;
}

}  // namespace budwood::report
