/// What each view of the page is told. All read a snapshot whose mutex is held, and answer with
/// JSON; what people read in it is worded by `report`, as in tables.
#pragma once

#include <map>
#include <ostream>
#include <string>

#include "page/open/snapshot.hpp"
#include "page/views/json.hpp"
#include "plan/orders/setting_orders.hpp"

namespace budwood::page {

/// What was asked, by name; "" for what was not said.
class Question {
 public:
  explicit Question(std::map<std::string, std::string> words) : words_(std::move(words)) {}
  const std::string& operator[](const std::string& name) const;
  std::optional<calendar::Day> day(const std::string& name) const;
  /// A whole number from 0 on; `otherwise` for anything else.
  std::size_t number(const std::string& name, std::size_t otherwise) const;

 private:
  std::map<std::string, std::string> words_;
};

/// What all views need: the site, its rooms and crews, what is wrong with the book.
Json state_view(const Snapshot& now);
/// Every batch by name, to choose from.
Json batches_view(const Snapshot& now);
/// The work of a day: `day`, `room`, `crew`.
Json today_view(const Snapshot& now, const Question& question);
/// Batches along the days, rooms and crews below.
Json season_view(const Snapshot& now);
/// One batch: `batch`. null when there is none.
Json batch_view(const Snapshot& now, const Question& question);
Json needs_view(const Snapshot& now);
/// How `cell` of `batch` came about; with `uses` what rests on it. null when there is none.
Json why_view(const Snapshot& now, const Question& question);
/// `of` and `by` as in `budwood results`.
Json results_view(const Snapshot& now, const Question& question);
/// The protocols and rule sets of the book, by file.
Json methods_view(const Snapshot& now);
/// The text of one `file`. null when there is none.
Json method_view(const Snapshot& now, const Question& question);
/// The columns and batches of one `sheet`; with `all` every cell and not only the usual ones.
Json sheet_view(const Snapshot& now, const Question& question);
/// The values of some batches of a sheet: `from`, `to` (not included), in the order of `sheet_view`
/// or by `sort` (a cell), `down`.
Json rows_view(const Snapshot& now, const Question& question);
/// {"values": [{batch, cell, value, was}]}.
Json cells_json(const Snapshot& now, const LiveSheet::Outcome& outcome);
/// What some changes would mean: values, dates of the season, what differs, conflicts. Errors are
/// reported.
Json tried_view(Snapshot& now, const std::vector<std::string>& changes, bool whole,
                text::Sources& sources, text::Diagnostics& diagnostics);

/// What a text typed as one of the book's files would do to its batches: {"text"} as `budwood
/// compare` words it, {"said"} where it has errors. null when there is no such file.
Json effect_view(const Snapshot& now, const std::string& file, const std::string& text);
/// What the references say of a `topic`: a statement, the code of a message, a heading; "text" is
/// "" when it is not known, and "near" what may have been meant.
Json topic_view(const Question& question);

/// A file of the book's methods and rules by its name; nullptr when there is none.
const text::Source* method_source(const Snapshot& now, const std::string& file);

/// Pictures as SVG; false when there is nothing such.
bool batch_picture(std::ostream& out, const Snapshot& now, const std::string& batch);
bool results_picture(std::ostream& out, const Snapshot& now, const Question& question);
bool method_picture(std::ostream& out, const Snapshot& now, const std::string& protocol);

// What several views share

Json order_json(const Snapshot& now, const plan::WorkOrder& order);
Json setting_json(const plan::SettingOrder& order, const plan::Plan& plan);
Json making_json(const plan::MakingDetail& making);
/// With `key`, the date that its batch has: "ready", "start" or "not_before".
Json conflict_json(const Snapshot& now, const plan::Conflict& conflict);
/// The same for those that pass, at most so many.
Json conflicts_json(const Snapshot& now, const std::string& batch, std::size_t most);
/// How the date of a batch is told: "ready", "start" or "not_before".
const char* date_key(const book::Batch& batch);
/// "BM27-1", with its cultivar.
std::string batch_label(const book::Batch& batch);

}  // namespace budwood::page
