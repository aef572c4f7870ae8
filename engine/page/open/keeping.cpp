#include "page/open/keeping.hpp"

#include <algorithm>
#include <array>
#include <ostream>

#include "book/write/rewrite.hpp"
#include "files/write.hpp"
#include "page/views/views.hpp"
#include "plan/trials/what_if.hpp"
#include "report/sheet/sheet_cells.hpp"
#include "sheet/template/cell_names.hpp"

namespace budwood::page {

namespace {

constexpr std::array own_dates = {"ready", "start", "not_before"};

const book::Batch* batch_of(const book::Book& book, const std::string& id) {
  for (const book::Batch& one : book.batches) {
    if (one.id.value == id) return &one;
  }
  return nullptr;
}

bool is_own_date(const std::string& name) {
  return std::find(own_dates.begin(), own_dates.end(), name) != own_dates.end();
}

/// Where a value stands in batches.yaml.
std::vector<std::string> keys_of(const std::string& name) {
  const bool whole = name == "plants" || name == "sure" || name == "spare" || name == "full_trays";
  if (whole || is_own_date(name)) return {name};
  if (name.ends_with(".start") || name.ends_with(".end")) return {"pins", name};
  if (name.find('.') == std::string::npos) return {"set", name};
  return {};
}

/// The value that a changed book has for a batch, as it is to be written; nothing: none of its own.
std::optional<std::string> text_of(const book::Batch& batch, const std::string& name) {
  if (name == "plants") return std::to_string(batch.plants.value);
  const auto own_share = [](const auto& own, const auto& usual) -> std::optional<std::string> {
    if (!own || (usual && usual->value == own->value)) return std::nullopt;
    return units::format_number(100 * own->value) + " %";
  };
  if (name == "sure") return own_share(batch.sure, batch.usual_sure);
  if (name == "spare") return own_share(batch.spare, batch.usual_spare);
  if (name == "full_trays" && batch.full_trays) return batch.full_trays->value ? "yes" : "no";
  if (name == "ready" && batch.ready) return calendar::iso_date(batch.ready->value);
  if (name == "start" && batch.start) return calendar::iso_date(batch.start->value);
  if (name == "not_before" && batch.not_before) {
    return calendar::iso_date(batch.not_before->value);
  }
  if (const auto own = batch.set.find(name); own != batch.set.end()) return own->second.text;
  for (auto pin = batch.pins.rbegin(); pin != batch.pins.rend(); ++pin) {
    const std::string end = pin->side == book::Pin::Side::end ? ".end" : ".start";
    if (!pin->recorded && pin->stage + end == name) return calendar::iso_date(pin->day);
  }
  return std::nullopt;
}

/// The change that puts back what the file says now.
std::string undo_of(const book::BatchesText& written, const plan::Change& change,
                    const std::vector<std::string>& keys) {
  const std::string front = change.batch + ".";
  if (is_own_date(change.name)) {
    for (const char* name : own_dates) {
      if (const auto was = written.written_value(change.batch, {name})) {
        return front + name + "=" + *was;
      }
    }
  }
  const auto was = written.written_value(change.batch, keys);
  const char* none = keys.front() == "pins" ? "free" : "usual";
  return front + change.name + "=" + was.value_or(none);
}

std::vector<Clash> clashes_of(const Snapshot& now, const std::vector<WantedChange>& wanted) {
  std::vector<Clash> out;
  for (const WantedChange& one : wanted) {
    if (one.was.empty()) continue;
    const std::string id = one.change.substr(0, one.change.find('.'));
    const plan::BatchPlan* batch = now.batch(id);
    if (batch == nullptr) continue;
    const std::string is = shown_now(now, *batch, one.cell);
    if (is != one.was) out.push_back({id, one.cell, one.was, is});
  }
  return out;
}

/// Takes each change into the text of batches.yaml.
std::string write_into(book::BatchesText& written, const plan::WhatIf& tried,
                       std::vector<std::string>& undo) {
  std::vector<book::Rewrite> rewrites;
  for (const plan::Change& change : tried.changes) {
    const std::vector<std::string> keys = keys_of(change.name);
    const book::Batch* batch = batch_of(tried.book, change.batch);
    if (keys.empty() || batch == nullptr) {
      return "`" + change.name + "` is not kept in batches.yaml.";
    }
    undo.push_back(undo_of(written, change, keys));
    rewrites.push_back({change.batch, keys, text_of(*batch, change.name)});
  }
  return written.rewrite(rewrites);
}

}  // namespace

std::string shown_now(const Snapshot& snapshot, const plan::BatchPlan& batch,
                      const std::string& cell) {
  const sheet::Sheet& sheet = snapshot.live->sheets()[batch.sheet];
  const sheet::CellId id = sheet::find_cell(sheet.layout(), cell);
  if (id == sheet::no_cell) return "";
  return report::cell_reading({sheet, batch.row}, id, snapshot.live->unit(batch.sheet, id)).shown;
}

Kept keep(OpenBook& book, const std::vector<WantedChange>& wanted, text::Sources& sources) {
  Kept out;
  const std::lock_guard writing(book.writing);
  const std::shared_ptr<Snapshot> now = book.now();
  const std::lock_guard reading(now->mutex);
  out.clashes = clashes_of(*now, wanted);
  if (!out.clashes.empty()) return out;
  std::vector<std::string> changes;
  for (const WantedChange& one : wanted) changes.push_back(one.change);
  const auto tried = plan::what_if(now->plan, changes, sources, out.said);
  if (!tried) return out;
  book::BatchesText* const batches = book.batches(out.said);
  if (batches == nullptr) return out;
  std::string problem = write_into(*batches, *tried, out.undo);
  if (problem.empty()) {
    problem = files::write_whole(book.folder() / "batches.yaml",
                                 [&](std::ostream& stream) { stream << batches->text(); });
  }
  if (!problem.empty()) {
    out.said.error("not-kept", {}, problem);
    return out;
  }
  std::reverse(out.undo.begin(), out.undo.end());
  out.outcome = now->live->make(now->plan, tried->changes);
  book.kept(tried->changes);
  out.done = true;
  book.events.tell("cells", cells_json(*now, out.outcome).dump());
  book.look();
  return out;
}

}  // namespace budwood::page
