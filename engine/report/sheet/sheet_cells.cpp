#include "report/sheet/sheet_cells.hpp"

#include <algorithm>
#include <cmath>

#include "report/formats/wording.hpp"
#include "report/needs/needs_words.hpp"
#include "sheet/columns/shown.hpp"

namespace budwood::report {

namespace {

using plan::Mark;
using sheet::Cell;
using sheet::CellId;
using sheet::Template;

/// The ends of the names of cells that growers ask for; the others are steps on the way.
constexpr std::string_view usual_ends[] = {"start", "end", "days", "plants", "left", "hours"};

std::string_view stage_of(const std::string& name) {
  return std::string_view(name).substr(0, std::min(name.find('.'), name.size()));
}

bool is_usual(const Template& t, CellId id) {
  const Cell& cell = t.cell(id);
  if (id == t.ordered || id == t.ready || id == t.hours) return true;
  const auto among = [&](const std::vector<CellId>& ids) {
    return std::find(ids.begin(), ids.end(), id) != ids.end();
  };
  if (among(t.inputs) || among(t.lets)) return true;
  for (const sheet::StageCells& stage : t.stages) {
    if (among(stage.picked) || among(stage.grades)) return true;
  }
  const std::size_t dot = cell.name.find('.');
  if (dot == std::string::npos) return false;
  const std::string_view end = std::string_view(cell.name).substr(dot + 1);
  const bool of_stage = std::any_of(
      t.protocol.stages.begin(), t.protocol.stages.end(),
      [&](const language::Stage& stage) { return stage.name == cell.name.substr(0, dot); });
  return of_stage &&
         std::find(std::begin(usual_ends), std::end(usual_ends), end) != std::end(usual_ends);
}

/// How sure a batch wants to be is shown where one of them is.
bool is_set_somewhere(const sheet::Sheet& sheet, CellId id) {
  if (id != sheet.layout().sure) return false;
  const std::span<const double> sure = sheet.columns().of(id);
  return std::any_of(sure.begin(), sure.end(), [](double value) { return value > 0; });
}

bool is_shown(const sheet::Sheet& sheet, CellId id, const SheetView& view) {
  if (view.patterns.empty()) return is_usual(sheet.layout(), id) || is_set_somewhere(sheet, id);
  const std::string& name = sheet.layout().cell(id).name;
  return std::any_of(view.patterns.begin(), view.patterns.end(),
                     [&](const std::string& pattern) { return fits_pattern(name, pattern); });
}

std::vector<CellGroup> groups_of(const sheet::Sheet& sheet, const SheetView& view) {
  const Template& t = sheet.layout();
  std::vector<CellGroup> groups = {{"", "Batch", {}}, {"", "Inputs and values", {}}};
  for (const language::Stage& stage : t.protocol.stages) {
    groups.push_back({stage.name, shown_name(stage), {}});
  }
  groups.push_back({"", "Rules", {}});
  for (CellId id = 0; id < t.cells.size(); ++id) {
    if (!is_shown(sheet, id, view)) continue;
    const std::string& name = t.cell(id).name;
    const std::string_view owner = stage_of(name);
    const bool dotted = owner.size() < name.size();
    std::size_t place = dotted ? groups.size() - 1 : 1;
    if (dotted && owner == "batch") place = 0;
    for (std::size_t s = 0; dotted && s < t.protocol.stages.size(); ++s) {
      if (t.protocol.stages[s].name == owner) place = s + 2;
    }
    groups[place].cells.push_back(id);
  }
  std::erase_if(groups, [](const CellGroup& group) { return group.cells.empty(); });
  return groups;
}

bool is_wanted(const plan::Plan& plan, const plan::BatchPlan& batch, const SheetView& view) {
  const std::string& id = plan.facts_of(batch).id.value;
  return view.batches.empty() ||
         std::find(view.batches.begin(), view.batches.end(), id) != view.batches.end();
}

std::string no_such_cell(const plan::Plan& plan, const std::string& pattern) {
  std::vector<std::string> names;
  for (const sheet::Sheet& sheet : plan.sheets) {
    for (const Cell& cell : sheet.layout().cells) {
      if (fits_pattern(cell.name, pattern)) return "";
      names.push_back(cell.name);
    }
  }
  const std::string advice = text::did_you_mean(pattern, names);
  return "No value is called like `" + text::shortened(pattern) + "`. " +
         (advice.empty() ? "Values are such as `STAGE.start`, `*.plants`, `batch.*`." : advice);
}

}  // namespace

bool fits_pattern(std::string_view name, std::string_view pattern) {
  // Where the last `*` stands, and what it has taken so far: it takes more when the rest fails.
  std::size_t star = std::string_view::npos;
  std::size_t taken = 0;
  std::size_t at = 0;
  std::size_t p = 0;
  while (at < name.size()) {
    if (p < pattern.size() && pattern[p] == '*') {
      star = p++;
      taken = at;
    } else if (p < pattern.size() && (pattern[p] == '?' || pattern[p] == name[at])) {
      ++p;
      ++at;
    } else if (star != std::string_view::npos) {
      p = star + 1;
      at = ++taken;
    } else {
      return false;
    }
  }
  while (p < pattern.size() && pattern[p] == '*') ++p;
  return p == pattern.size();
}

std::string nothing_matches(const plan::Plan& plan, const SheetView& view) {
  std::vector<std::string> ids;
  for (const plan::BatchPlan& batch : plan.batches) ids.push_back(plan.facts_of(batch).id.value);
  for (const std::string& id : view.batches) {
    if (std::find(ids.begin(), ids.end(), id) != ids.end()) continue;
    const std::string advice = text::did_you_mean(id, ids);
    return "There is no batch `" + text::shortened(id) + "` with a plan." +
           (advice.empty() ? "" : " " + advice);
  }
  for (const std::string& pattern : view.patterns) {
    if (std::string words = no_such_cell(plan, pattern); !words.empty()) return words;
  }
  return "";
}

namespace {

/// People's time for a stage or a batch.
bool is_hours(const Template& t, CellId id) {
  return id == t.hours || std::any_of(t.stages.begin(), t.stages.end(),
                                      [&](const sheet::StageCells& s) { return s.hours == id; });
}

bool counts_plants(const Template& t, CellId id) {
  return id == t.ordered ||
         std::any_of(t.stages.begin(), t.stages.end(),
                     [&](const sheet::StageCells& s) { return s.plants == id || s.left == id; }) ||
         std::any_of(t.chains.begin(), t.chains.end(),
                     [&](const sheet::Chain& chain) { return chain.needed == id; });
}

/// The largest value of a column, which decides the unit for all of it.
double largest(std::span<const double> column) {
  double out = 0;
  for (const double value : column) {
    if (std::isfinite(value)) out = std::max(out, std::abs(value));
  }
  return out;
}

}  // namespace

units::Unit cell_unit(const sheet::Sheet& sheet, CellId id) {
  const Template& t = sheet.layout();
  const Cell& cell = t.cell(id);
  if (cell.unit) return *cell.unit;
  if (is_hours(t, id)) return *units::find_unit("h");
  if (counts_plants(t, id)) return units::counting_unit("plants");
  return sheet::unit_to_show(cell.type, largest(sheet.columns().of(id)), t.protocol.system);
}

namespace {

/// The value, without the words for people, which cost more than it.
Reading without_words(const sheet::Template& t, CellId id, const units::Unit& unit, double value) {
  using Kind = language::Type::Kind;
  const Cell& cell = t.cell(id);
  // 0 stands for a batch that asks for its number on average.
  if (!std::isfinite(value) || (id == t.sure && value == 0)) return no_reading();
  if (cell.type.kind == Kind::truth) return text_reading(value != 0 ? "yes" : "no");
  Reading out;
  out.value = value;
  if (is_hours(t, id)) {
    out.kind = Reading::Kind::hours;
  } else if (cell.type.kind == Kind::date) {
    out.kind = Reading::Kind::date;
  } else if (unit.symbol == "%") {
    out.kind = Reading::Kind::share;
  } else {
    out.kind = Reading::Kind::amount;
    out.unit = unit;
  }
  return out;
}

}  // namespace

Reading cell_reading(const sheet::Template& t, CellId id, const units::Unit& unit, double value) {
  Reading out = without_words(t, id, unit, value);
  switch (out.kind) {
    case Reading::Kind::hours:
      return hours_reading(value);
    case Reading::Kind::date:
      return date_reading(value);
    case Reading::Kind::share:
      return share_reading(value);
    case Reading::Kind::amount: {
      constexpr int digits = 6;
      const Cell& cell = t.cell(id);
      out.shown = sheet::shown(value, cell.type, cell.unit, digits, t.protocol.system);
      return out;
    }
    default:
      return out;
  }
}

Reading bare_reading(const sheet::Row& row, CellId id, const units::Unit& unit) {
  return without_words(row.layout(), id, unit, row.value(id));
}

Reading cell_reading(const sheet::Row& row, CellId id, const units::Unit& unit) {
  return cell_reading(row.layout(), id, unit, row.value(id));
}

std::vector<SheetPart> sheet_parts(const plan::Plan& plan, const SheetView& view) {
  std::vector<SheetPart> parts;
  for (std::size_t s = 0; s < plan.sheets.size(); ++s) {
    SheetPart part;
    part.sheet = s;
    for (const plan::BatchPlan& batch : plan.batches) {
      if (batch.sheet == s && is_wanted(plan, batch, view)) part.batches.push_back(&batch);
    }
    part.groups = groups_of(plan.sheets[s], view);
    if (part.batches.empty() || part.groups.empty()) continue;
    for (CellId id = 0; id < plan.sheets[s].layout().cells.size(); ++id) {
      part.units.push_back(cell_unit(plan.sheets[s], id));
    }
    parts.push_back(std::move(part));
  }
  return parts;
}

std::string_view mark_word(Mark mark) {
  switch (mark) {
    case Mark::recorded:
      return "recorded";
    case Mark::pinned:
      return "pinned";
    case Mark::batch:
      return "batch";
    case Mark::lot:
      return "lots";
    case Mark::site:
      return "site";
    case Mark::learned:
      return "learned";
    case Mark::none:
      break;
  }
  return "";
}

std::string_view mark_sign(Mark mark) {
  switch (mark) {
    case Mark::recorded:
      return "!";
    case Mark::pinned:
      return "^";
    case Mark::batch:
      return "*";
    case Mark::lot:
      return "#";
    case Mark::site:
      return "+";
    case Mark::learned:
      return "~";
    case Mark::none:
      break;
  }
  return "";
}

std::string_view mark_meaning(Mark mark) {
  switch (mark) {
    case Mark::recorded:
      return "recorded";
    case Mark::pinned:
      return "fixed by hand";
    case Mark::batch:
      return "set by the batch";
    case Mark::lot:
      return "by the tests of its lots";
    case Mark::site:
      return "set by the site";
    case Mark::learned:
      return "learned from the record";
    case Mark::none:
      break;
  }
  return "";
}

std::vector<Mark> marks_in(const plan::Plan& plan) {
  std::vector<Mark> out{Mark::recorded, Mark::pinned, Mark::batch, Mark::site};
  const bool learned = std::any_of(plan.sheets.begin(), plan.sheets.end(),
                                   [](const auto& sheet) { return !sheet.site().learned.empty(); });
  if (learned) out.push_back(Mark::learned);
  if (!plan.book->site.lots.empty()) out.push_back(Mark::lot);
  return out;
}

}  // namespace budwood::report
