/// Pictures of a plan as SVG, in black on white: one batch, a season, settings day by day.
///
/// The same plan gives the same bytes. A picture has no scripts and refers to nothing outside it.
///
/// Widths of text in the program are those of one wide font, so what fits there fits. A browser
/// measures every text with real letters (`tests/pictures/browser_test.py`).
#pragma once

#include <iosfwd>
#include <optional>

#include "plan/rooms/load.hpp"
#include "report/formats/filter.hpp"
#include "report/report.hpp"
#include "results/curves.hpp"
#include "results/summary.hpp"

namespace budwood::pictures {

/// Each tells whether there was anything to draw; else the picture says that there is nothing.
///
/// `today` is drawn as a line; when it lies outside the days of the picture, a sentence says so.

/// The stages of one batch (a place in Plan::batches) along its days, a lane for each part: when
/// each may end, what waits, what must be seen first, what goes into what, and the work by day.
bool write_batch_plan(std::ostream& out, const plan::Plan& plan, std::size_t batch,
                      std::optional<calendar::Day> today);

/// The batches that a filter lets through, by start, each with its stages; below them rooms and
/// crews against what they hold. The filter's room, crew and days narrow the stages as well.
bool write_season(std::ostream& out, const plan::Plan& plan, const report::Filter& filter,
                  std::optional<calendar::Day> today);

/// The same for paper: some of its rows at a time, without rooms and crews, which
/// `write_load_picture` draws. So all of it can be read, however many batches there are.
std::size_t season_row_count(const plan::Plan& plan, const report::Filter& filter);
void write_season_rows(std::ostream& out, const plan::Plan& plan, const report::Filter& filter,
                       std::optional<calendar::Day> today, std::size_t first, std::size_t most);

/// What is set day by day, batch by batch and part by part: panels of temperature, humidity, light
/// and mist above each other along the same days. The filter's crew means nothing here.
bool write_settings(std::ostream& out, const plan::Plan& plan, const report::Filter& filter);

/// Draws what a plan takes of rooms and crews: a lane for each room with its batches stacked by the
/// space that they take, against what the room holds, then a lane for each crew with its hours by
/// day against those that are there. Black and white. Rooms and crews without anything to show are
/// left out. Says whether all that is shown fits.
bool write_load_picture(std::ostream& out, const plan::Plan& plan, const plan::Load& load,
                        const report::Filter& filter);

/// Results as a dot and an interval a row, with an upright stroke at what the protocol has as
/// usual.
bool write_results_picture(std::ostream& out, const results::Summary& summary);
/// Takes as dots and intervals over the days on which their groups began, a panel for each stage.
bool write_results_over_time(std::ostream& out, const results::Summary& summary);
/// What is alive, or has come up, day by day: a panel with a line in steps for each group. `books`
/// are the names of the books.
bool write_curves_picture(std::ostream& out, const std::vector<results::Curve>& curves,
                          const std::vector<std::string>& books, results::CurveOf what);

}  // namespace budwood::pictures
