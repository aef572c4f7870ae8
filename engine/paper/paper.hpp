/// What is printed: work sheets, a method for a binder, the season on one page, labels.
///
///   Plan, or Protocol --write--> one HTML document (labels: SVG as well)
///
/// A document has everything in itself and needs no network, no scripts and no colours. The same
/// input gives the same bytes; nothing in it tells when it was made.
///
/// HTML and not PDF: a browser is everywhere and knows the printer. Pages are tables whose
/// heads browsers repeat, and each order is a row that may not be broken.
#pragma once

#include <cstddef>
#include <iosfwd>
#include <optional>
#include <string>
#include <vector>

#include "paper/labels/labels.hpp"
#include "paper/page.hpp"
#include "plan/needs/needs.hpp"
#include "record/entry.hpp"
#include "report/formats/filter.hpp"

namespace budwood::paper {

/// What stands together on the pages of work sheets.
enum class Grouping { day, week, crew, room, batch };

struct WorkSheets {
  Grouping by = Grouping::day;
  PageSize size = PageSize::printers;
  std::optional<calendar::Day> today;  ///< drawn as a line in the pictures of batches
};

/// Writes the work orders and setting orders that pass the filter as sheets to be ticked off, and
/// says how many they are. Without a first day, of a plan from today days before it are left out
/// but for what should have been done then and still can be. Each group begins on a page of its
/// own, and no order is split over two.
std::size_t write_work_sheets(std::ostream& out, const plan::Plan& plan,
                              const report::Filter& filter, const WorkSheets& sheets);

struct MethodSheets {
  PageSize size = PageSize::printers;
  std::string fingerprint;  ///< of the edition, shown below its title; "" for none
};

/// Writes a protocol for people who work from paper. False when it cannot be worked through with
/// its usual inputs; nothing is written then.
bool write_method(std::ostream& out, const language::Protocol& protocol,
                  const MethodSheets& sheets = {});

/// Writes the season on landscape pages: its batches, so many a page that they can be read, then
/// rooms and crews on one. False when there is nothing to draw; then the page says so.
bool write_season(std::ostream& out, const plan::Plan& plan, const report::Filter& filter,
                  PageSize size, std::optional<calendar::Day> today);

/// Writes what to buy as a list to be ticked off, supplier by supplier, and says how many lines it
/// has.
std::size_t write_deliveries(std::ostream& out, const plan::Plan& plan, const plan::Needs& needs,
                             PageSize size);

/// Writes what became of a batch, for whoever asks for it later: what it is and where its material
/// came from, when its stages began and were over, who did what and what was used for it, what was
/// seen, counted and lost, what went otherwise than the protocol says, and every entry as it was
/// noted, with its corrections. `entries` are all of the batch, in the order noted.
void write_history(std::ostream& out, const plan::Plan& plan, const plan::BatchPlan& batch,
                   const std::vector<record::Entry>& entries, PageSize size);

}  // namespace budwood::paper
